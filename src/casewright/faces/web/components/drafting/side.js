// What only the side view has: corners and edges to drag, seams to press, eyes with their lines of sight.

import { make } from "./drawing.js";
import { placeNames, textWidth } from "./overlay.js";

const LONGEST = 26; // letters of an eye's name on the drawing; all of it is read out, and shown when it is pointed at
const BAR = 16; // pixels, half of an edge's bar
const CLEAR = 12; // pixels from a corner that an edge's bar keeps
const LEAST_BAR = 4; // pixels; an edge too short for its bar is moved by its corners
const SEAM_OFF = 24; // pixels from the corner, inward

export function makeCorner(corner, parent) {
  const group = make("g", { class: `corner live${corner.movable ? "" : " fixed"}`, role: "button", tabindex: "-1", "data-key": corner.key }, parent);
  group.setAttribute("aria-roledescription", corner.movable ? "corner that can be moved" : "corner");
  make("circle", { r: 15, fill: "transparent" }, group);
  make("circle", { r: 5.5, class: "dot" }, group);
  const name = make("text", {}, group);
  name.textContent = corner.key;
  return { group, name };
}

/** The middle of an edge: a bar along it, longer where there is room, never near the corners. */
export function makeRun(run, parent) {
  const group = make("g", { class: `run live${run.movable ? "" : " fixed"}`, role: "button", tabindex: "-1", "data-key": run.key }, parent);
  group.setAttribute("aria-roledescription", "edge that can be moved");
  make("line", { class: "reach" }, group);
  make("line", { class: "bar" }, group);
  make("title", {}, group).textContent = run.label;
  return { group };
}

export function placeRun(thing, view) {
  const [x, y] = view.toScreen(thing.at), [ny, nz] = thing.normal;
  thing.group.setAttribute("transform", `translate(${x} ${y})`);
  const half = Math.min(BAR, Math.max((thing.length * view.scale) / 2 - CLEAR, 0));
  thing.group.classList.toggle("short", half < LEAST_BAR);
  for (const line of [thing.group.children[0], thing.group.children[1]]) {
    line.setAttribute("x1", -nz * half);
    line.setAttribute("y1", -ny * half);
    line.setAttribute("x2", nz * half);
    line.setAttribute("y2", ny * half);
  }
}

export function makeEye(eye, parent) {
  const group = make("g", { class: "eye-handle live", role: "button", tabindex: "-1", "data-key": eye.key }, parent);
  group.setAttribute("aria-roledescription", "eye that can be moved");
  make("circle", { r: 14, fill: "transparent" }, group);
  make("circle", { r: 10, class: "ring-eye" }, group);
  make("title", {}, group).textContent = eye.label;
  return { group };
}

export function makeSeam(seam, parent) {
  const group = make("g", { class: "seam live", role: "button", tabindex: "-1", "data-key": seam.key }, parent);
  group.setAttribute("aria-roledescription", "seam");
  make("line", {}, group);
  make("circle", { r: 13, fill: "transparent" }, group);
  make("path", { d: "M0 -5.5L5.5 0L0 5.5L-5.5 0Z" }, group);
  const tag = make("text", {}, group);
  tag.textContent = seam.tag;
  return { group };
}

/** Put a corner's handle and its letter, which stands outside. */
export function placeCorner(thing, view, inward) {
  const [x, y] = view.toScreen(thing.at);
  thing.group.setAttribute("transform", `translate(${x} ${y})`);
  const [ix, iy] = inward || [0, -1];
  thing.name.setAttribute("transform", `translate(${-ix * 15} ${iy * 15 + 4})`);
}

/** Of seams too near to one another for their tags, the first one keeps it; the others still tell when they are pressed. */
export function clearTags(seams, font) {
  const taken = [];
  for (const { group, tag } of seams) {
    const text = group.lastChild, at = group.transform.baseVal.consolidate().matrix, wide = textWidth(tag || "", font);
    const right = text.getAttribute("text-anchor") === "start", x = at.e + (right ? 9 : -9 - wide);
    const box = [x, at.f - 8, x + wide, at.f + 8];
    const isFree = !taken.some((other) => box[0] < other[2] && box[2] > other[0] && box[1] < other[3] && box[3] > other[1]);
    text.setAttribute("visibility", isFree ? "inherit" : "hidden");
    if (isFree && wide) taken.push(box);
    taken.push([at.e - 7, at.f - 7, at.e + 7, at.f + 7]);
  }
}

export function placeSeam(thing, view) {
  const [x, y] = view.toScreen(thing.at), [ix, iy] = thing.inward;
  const dx = ix * SEAM_OFF, dy = -iy * SEAM_OFF;
  thing.group.setAttribute("transform", `translate(${x + dx} ${y + dy})`);
  const line = thing.group.firstChild, size = Math.hypot(dx, dy);
  line.setAttribute("x1", (-dx * (size - 8)) / size);
  line.setAttribute("y1", (-dy * (size - 8)) / size);
  line.setAttribute("x2", (-dx * 7) / size);
  line.setAttribute("y2", (-dy * 7) / size);
  const text = thing.group.lastChild, right = dx >= 0;
  text.setAttribute("text-anchor", right ? "start" : "end");
  text.setAttribute("transform", `translate(${right ? 9 : -9} 4)`);
}

/** Eyes and sights; an eye out of the window has its name at the window's edge, on the way to it. */
export function drawEyes(eyes, parent, view, font) {
  parent.replaceChildren();
  const seen = eyes.map((eye) => ({ eye, at: view.toScreen(eye.at), name: short(eye.label) }));
  const inside = seen.filter(({ at }) => at[0] > 20 && at[1] > 24 && at[0] < view.width - 20 && at[1] < view.height - 20);
  const boxes = inside.map(({ at: [x, y] }) => [x - 8, y - 8, x + 8, y + 8]);
  const asked = inside.map(({ name }, i) => ({ words: name, box: boxes[i], own: boxes[i], inside: false }));
  const spots = placeNames(asked, boxes, font, null);
  const taken = [];
  for (const { eye, at, name } of seen) {
    eye.group.setAttribute("transform", `translate(${at[0]} ${at[1]})`);
    const group = make("g", { class: "eye" }, parent);
    for (const end of eye.sights) {
      const [x, y] = view.toScreen(end);
      make("path", { class: "sight", d: `M${at[0]} ${at[1]}L${x} ${y}` }, group);
    }
    const index = inside.findIndex((one) => one.eye === eye);
    if (index >= 0) {
      make("circle", { cx: at[0], cy: at[1], r: 6.5 }, group);
      make("circle", { cx: at[0], cy: at[1], r: 2.4, class: "pupil" }, group);
      if (spots[index]) {
        const [x, y] = spots[index], half = textWidth(name, font) / 2 + 6;
        write(group, name, [Math.min(Math.max(x, half), Math.max(view.width - half, half)), y], "middle");
      }
      continue;
    }
    const spot = towardEdge(at, view, eye.sights.map((end) => view.toScreen(end)));
    let y = Math.max(spot[1], 22);
    while (taken.some(([tx, ty]) => Math.abs(tx - spot[0]) < 130 && Math.abs(ty - y) < 16)) y += 16;
    taken.push([spot[0], y]);
    write(group, `↖ ${name}`, [Math.min(Math.max(spot[0], 12), view.width - 140), y], "start");
  }
}

const short = (label) => (label.length > LONGEST ? `${label.slice(0, LONGEST - 1)}…` : label);

function write(group, words, [x, y], anchor) {
  const text = make("text", { transform: `translate(${x} ${y})` }, group);
  text.textContent = words;
  text.style.textAnchor = anchor;
}

function towardEdge(eye, view, ends) {
  const from = ends.length ? [ends.reduce((s, e) => s + e[0], 0) / ends.length, ends.reduce((s, e) => s + e[1], 0) / ends.length] : [view.width / 2, view.height / 2];
  let share = 1;
  const dx = eye[0] - from[0], dy = eye[1] - from[1];
  if (eye[0] < 14) share = Math.min(share, (14 - from[0]) / dx);
  if (eye[0] > view.width - 14) share = Math.min(share, (view.width - 14 - from[0]) / dx);
  if (eye[1] < 18) share = Math.min(share, (18 - from[1]) / dy);
  if (eye[1] > view.height - 14) share = Math.min(share, (view.height - 14 - from[1]) / dy);
  return [from[0] + dx * share, from[1] + dy * share];
}
