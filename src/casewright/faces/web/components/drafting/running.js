// What is shown while something is dragged: distances to neighbors and edges, guide lines, the tag with place and state.

import { Pool, Tag } from "./overlay.js";
import { distance } from "./shapes.js";
import { OK, WORDS } from "./spacing.js";
import { figure, length } from "./writing.js";

const SIGNS = ["✓", "△", "✕"];

/** What is to be said of a judged pair, in the user's unit. */
export function stateWords(worst, writing) {
  if (!worst || worst.state === OK) return `${SIGNS[0]} ${WORDS[0]}`;
  const about = worst.other ? `: ${worst.other}, ` : ": ";
  const words = worst.words.replace("{gap}", length(Math.abs(worst.gap), writing)).replace("{asked}", length(worst.asked, writing));
  return `${SIGNS[worst.state]} ${WORDS[worst.state]}${about}${words}`;
}

export class Running {
  constructor(board, parent, over) {
    this.board = board;
    this.pool = new Pool(parent);
    this.tag = new Tag(over);
  }

  hide() {
    this.pool.begin();
    this.pool.end();
    this.tag.hide();
  }

  /** One frame of a drag. */
  show(carry) {
    const { pool } = this;
    pool.begin();
    for (const hit of carry.hits) this.hit(hit, carry.primary);
    if (carry.primary.wished) this.wished(carry);
    else if (carry.isCorner) this.corner(carry);
    else this.item(carry);
    pool.end();
  }

  item(carry) {
    const { board, pool } = this, { view } = board, { writing, axes } = board.scene;
    const thing = carry.primary, here = view.toScreen(thing.at);
    for (const other of nearest(thing, carry.stays, board.scene.extent)) {
      const there = view.toScreen(other.at);
      if (distance(here, there) > 64) pool.dimension(here, there, figure(distance(thing.at, other.at), writing));
    }
    this.datum(thing, here);
    const { worst } = carry;
    if (worst && worst.from && !worst.isPitch) pool.dimension(view.toScreen(worst.from), view.toScreen(worst.to), "", { kind: WORDS[worst.state].split(" ").pop() });
    const place = axes.map((axis, i) => `${axis} ${figure(thing.at[i], writing)}`).join(" · ");
    const count = carry.own.length > 1 ? `${carry.own.length} parts, ` : "";
    const state = ["", "near", "close"][worst ? worst.state : 0];
    this.tag.show(board.boxOnScreen(thing), `${count}${thing.label} · ${place}`, stateWords(worst, writing), state, board.font, [view.width, view.height], Boolean(worst && worst.to && worst.to[1] > thing.at[1]));
    board.readout.set([`<b>`, `${thing.label} · ${place} ${writing.unit}`], state, stateWords(worst, writing));
  }

  /** From the lower left corner of the face, outside of it, as it will be marked out. */
  datum(thing, here) {
    const edge = (this.board.scene.outlines[0] || {}).points;
    if (!edge) return;
    const { view, scene } = this.board, { pool } = this;
    const u0 = Math.min(...edge.map((p) => p[0])), v0 = Math.min(...edge.map((p) => p[1]));
    const [x0, y0] = view.toScreen([u0, v0]);
    pool.line(here, [here[0], y0 + 24], "drop");
    pool.line(here, [x0 - 24, here[1]], "drop");
    pool.dimension([here[0], y0], [x0, y0], figure(thing.at[0] - u0, scene.writing), { off: 20 });
    pool.dimension([x0, y0], [x0, here[1]], figure(thing.at[1] - v0, scene.writing), { off: 20 });
  }

  /** What Python says it would bring; nothing is measured here, since it does not end where the pointer is. */
  wished(carry) {
    const { board } = this, thing = carry.primary, here = board.view.toScreen(thing.at);
    const { first, second } = carry.would || { first: thing.label, second: "" };
    this.pool.line(board.view.toScreen(carry.homes.get(thing)), here, "drop");
    const isEye = thing.sort === "eye", box = isEye ? board.boxOnScreen(thing) : this.outside(thing, here);
    this.tag.show(box, first, second, "", board.font, [board.view.width, board.view.height], isEye);
    board.readout.set(["<b>", first], "", second);
  }

  corner(carry) {
    const { board, pool } = this, { view } = board, { writing, axes } = board.scene;
    const thing = carry.primary, here = view.toScreen(thing.at);
    const [before, , after] = carry.neighbors();
    for (const end of [before, after]) {
      const a = view.toScreen(end);
      if (distance(a, here) > 24) pool.dimension(a, here, figure(distance(end, thing.at), writing), { off: end === before ? -26 : 26 });
    }
    const angle = insideAngle(before, thing.at, after);
    const place = axes.map((axis, i) => `${axis} ${figure(thing.at[i], writing)}`).join(" · ");
    this.tag.show(this.outside(thing, here), `${thing.label} · ${place}`, `inside angle ${angle.toFixed(1)}°`, "", board.font, [view.width, view.height]);
    board.readout.set(["<b>", `${thing.label} · ${place} ${writing.unit}`], "", `inside angle ${angle.toFixed(1)}°`);
  }

  /** A box off the corner, outside of the outline, for the tag to stand over. */
  outside(thing, [x, y]) {
    const seam = (this.board.scene.seams || []).find(({ corner }) => corner === thing.key);
    const [ix, iy] = seam ? seam.inward : thing.normal ? thing.normal.map((x) => -x) : [0, -1];
    const cx = x - ix * 130, cy = y + iy * 60 + 36;
    return [cx, cy, cx, cy];
  }

  hit(hit, thing) {
    const { view, scene } = this.board;
    if (hit.axis === 2) {
      this.pool.line(view.toScreen(hit.from), view.toScreen(thing.at), "snap", hit.words);
      return;
    }
    const across = 1 - hit.axis, ends = [[...thing.at], [...thing.at]];
    if (hit.from) {
      ends[0] = [...hit.from];
      ends[0][hit.axis] = hit.words === "evenly spaced" ? ends[0][hit.axis] : thing.at[hit.axis];
      if (hit.words === "evenly spaced") return void this.pool.line(view.toScreen(ends[0]), view.toScreen(thing.at), "snap", "");
    } else {
      const line = thing.at[hit.axis];
      ends[0][hit.axis] = line;
      ends[0][across] = scene.extent[across];
      ends[1][across] = scene.extent[across + 2];
    }
    this.pool.line(view.toScreen(ends[0]), view.toScreen(ends[1]), "snap", "");
  }
}

/** The nearest parts to the left and right, and the nearest above or below: at most three, none that is far off. */
function nearest(thing, others, [x0, y0, x1, y1]) {
  const found = [null, null, null], most = Math.max(x1 - x0, y1 - y0);
  for (const other of others) {
    const dx = other.at[0] - thing.at[0], dy = other.at[1] - thing.at[1];
    const way = Math.abs(dx) >= Math.abs(dy) ? (dx < 0 ? 0 : 1) : 2;
    if (Math.hypot(dx, dy) > most * (way === 2 ? 0.25 : 0.5)) continue;
    if (!found[way] || distance(other.at, thing.at) < distance(found[way].at, thing.at)) found[way] = other;
  }
  return found.filter(Boolean);
}

/** Angle inside of a counter-clockwise outline. [degrees] */
export function insideAngle(before, here, after) {
  const start = Math.atan2(after[1] - here[1], after[0] - here[0]);
  const end = Math.atan2(before[1] - here[1], before[0] - here[0]);
  return ((((end - start) * 180) / Math.PI) % 360 + 360) % 360;
}
