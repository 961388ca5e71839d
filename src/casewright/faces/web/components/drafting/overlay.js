// What lies over the drawing and keeps its size: dimensions (ISO 129: a line with oblique strokes, the figure over it),
// names, tags. Names find a place where they cover nothing.

import { make } from "./drawing.js";

const canvas = document.createElement("canvas").getContext("2d");
const widths = new Map();

/** Width of a text in pixels. */
export function textWidth(text, font) {
  const key = `${font}|${text}`;
  if (!widths.has(key)) {
    canvas.font = font;
    widths.set(key, canvas.measureText(text).width);
    if (widths.size > 4000) widths.clear();
  }
  return widths.get(key) ?? canvas.measureText(text).width;
}

/** A set of dimensions that is made anew in each frame from the same elements. */
export class Pool {
  constructor(parent) {
    this.parent = parent;
    this.made = [];
    this.used = 0;
  }

  begin() {
    this.used = 0;
  }

  end() {
    for (let i = this.used; i < this.made.length; i++) this.made[i].group.style.display = "none";
  }

  next() {
    if (this.used === this.made.length) {
      const group = make("g", {}, this.parent);
      const path = make("path", {}, group);
      const text = make("text", {}, group);
      this.made.push({ group, path, text });
    }
    const one = this.made[this.used++];
    one.group.style.display = "";
    return one;
  }

  /** A dimension from a to b (pixels), its figure in the middle; `off` moves it to the left of the way, with extension lines. */
  dimension(a, b, words, { kind = "running", off = 0 } = {}) {
    const one = this.next();
    dimensionInto(one, a, b, words, off);
    one.group.setAttribute("class", `dimension ${kind}`);
  }

  /** A plain line with words at its middle. */
  line(a, b, kind, words = "") {
    const one = this.next();
    one.path.setAttribute("d", `M${a[0]} ${a[1]}L${b[0]} ${b[1]}`);
    one.text.textContent = words;
    if (words) put(one.text, (a[0] + b[0]) / 2, (a[1] + b[1]) / 2 - 5, 0);
    one.group.setAttribute("class", `guide ${kind}`);
  }
}

function put(text, x, y, turn) {
  text.setAttribute("transform", turn ? `translate(${x} ${y}) rotate(${turn})` : `translate(${x} ${y})`);
}

/** Lines and figure of a dimension. */
export function dimensionInto({ path, text }, a, b, words, off) {
  const dx = b[0] - a[0], dy = b[1] - a[1], far = Math.hypot(dx, dy) || 1;
  const ux = dx / far, uy = dy / far;
  // To the left of the way, with y down on the screen.
  const nx = uy, ny = -ux;
  const p = [a[0] + nx * off, a[1] + ny * off], q = [b[0] + nx * off, b[1] + ny * off];
  let d = `M${p[0]} ${p[1]}L${q[0]} ${q[1]}`;
  const s = [(ux + nx) * 3.2, (uy + ny) * 3.2];
  for (const e of [p, q]) d += `M${e[0] - s[0]} ${e[1] - s[1]}L${e[0] + s[0]} ${e[1] + s[1]}`;
  if (off) {
    const gap = 5, over = off + 4;
    for (const e of [a, b]) d += `M${e[0] + nx * gap} ${e[1] + ny * gap}L${e[0] + nx * over} ${e[1] + ny * over}`;
  }
  path.setAttribute("d", d);
  if (text.textContent !== words) text.textContent = words;
  // Readable from the bottom or from the right.
  let turn = (Math.atan2(dy, dx) * 180) / Math.PI;
  if (turn > 89.9) turn -= 180;
  if (turn <= -90.1) turn += 180;
  const radians = (turn * Math.PI) / 180;
  put(text, (p[0] + q[0]) / 2 + Math.sin(radians) * 4.5, (p[1] + q[1]) / 2 - Math.cos(radians) * 4.5, turn);
}

const HIGH = 13;

/**
 * Where names go: for each {words, box: [x0, y0, x1, y1] in pixels, inside: may stand in it} the first place that covers
 * no other box and no name before it and does not stand on the edge of `face`; null where there is none.
 */
export function placeNames(names, taken, font, face) {
  const boxes = [...taken];
  const free = (box, own) =>
    boxes.every((other) => other === own || box[0] >= other[2] || box[2] <= other[0] || box[1] >= other[3] || box[3] <= other[1]);
  return names.map(({ words, box, own, inside }) => {
    const wide = textWidth(words, font) + 4;
    const cx = (box[0] + box[2]) / 2, cy = (box[1] + box[3]) / 2;
    const places = [
      [cx, box[3] + HIGH + 1],
      [cx, box[1] - 5],
      [box[2] + wide / 2 + 4, cy + 4],
      [box[0] - wide / 2 - 4, cy + 4],
    ];
    if (inside && wide < box[2] - box[0] - 6 && box[3] - box[1] > HIGH + 4) places.unshift([cx, cy + 4]);
    for (const [x, y] of places) {
      const spot = [x - wide / 2, y - HIGH + 2, x + wide / 2, y + 4];
      if (face && meets(spot, face) && !holds(face, spot)) continue;
      if (free(spot, x === cx && y === cy + 4 ? own : null)) {
        boxes.push(spot);
        return [x, y];
      }
    }
    return null;
  });
}

const meets = (a, b) => a[0] < b[2] && a[2] > b[0] && a[1] < b[3] && a[3] > b[1];
const holds = (a, b) => a[0] <= b[0] && a[1] <= b[1] && a[2] >= b[2] && a[3] >= b[3];

/** A card of one or two lines on paper, with a pointer's distance from what it is about. */
export class Tag {
  constructor(parent) {
    this.group = make("g", { class: "tag" }, parent);
    this.paper = make("rect", { rx: 3 }, this.group);
    this.lines = [make("text", { class: "first" }, this.group), make("text", { class: "second" }, this.group)];
    this.hide();
  }

  hide() {
    this.group.style.display = "none";
  }

  /** Over the box (pixels), or under it where asked or there is no room; `state` colors it and is said in words besides. */
  show(box, first, second, state, font, room, isUnder = false) {
    this.group.style.display = "";
    if (this.shown !== `${first}|${second}|${state}`) {
      this.shown = `${first}|${second}|${state}`;
      this.group.setAttribute("class", `tag ${state}`);
      this.lines[0].textContent = first;
      this.lines[1].textContent = second;
      this.wide = Math.max(textWidth(first, `bold ${font}`), textWidth(second, state === "close" ? `bold ${font}` : font)) + 18;
      this.high = second ? 40 : 24;
      this.paper.setAttribute("width", this.wide);
      this.paper.setAttribute("height", this.high);
      this.lines[0].setAttribute("transform", "translate(9 16)");
      this.lines[1].setAttribute("transform", "translate(9 32)");
    }
    const left = Math.min(Math.max((box[0] + box[2] - this.wide) / 2, 4), room[0] - this.wide - 4);
    const over = box[1] - this.high - 16, under = box[3] + 16;
    const top = Math.min((isUnder && under + this.high < room[1]) || over < 4 ? under : over, room[1] - this.high - 4);
    this.group.setAttribute("transform", `translate(${left} ${top})`);
  }
}
