// A drag or a step by key: what moves, what is carried along, where it comes to rest, how near it gets.

import { CLOSE, NEAR, WORDS } from "./spacing.js";
import { cornerSnap, snapped, targetsFor } from "./snapping.js";

const CATCH = 6; // pixels: how near a line must be to catch
const PAUSE = 1000 / 15; // ms between two words to Python

export class Carry {
  /** `keys` move, `primary` is the one under the pointer; what follows one of them is carried. */
  constructor(board, keys, primary, by) {
    this.board = board;
    this.by = by;
    this.primary = board.things.get(primary);
    this.own = keys.map((key) => board.things.get(key)).filter((thing) => thing && thing.isMovable);
    this.followers = followersOf(this.own, board.scene.links || [], board.things);
    this.all = [...this.own, ...this.followers.map(({ thing }) => thing)];
    this.stays = [...board.things.values()].filter((thing) => thing.sort === "item" && !this.all.includes(thing));
    this.homes = new Map(this.all.map((thing) => [thing, [...thing.at]]));
    this.delta = [0, 0];
    this.hits = [];
    this.told = 0;
    this.timer = 0;
    for (const { thing } of this.followers) thing.group.classList.add("carried");
    if (!this.isCorner) raise(this.all, this.stays);
  }

  /** A corner, an edge or an eye: it has no outline of its own, and Python hears of it by itself. */
  get isCorner() {
    return this.primary.sort !== "item";
  }

  /** The cabinet's outline as it would be, where that is known. */
  outline() {
    const { scene, things } = this.board;
    if (!this.isCorner) return null;
    if (!this.primary.wished) return scene.outline.map((name) => things.get(name).at);
    const told = this.would && this.would.corners;
    return told ? scene.outline.map((name) => told[name] || things.get(name).home) : null;
  }

  get hasMoved() {
    return Math.hypot(...this.delta) > 1e-9;
  }

  /** Toward a raw shift of the pointer; `isFree` is without snapping. */
  toward(raw, isFree) {
    const home = this.homes.get(this.primary);
    const at = [home[0] + raw[0], home[1] + raw[1]];
    const { board } = this, { grid } = board.scene;
    this.hits = [];
    if (this.primary.normal) return this.shift(squareTo(this.primary.normal, raw, isFree ? 0 : grid));
    let to = at.map((value) => Math.round(value * 100) / 100);
    if (!isFree && board.options.snap && !this.primary.wished) {
      const reach = CATCH / board.view.scale;
      const found = this.isCorner
        ? cornerSnap(at, ...this.neighbors(), this.otherCorners(), grid, reach)
        : snapped(at, targetsFor(board.scene, this.primary, this.stays, at), board.options.grid ? grid : 0, reach);
      to = found.at;
      this.hits = found.hits;
    }
    this.shift([to[0] - home[0], to[1] - home[1]]);
  }

  shift(delta) {
    this.delta = delta;
    for (const thing of this.own) this.place(thing, delta);
    for (const { thing, by } of this.followers)
      this.place(thing, [by[0] * delta[0] + by[1] * delta[1], by[2] * delta[0] + by[3] * delta[1]]);
    this.tell();
  }

  place(thing, [dx, dy]) {
    const home = this.homes.get(thing);
    this.board.moveThing(thing, [home[0] + dx, home[1] + dy]);
  }

  /** The worst of all that moves, and the state of each by key. */
  judge() {
    const states = new Map();
    let worst = null;
    for (const thing of this.all) {
      if (thing.sort !== "item") continue;
      const found = this.board.spacing.worst(thing, thing.at, this.stays);
      states.set(thing.key, found ? found.state : 0);
      if (found && (!worst || found.state > worst.state || (found.state === worst.state && thing === this.primary)))
        worst = { ...found, key: thing.key, label: thing.label };
    }
    return { worst, states };
  }

  /** Show it: states in color and line, and tell the rest of the board. */
  paint() {
    const { worst, states } = this.judge();
    this.worst = worst;
    for (const thing of this.all) {
      const state = states.get(thing.key) || 0;
      if (thing.state === state) continue;
      thing.state = state;
      thing.group.classList.toggle("near", state === NEAR);
      thing.group.classList.toggle("close", state === CLOSE);
    }
  }

  tell() {
    const now = performance.now();
    clearTimeout(this.timer);
    if (now - this.told >= PAUSE) {
      this.told = now;
      this.emit("moving");
    } else this.timer = setTimeout(() => this.tell(), PAUSE - (now - this.told));
  }

  emit(what) {
    if (this.isCorner) {
      this.board.emit(`corner_${what}`, { key: this.primary.key, at: clean(this.primary.at), by: this.by });
      return;
    }
    this.board.emit(what, {
      moves: this.own.map((thing) => ({ key: thing.key, at: clean(thing.at) })),
      carried: this.followers.map(({ thing }) => ({ key: thing.key, at: clean(thing.at) })),
      state: WORDS[this.worst ? this.worst.state : 0],
      by: this.by,
    });
  }

  drop() {
    this.release();
    if (this.hasMoved) {
      for (const thing of this.all) thing.home = [...thing.at];
      this.emit("moved");
    }
  }

  cancel() {
    this.shift([0, 0]);
    this.release();
    if (this.told) this.emit("moving"); // what was shown of it on the way is taken back
  }

  release() {
    clearTimeout(this.timer);
    for (const thing of this.all) {
      thing.state = 0;
      thing.group.classList.remove("near", "close", "carried");
    }
  }

  neighbors() {
    const names = this.board.scene.outline, count = names.length;
    const here = names.indexOf(this.primary.key), corner = (i) => this.board.things.get(names[(i + count) % count]);
    return [corner(here - 1).at, this.homes.get(this.primary), corner(here + 1).at];
  }

  otherCorners() {
    return this.board.scene.outline.map((name) => this.board.things.get(name)).filter((one) => one !== this.primary);
  }
}

function followersOf(own, links, things) {
  const found = [], seen = new Set(own);
  const walk = (thing, by) => {
    for (const link of links) {
      const next = things.get(link.to);
      if (link.from !== thing.key || !next || seen.has(next)) continue;
      seen.add(next);
      const step = times(link.by, by);
      found.push({ thing: next, by: step });
      walk(next, step);
    }
  };
  for (const thing of own) walk(thing, [1, 0, 0, 1]);
  return found;
}

/** What moves to the top, by moving what stays: moved itself, it would lose the focus. */
function raise(moving, stays) {
  const groups = new Set(moving.map(({ group }) => group)), parent = moving[0].group.parentNode;
  const first = [...parent.children].find((child) => groups.has(child));
  for (const { group } of stays)
    if (first.compareDocumentPosition(group) & Node.DOCUMENT_POSITION_FOLLOWING) parent.insertBefore(group, first);
}

/** The part of a shift that is square to an edge, on whole steps. */
function squareTo([a, b], [x, y], grid) {
  const far = x * a + y * b, to = grid > 0 ? Math.round(far / grid) * grid : far;
  return [a * to, b * to];
}

const times = ([a, b, c, d], [e, f, g, h]) => [a * e + b * g, a * f + b * h, c * e + d * g, c * f + d * h];
const clean = (at) => at.map((value) => Math.round(value * 1e4) / 1e4 + 0);
