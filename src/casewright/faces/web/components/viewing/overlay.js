// What lies over the picture as ordinary elements: finding marks, the name under the pointer, the tape.

import { THREE } from "nicegui-scene";

const BETWEEN = 2; // px left between two marks
const RINGS = 16; // steps outward in which a free place for a mark is looked for
const WAYS = 16; // directions tried on each

export class Overlay {
  constructor(stage, parts, onSpot) {
    this.stage = stage;
    this.parts = parts;
    this.onSpot = onSpot;
    this.layer = element("div", "cw-over-picture");
    this.name = element("div", "cw-name", this.layer);
    this.name.hidden = true;
    this.size = element("div", "cw-size", this.layer);
    this.size.hidden = true;
    this.ends = [0, 1].map(() => element("div", "cw-end", this.layer));
    for (const end of this.ends) end.hidden = true;
    this.cross = element("div", "cw-cross", this.layer);
    this.cross.hidden = true;
    this.spots = [];
    this.isMarked = true;
    this.snaps = [null, null];
    stage.host.append(this.layer);
    this.tape = new THREE.LineSegments(
      new THREE.BufferGeometry(), new THREE.LineBasicMaterial({ depthTest: false, transparent: true }));
    this.tape.renderOrder = 10;
    this.tape.visible = false;
    this.tape.frustumCulled = false;
    stage.scene.add(this.tape);
  }

  dress(accent) {
    this.tape.material.color.copy(accent);
  }

  // ---- finding marks ----

  showMarkers(markers) {
    for (const { button } of this.spots) button.remove();
    this.spots = markers.map((marker) => {
      const button = element("button", "cw-spot", this.layer);
      button.type = "button";
      button.dataset.severity = marker.severity;
      button.textContent = marker.number;
      button.title = marker.label;
      button.setAttribute("aria-label", `${marker.number}: ${marker.label}`);
      button.addEventListener("click", () => this.onSpot(marker));
      return { button, marker, point: new THREE.Vector3(...marker.point) };
    });
    this.place();
  }

  setMarked(isMarked) {
    if (this.isMarked === isMarked) return;
    this.isMarked = isMarked;
    this.place();
  }

  // ---- the name under the pointer ----

  showName(text, at) {
    this.name.hidden = !text;
    if (!text) return;
    this.name.textContent = text;
    const { clientWidth: width, clientHeight: height } = this.stage.host;
    const x = Math.max(4, Math.min(at.x + 14, width - this.name.offsetWidth - 6));
    const y = at.y + 22 + this.name.offsetHeight > height ? at.y - 12 - this.name.offsetHeight : at.y + 22;
    move(this.name, { x, y });
  }

  /** The cross that keys move while measuring; null for none. */
  showCross(at) {
    this.cross.hidden = !at;
    if (at) move(this.cross, at);
  }

  // ---- the tape ----

  /** Show the tape from one place to another; either may be missing. */
  showTape(from, to) {
    this.snaps = [from, to];
    this.size.hidden = true;
    this.ends.forEach((end, i) => {
      end.hidden = !this.snaps[i];
      if (this.snaps[i]) end.dataset.snap = this.snaps[i].kind;
    });
    this.tape.visible = Boolean(from && to);
    if (from && to) {
      const [a, b] = [from.point, to.point];
      const corners = [a, new THREE.Vector3(b.x, a.y, a.z), new THREE.Vector3(b.x, b.y, a.z), b];
      const line = [a, b];
      corners.slice(1).forEach((corner, i) => line.push(corners[i], corner));
      this.tape.geometry.setFromPoints(line);
    }
    this.place();
    this.stage.draw();
  }

  /** Texts of the tape: {distance, across, deep, up}, already in the user's unit. */
  showSize({ distance, across, deep, up }) {
    if (!this.tape.visible) return;
    this.size.replaceChildren();
    element("b", "", this.size).textContent = distance;
    for (const [word, text] of [["across", across], ["deep", deep], ["up", up]]) {
      this.size.append(element("br", ""), Object.assign(element("span", ""), { textContent: `${word} ` }), text);
    }
    this.size.hidden = false;
    this.place();
  }

  // ---- places ----

  /** Put everything where it belongs in the frame just drawn. */
  place() {
    const taken = [];
    const { clientWidth: width, clientHeight: height } = this.stage.host;
    for (const { button, marker, point } of this.spots) {
      const part = marker.names.map((name) => this.parts.named(name)).find(Boolean);
      const there = part ? point.clone().add(part.moved) : point;
      const at = this.stage.onScreen(there);
      const isInside = at && at.x >= 0 && at.x <= width && at.y >= 0 && at.y <= height;
      button.hidden = !this.isMarked || !isInside || this.parts.isCutAway(there) || part?.shown === false;
      if (button.hidden) continue;
      this.across ||= button.offsetWidth; // all are alike
      const free = freePlace(at, taken, this.across, { width, height });
      taken.push(free);
      move(button, free);
    }
    this.snaps.forEach((snap, i) => {
      const at = snap && this.stage.onScreen(snap.point);
      if (at) move(this.ends[i], at);
    });
    if (!this.size.hidden) {
      const [a, b] = this.snaps.map((snap) => this.stage.onScreen(snap.point));
      if (a && b) move(this.size, this.beside(a, b));
    }
  }

  /** Where the texts of the tape stand: over a level one, to the right of a steep one, inside the picture. */
  beside(a, b) {
    const { offsetWidth: width, offsetHeight: height } = this.size;
    const level = Math.abs(b.x - a.x) > Math.abs(b.y - a.y);
    const x = level ? (a.x + b.x - width) / 2 : Math.max(a.x, b.x) + 16;
    const y = level ? Math.min(a.y, b.y) - height - 12 : (a.y + b.y - height) / 2;
    const within = (at, room) => Math.max(6, Math.min(at, room - 6));
    return {
      x: within(x, this.stage.host.clientWidth - width),
      y: within(y, this.stage.host.clientHeight - height),
    };
  }

  dispose() {
    this.tape.geometry.dispose();
    this.layer.remove();
  }
}

/** The place nearest to one where a mark `across` wide lies wholly in the picture and on none of those placed before. */
function freePlace(at, taken, across, { width, height }) {
  const apart = across + BETWEEN, edge = apart / 2;
  const inside = ({ x, y }) => ({
    x: Math.max(edge, Math.min(x, width - edge)), y: Math.max(edge, Math.min(y, height - edge)),
  });
  const isFree = ({ x, y }) =>
    !taken.some((other) => Math.abs(other.x - x) < apart && Math.abs(other.y - y) < apart);
  const first = inside(at);
  if (isFree(first)) return first;
  for (let ring = 1; ring <= RINGS; ring++) {
    for (let way = 0; way < WAYS; way++) {
      const turn = (2 * Math.PI * way) / WAYS, reach = (ring * apart) / 2;
      const tried = inside({ x: at.x + reach * Math.cos(turn), y: at.y + reach * Math.sin(turn) });
      if (isFree(tried)) return tried;
    }
  }
  return first;
}

function element(tag, name, parent) {
  const made = document.createElement(tag);
  if (name) made.className = name;
  parent?.append(made);
  return made;
}

function move(thing, { x, y }) {
  thing.style.transform = `translate(${x.toFixed(1)}px, ${y.toFixed(1)}px)`;
}
