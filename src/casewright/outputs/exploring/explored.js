// The variants of a project: a dot each, read by pointing at it, pressing it or the arrow keys; a table below.
"use strict";
(() => {
  const data = JSON.parse(document.getElementById("data").textContent);
  const by = (id) => document.getElementById(id);
  const MOST_ROWS = 300, W = 860, H = 520, LEFT = 84, RIGHT = 18, TOP = 16, FOOT = 62;
  const columns = data.columns;
  const at = (key) => columns.findIndex((column) => column.key === key);
  const stops = at("stops");
  const isBest = (row) => row[4] === 1;
  const isStopped = (row) => stops >= 0 && row[2][stops] > 0;
  let chosen = null, sortBy = null, sortUp = true, drawn = [];

  const make = (name, attributes = {}, words = "") => {
    const isSvg = ["svg", "g", "path", "circle", "text", "line", "title"].includes(name);
    const made = isSvg ? document.createElementNS("http://www.w3.org/2000/svg", name) : document.createElement(name);
    for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
    if (words) made.textContent = words;
    return made;
  };
  const title = (column) => column.label + (column.unit ? `, ${column.unit}` : "");
  const figure = (column, value) => value === null || value === undefined ? "–"
    : `${value.toFixed(column.places)}${column.unit ? "\u202f" + column.unit : ""}`;
  const choices = (row) => data.varied.map((one, index) => [one.label, one.choices[row[1][index]]]);

  for (const [id, key] of [["across", data.aims[0]], ["up", data.aims[1] || data.aims[0]]]) {
    columns.forEach((column, index) => by(id).append(make("option", { value: index }, title(column))));
    by(id).addEventListener("change", draw);
  }
  // The two aims that tell most variants apart say most at first sight; numbers of findings say it by rings as well.
  const counts = ["stops", "cautions"].map(at);
  const kinds = (index) => new Set(data.rows.map((row) => row[2][index]).filter((value) => value != null)
    .map((value) => value.toFixed(columns[index].places))).size; // as they are read
  const telling = data.aims.map((aim) => at(aim.key)).filter((index) => index >= 0 && kinds(index) > 1);
  telling.sort((a, b) => counts.includes(a) - counts.includes(b) || kinds(b) - kinds(a));
  by("across").value = telling.length ? telling[0] : 0;
  by("up").value = telling.length > 1 ? telling[1] : Math.min(1, columns.length - 1);
  for (const id of ["only", "free"]) by(id).addEventListener("change", () => { draw(); list(); });

  const isCount = (index) => columns[index].places === 0 && !columns[index].unit;

  function shown() {
    return data.rows.filter((row) => (!by("only").checked || isBest(row)) && (!by("free").checked || (!row[3] && !isStopped(row))));
  }

  function steps(low, high, isWhole) {
    const rough = isWhole ? Math.max(1, (high - low) / 5) : (high - low) / 5, power = 10 ** Math.floor(Math.log10(rough));
    const step = (isWhole ? [1, 2, 5, 10] : [1, 2, 2.5, 5, 10]).map((by_) => by_ * power).find((one) => one >= rough * 0.999);
    const found = [];
    for (let value = Math.ceil(low / step - 1e-9) * step; value <= high + step * 1e-6; value += step) found.push(value);
    return [found, Math.max(0, -Math.floor(Math.log10(step) + 1e-9) + (String(step / power).includes(".") ? 1 : 0))];
  }

  function scale(values, from, to) {
    let low = Math.min(...values), high = Math.max(...values);
    if (!(high - low > Math.abs(high) * 1e-9)) { low -= 0.5; high += 0.5; }
    const room = (high - low) * 0.05;
    low -= room; high += room;
    return { low, high, place: (value) => from + (to - from) * (value - low) / (high - low) };
  }

  function draw() {
    const x = Number(by("across").value), y = Number(by("up").value);
    const rows = shown().filter((row) => !row[3] && row[2][x] != null && row[2][y] != null);
    const box = make("svg", { viewBox: `0 0 ${W} ${H}`, role: "img", tabindex: 0, id: "picture",
      "aria-label": `${rows.length} variants by ${title(columns[x])} and ${title(columns[y])}. Arrow keys go from one to the next.` });
    by("room").replaceChildren(box, legend());
    drawn = [];
    if (!rows.length) {
      box.append(make("text", { x: W / 2, y: H / 2, "text-anchor": "middle" }, "No variant has both of these figures."));
      return;
    }
    const reduce = (index) => [rows.reduce((a, row) => Math.min(a, row[2][index]), Infinity), rows.reduce((a, row) => Math.max(a, row[2][index]), -Infinity)];
    const across = scale(reduce(x), LEFT, W - RIGHT), up = scale(reduce(y), H - FOOT, TOP);
    const [xs, xPlaces] = steps(across.low, across.high, isCount(x)), [ys, yPlaces] = steps(up.low, up.high, isCount(y));
    for (const value of xs) {
      const px = across.place(value);
      box.append(make("line", { class: "grid", x1: px, x2: px, y1: TOP, y2: H - FOOT }),
        make("text", { x: px, y: H - FOOT + 18, "text-anchor": "middle" }, value.toFixed(xPlaces)));
    }
    for (const value of ys) {
      const py = up.place(value);
      box.append(make("line", { class: "grid", x1: LEFT, x2: W - RIGHT, y1: py, y2: py }),
        make("text", { x: LEFT - 8, y: py + 4, "text-anchor": "end" }, value.toFixed(yPlaces)));
    }
    box.append(make("path", { class: "axis", d: `M${LEFT} ${TOP}V${H - FOOT}H${W - RIGHT}` }),
      make("text", { class: "title", x: (LEFT + W - RIGHT) / 2, y: H - 14, "text-anchor": "middle" }, title(columns[x])),
      make("text", { class: "title", "text-anchor": "middle", transform: `translate(18 ${(TOP + H - FOOT) / 2}) rotate(-90)` }, title(columns[y])));
    // Those that no other one beats come last, so that they lie on top.
    for (const row of [...rows].sort((a, b) => a[4] - b[4])) {
      const cx = across.place(row[2][x]), cy = up.place(row[2][y]);
      const dot = make("circle", { class: `dot${isBest(row) ? " best" : ""}${isStopped(row) ? " stops" : ""}`,
        cx: cx.toFixed(1), cy: cy.toFixed(1), r: isBest(row) ? 5.5 : 3.5, "data-number": row[0] });
      box.append(dot);
      drawn.push([row, cx, cy]);
    }
    drawn.sort((a, b) => a[1] - b[1] || a[2] - b[2] || a[0][0] - b[0][0]);
    box.append(make("circle", { id: "mark", r: 9, visibility: "hidden" }));
    const rowOf = (event) => {
      const number = event.target.dataset && event.target.dataset.number;
      return number && data.rows.find((row) => row[0] === Number(number));
    };
    box.addEventListener("pointerover", (event) => { const row = rowOf(event); if (row) tell(row); });
    box.addEventListener("pointerleave", () => { if (chosen) tell(chosen); });
    box.addEventListener("click", (event) => { const row = rowOf(event); if (row) choose(row); });
    box.addEventListener("keydown", (event) => {
      const way = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
      if (!way || !drawn.length) return;
      event.preventDefault();
      const now = drawn.findIndex(([row]) => row === chosen);
      choose(drawn[(now + way + drawn.length) % drawn.length][0]);
    });
    mark();
  }

  function legend() {
    const box = make("div", { class: "legend" });
    for (const [kind, words] of [["best", "no other one beats it"], ["", "beaten"], ["stops", "a ring: it has stops, do not cut"]]) {
      const one = make("span"), sample = make("svg", { viewBox: "0 0 14 14", "aria-hidden": "true" });
      sample.append(make("circle", { class: `dot ${kind}`, cx: 7, cy: 7, r: kind === "best" ? 5.5 : 4 }));
      one.append(sample, words);
      box.append(one);
    }
    return box;
  }

  function mark() {
    const ring = by("mark"), found = drawn.find(([row]) => row === chosen);
    if (!ring) return;
    ring.setAttribute("visibility", found ? "visible" : "hidden");
    if (found) { ring.setAttribute("cx", found[1]); ring.setAttribute("cy", found[2]); }
  }

  function tell(row) {
    const box = by("told");
    const head = make("h3", {}, `Variant ${row[0]}`);
    const said = make("p", row[3] ? { class: "stop" } : {}, row[3] || (isBest(row) ? "No other one beats it." : ""));
    const pairs = (rows) => {
      const made = make("dl");
      for (const [label, words] of rows) made.append(make("dt", {}, label), make("dd", {}, words));
      return made;
    };
    box.replaceChildren(head, said, pairs(choices(row)));
    if (!row[3]) box.append(pairs(columns.map((column, index) => [column.label, figure(column, row[2][index])])));
    if (row !== chosen) return;
    if (window.parent !== window) {
      const take = make("button", { class: "main", type: "button" }, "Make it the project");
      take.addEventListener("click", () => window.parent.postMessage({ variant: row[0] }, window.location.origin));
      box.append(take);
    } else {
      box.append(make("p", {}, "To make it the project:"), make("code", {}, `${data.command} ${row[0]}`));
    }
  }

  function choose(row) {
    chosen = row;
    tell(row);
    mark();
    document.querySelectorAll("tr[data-number]").forEach((one) => one.classList.toggle("chosen", Number(one.dataset.number) === row[0]));
  }

  function list() {
    const rows = shown();
    const key = sortBy;
    if (key !== null) {
      const value = key === "number" ? (row) => row[0] : typeof key === "number" ? (row) => row[2][key] ?? Infinity : (row) => row[1][key[0]];
      rows.sort((a, b) => (value(a) - value(b)) * (sortUp ? 1 : -1) || a[0] - b[0]);
    } else {
      rows.sort((a, b) => b[4] - a[4] || a[0] - b[0]);
    }
    const table = by("table"), head = make("tr"), body = make("tbody");
    const headed = (words, sort) => {
      const cell = make("th", { scope: "col" }), button = make("button", { type: "button" }, words);
      button.addEventListener("click", () => { sortUp = JSON.stringify(sortBy) === JSON.stringify(sort) ? !sortUp : true; sortBy = sort; list(); });
      cell.append(button);
      head.append(cell);
    };
    headed("number", "number");
    data.varied.forEach((one, index) => headed(one.label, [index]));
    columns.forEach((column, index) => headed(title(column), index));
    for (const row of rows.slice(0, MOST_ROWS)) {
      const line = make("tr", { "data-number": row[0], class: `${isBest(row) ? "best" : ""}${row === chosen ? " chosen" : ""}` });
      line.append(make("td", {}, `${row[0]}${isBest(row) ? " ●" : ""}`));
      for (const [, words] of choices(row)) line.append(make("td", {}, words));
      if (row[3]) line.append(make("td", { colspan: columns.length, class: "stop" }, row[3]));
      else columns.forEach((column, index) => line.append(make("td", { class: "number" }, row[2][index] == null ? "–" : row[2][index].toFixed(column.places))));
      line.addEventListener("click", () => choose(row));
      body.append(line);
    }
    const top = make("thead");
    top.append(head);
    table.replaceChildren(top, body);
    by("count").textContent = (rows.length > MOST_ROWS ? `The first ${MOST_ROWS} of ${rows.length}; variants.csv holds all. ` : `${rows.length}. `)
      + "● no other one beats it. Press a heading to sort.";
  }

  draw();
  list();
  const first = data.rows.find((row) => isBest(row) && !isStopped(row)) || data.rows.find(isBest) || data.rows[0];
  if (first) choose(first);
})();
