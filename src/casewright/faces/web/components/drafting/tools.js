// The few buttons on the board, the line that says what is where, and what a screen reader hears.

const ICONS = {
  closer: "M9 3V15M3 9H15",
  away: "M3 9H15",
  fit: "M3 7V3H7M11 3H15V7M15 11V15H11M7 15H3V11",
  left: "M3 2V16M6 6H14M6 12H11",
  centre: "M9 2V16M4 6H14M6 12H12",
  right: "M15 2V16M4 6H12M7 12H12",
  top: "M2 3H16M6 6V14M12 6V11",
  middle: "M2 9H16M6 4V14M12 6V12",
  bottom: "M2 15H16M6 4V12M12 7V12",
  across: "M3 3V15M15 3V15M9 5V13",
  up: "M3 3H15M3 15H15M5 9H13",
};

function button(parent, icon, words, press) {
  const made = document.createElement("button");
  made.type = "button";
  made.title = words;
  made.setAttribute("aria-label", words);
  made.innerHTML = `<svg viewBox="0 0 18 18" aria-hidden="true"><path d="${ICONS[icon]}"/></svg>`;
  made.addEventListener("click", press);
  parent.appendChild(made);
  return made;
}

function bar(board, name, label) {
  const made = document.createElement("div");
  made.className = `tools ${name}`;
  made.setAttribute("role", "toolbar");
  made.setAttribute("aria-label", label);
  board.root.appendChild(made);
  return made;
}

export class Tools {
  constructor(board) {
    const zooming = bar(board, "zooming", "Part of the drawing in sight");
    button(zooming, "away", "Further away (−)", () => board.zoomBy(0.8));
    button(zooming, "closer", "Closer (+)", () => board.zoomBy(1.25));
    button(zooming, "fit", "All of it (0)", () => board.fit());
    this.arranging = bar(board, "arranging", "Line up what is chosen");
    const align = (icon, words, axis, to) =>
      button(this.arranging, icon, words, () => board.arrange({ name: "align", axis: board.scene.axes[axis], to }));
    align("left", "Left edges in line", 0, "low");
    align("centre", "Centres in a column", 0, "middle");
    align("right", "Right edges in line", 0, "high");
    this.split();
    align("top", "Upper edges in line", 1, "high");
    align("middle", "Centres in a row", 1, "middle");
    align("bottom", "Lower edges in line", 1, "low");
    this.spreading = [
      this.split(),
      button(this.arranging, "across", "Space evenly across", () => board.arrange({ name: "spread", axis: board.scene.axes[0] })),
      button(this.arranging, "up", "Space evenly up", () => board.arrange({ name: "spread", axis: board.scene.axes[1] })),
    ];
    this.show(0);
  }

  split() {
    const made = document.createElement("span");
    made.className = "split";
    this.arranging.appendChild(made);
    return made;
  }

  /** Only what can be done with so many chosen parts is there. */
  show(count) {
    this.arranging.hidden = count < 2;
    for (const one of this.spreading) one.style.display = count < 3 ? "none" : "";
  }
}

export class Readout {
  constructor(root) {
    this.line = document.createElement("div");
    this.line.className = "readout";
    this.line.setAttribute("aria-hidden", "true");
    this.bold = this.line.appendChild(document.createElement("b"));
    this.rest = this.line.appendChild(document.createElement("span"));
    root.appendChild(this.line);
    this.heard = document.createElement("div");
    this.heard.className = "heard";
    this.heard.setAttribute("aria-live", "polite");
    root.appendChild(this.heard);
  }

  set(words, state, rest) {
    const [, bold] = words;
    if (this.bold.textContent !== bold) this.bold.textContent = bold;
    const text = rest ? ` · ${rest}` : "";
    if (this.rest.textContent !== text) this.rest.textContent = text;
    if (this.rest.className !== state) this.rest.className = state;
  }

  /** Read out by a screen reader. */
  say(text) {
    this.heard.textContent = text;
  }
}
