// Where the dots of findings go: one beside the other, none over another, over a handle or a part's middle, many at one place as one.

import { make } from "./drawing.js";

const SHAPES = { stop: "M-4.5 -9.5H4.5L9.5 -4.5V4.5L4.5 9.5H-4.5L-9.5 4.5V-4.5Z", caution: "M0 -10.5L10.5 8H-10.5Z", note: "M-7.5 0A7.5 7.5 0 1 1 7.5 0A7.5 7.5 0 1 1 -7.5 0" };
const SIZE = 19; // pixels that a dot takes
const MOST = 3; // dots of their own at one place; what is more goes into the last of them
const SAME = 10; // pixels: places nearer than this are the same one
const GRIP = 5; // pixels round the middle of a part by which it can be taken hold of, however small it is drawn
const RINGS = 4;
const GRAVE = { stop: 0, caution: 1, note: 2 };

/**
 * Places for dots.
 *   asked  [{finding, at: [[x, y], ...]}]  where each finding points, in pixels
 *   taken  boxes that stay free: [[x0, y0, x1, y1], ...]
 *   room   width and height of the window
 * Returns [{at: [x, y], from: [x, y] it points at, findings: [gravest first]}].
 */
export function layMarks(asked, taken, room) {
  const spots = [];
  for (const { finding, at } of asked)
    for (const from of at) {
      const known = spots.find((spot) => Math.hypot(spot.from[0] - from[0], spot.from[1] - from[1]) < SAME);
      if (known) known.findings.push(finding);
      else spots.push({ from, findings: [finding] });
    }
  const boxes = [...taken], laid = [];
  for (const { from, findings } of spots) {
    const sorted = [...new Set(findings)].sort((a, b) => GRAVE[a.severity] - GRAVE[b.severity] || a.number - b.number);
    for (const group of grouped(sorted)) {
      const at = freePlace(from, boxes, room);
      boxes.push(boxAt(at));
      laid.push({ at, from, findings: group });
    }
  }
  return laid;
}

function grouped(findings) {
  if (findings.length <= MOST) return findings.map((one) => [one]);
  return [...findings.slice(0, MOST - 1).map((one) => [one]), findings.slice(MOST - 1)];
}

const boxAt = ([x, y]) => [x - SIZE / 2, y - SIZE / 2, x + SIZE / 2, y + SIZE / 2];
const meets = (a, b) => a[0] < b[2] && a[2] > b[0] && a[1] < b[3] && a[3] > b[1];

/** The nearest place to where it points: there, else to its right, then round it, ring by ring. */
function freePlace(from, boxes, room) {
  const isFree = (at) => !boxes.some((box) => meets(boxAt(at), box));
  const isIn = ([x, y]) => x > SIZE / 2 && y > SIZE / 2 && x < room[0] - SIZE / 2 && y < room[1] - SIZE / 2;
  const isFar = !isIn(from); // it points out of the window: it is seen when the drawing is moved there
  for (let ring = 0; ring <= RINGS; ring++)
    for (let turn = 0; turn < (ring ? 8 * ring : 1); turn++) {
      const angle = ring ? (turn / (8 * ring)) * 2 * Math.PI : 0;
      const at = [from[0] + Math.cos(angle) * ring * (SIZE + 1), from[1] - Math.sin(angle) * ring * (SIZE + 1)];
      if ((isFar || isIn(at)) && isFree(at)) return at;
    }
  return from;
}

export class Marks {
  constructor(board, parent) {
    this.board = board;
    this.parent = parent;
    this.boxes = []; // names keep clear of them
    this.dots = []; // as things that the keyboard comes to
  }

  lay() {
    const { board, parent } = this, hadFocus = parent.contains(document.activeElement);
    parent.replaceChildren();
    this.dots = [];
    const asked = board.findings.map((finding) => {
      const things = finding.names.map((key) => board.things.get(key)).filter(Boolean);
      if (things.length) return { finding, at: things.slice(0, 2).map((thing) => this.upperRight(thing)) };
      return { finding, at: finding.at ? [this.besideCorners(board.view.toScreen(finding.at))] : [] };
    });
    const laid = layMarks(asked, this.handles(), [board.view.width, board.view.height]);
    this.boxes = laid.map(({ at: [x, y] }) => [x - 9, y - 9, x + 9, y + 9]);
    for (const { at, from, findings } of laid) this.draw(at, from, findings);
    this.keepFocus(hadFocus);
  }

  /** Dots are drawn anew at each laying out; the one that the keyboard is at stays the one. */
  keepFocus(hadFocus) {
    const { board } = this;
    if (!board.focused || board.focused.sort !== "mark") return;
    const same = this.dots.find(({ key }) => key === board.focused.key);
    if (!same) {
      board.letGo();
      if (hadFocus) board.svg.focus({ preventScroll: true });
      return;
    }
    board.focused = same;
    same.group.setAttribute("tabindex", "0");
    if (hadFocus) same.group.focus({ preventScroll: true });
  }

  /** One dot for one finding, or for several at the same place: the gravest one's, with how many more there are. */
  draw([x, y], from, findings) {
    const { parent } = this, [first, ...more] = findings;
    if (Math.hypot(x - from[0], y - from[1]) > 14) make("path", { class: "leader", d: `M${from[0]} ${from[1]}L${x} ${y}` }, parent);
    const group = make("g", { class: `mark ${first.severity}`, role: "button", tabindex: "-1", transform: `translate(${x} ${y})` }, parent);
    make("circle", { class: "ring-mark", r: 14 }, group);
    make("path", { d: SHAPES[first.severity] || SHAPES.note }, group);
    make("text", { y: first.severity === "caution" ? 5.5 : 4 }, group).textContent = first.number;
    if (more.length) make("text", { class: "more", x: 11, y: -5 }, group).textContent = `+${more.length}`;
    const words = findings.map((one) => `${one.number}: ${one.words}`).join("\n");
    make("title", {}, group).textContent = words;
    group.setAttribute("aria-label", words);
    let next = 0; // each press goes to the next one here
    const press = () => {
      const { number, words: told } = findings[next++ % findings.length];
      this.board.readout.say(`${number}: ${told}`);
      this.board.emit("command", { name: "finding", number });
    };
    group.addEventListener("click", press);
    this.dots.push({ sort: "mark", key: `mark ${first.number}`, at: this.board.view.toWorld([x, y]), isMovable: false, group, press });
  }

  /** Handles, middles of parts and figures that a dot must leave free. */
  handles() {
    const found = [];
    for (const thing of this.board.things.values()) {
      const [x, y] = this.board.view.toScreen(thing.at), [ix, iy] = thing.sort === "seam" ? thing.inward : [0, 0];
      if (thing.sort === "item") {
        found.push([x - GRIP, y - GRIP, x + GRIP, y + GRIP]);
        continue;
      }
      found.push([x + ix * 24 - 8, y - iy * 24 - 8, x + ix * 24 + 8, y - iy * 24 + 8]);
    }
    const room = this.board.svg.getBoundingClientRect();
    for (const text of this.board.sizes.querySelectorAll("text")) {
      const box = text.getBoundingClientRect(); // figures are to be read
      found.push([box.left - room.left - 2, box.top - room.top - 2, box.right - room.left + 2, box.bottom - room.top + 2]);
    }
    return found;
  }

  /** Off the handle of a corner, to the outside. */
  besideCorners([x, y]) {
    const { view, scene, things } = this.board;
    for (const thing of things.values()) {
      if (thing.sort !== "corner") continue;
      const [cx, cy] = view.toScreen(thing.at);
      if (Math.hypot(cx - x, cy - y) > 20) continue;
      const seam = (scene.seams || []).find(({ corner }) => corner === thing.key);
      const [ix, iy] = seam ? seam.inward : [0, -1];
      return [cx - ix * 36, cy + iy * 36];
    }
    return [x, y];
  }

  /** Upper right of a part on the screen. */
  upperRight(thing) {
    if (!thing.reach) {
      const [x, y] = this.board.view.toScreen(thing.at);
      return [x + 16, y - 16];
    }
    const [x0, y0, x1, y1] = this.board.boxOnScreen(thing);
    const isRound = Math.abs(x1 - x0 - (y1 - y0)) < 0.5, in_ = isRound ? (x1 - x0) * 0.15 : 0;
    return [x1 - in_, y0 + in_];
  }
}
