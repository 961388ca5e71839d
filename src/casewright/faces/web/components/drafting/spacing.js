// Whether what is dragged stands clear of everything else, by the limits that the scene brings along.

import { boxesAreOver, boxOf, distance, gapBetween, gapToEdge } from "./shapes.js";

export const OK = 0, NEAR = 1, CLOSE = 2;
export const WORDS = ["clear", "near", "too close"];

const FINE = 0.005; // mm: less than this short is not short

/** The scene's limits, ready to be asked. */
export class Spacing {
  constructor(scene) {
    this.rules = new Map();
    this.reach = 0;
    for (const rule of scene.rules || []) {
      this.rules.set(`${rule.a}|${rule.b}`, rule);
      this.rules.set(`${rule.b}|${rule.a}`, rule);
      this.reach = Math.max(this.reach, rule.least || 0, rule.good || 0);
    }
    this.outlines = scene.outlines || [];
    this.fixed = (scene.obstacles || []).map((one) => prepared({ ...one, at: [0, 0] }));
  }

  /** The worst of one part at `at`: {state, gap, asked, words, other, from, to}; null where nothing is near. */
  worst(item, at, others) {
    let found = null;
    const take = (one) => {
      if (one && (!found || one.state > found.state || (one.state === found.state && one.gap - one.asked < found.gap - found.asked)))
        found = one;
    };
    for (const outline of this.outlines)
      for (const flat of item.flats)
        if (outline.sorts.includes(flat.sort) && (outline.below === undefined || flat.high <= outline.below)) {
          const left = gapToEdge(flat, at, outline.points);
          take(judged(left, outline, ""));
        }
    for (const other of others) {
      take(this.pitch(item, at, other));
      this.pair(item, at, other, other.at, take);
    }
    for (const other of this.fixed) this.pair(item, at, other, other.at, take);
    return found;
  }

  pitch(item, at, other) {
    const asked = item.pitch && item.pitch[other.key];
    if (!asked) return null;
    const far = distance(at, other.at);
    if (far >= asked.good - FINE) return null;
    const one = judged({ gap: far, from: at, to: other.at }, asked, other.label);
    one.isPitch = true;
    return one;
  }

  pair(item, at, other, there, take) {
    if (boxesAreOver(item.box, at[0], at[1], other.box, there[0], there[1], this.reach)) return;
    for (const a of item.flats) {
      if (boxesAreOver(a.box, at[0], at[1], other.box, there[0], there[1], this.reach)) continue;
      for (const b of other.flats) {
        const rule = this.rules.get(`${a.sort}|${b.sort}`);
        if (!rule || a.low >= b.high - 1e-6 || b.low >= a.high - 1e-6) continue;
        const most = Math.max(rule.least ?? -Infinity, rule.good ?? -Infinity);
        if (boxesAreOver(a.box, at[0], at[1], b.box, there[0], there[1], most)) continue;
        if (touches(a, other) || touches(b, item)) continue;
        const left = gapBetween(a, at, b, there);
        if (left.gap >= most - FINE) continue;
        take(judged(left, rule, other.label));
      }
    }
  }
}

/** Outlines with their boxes, so that what is far away is passed over at once. */
export function prepared(item) {
  const flats = (item.flats || []).map((flat) => ({ ...flat, box: boxOf(flat) }));
  const box = [Infinity, Infinity, -Infinity, -Infinity];
  for (const flat of flats) {
    box[0] = Math.min(box[0], flat.box[0]);
    box[1] = Math.min(box[1], flat.box[1]);
    box[2] = Math.max(box[2], flat.box[2]);
    box[3] = Math.max(box[3], flat.box[3]);
  }
  return { ...item, flats, box };
}

const touches = (flat, other) => flat.touch !== undefined && flat.touch.includes(other.key);

function judged(left, { least, good, words, meets }, other) {
  const state = least !== undefined && left.gap < least - FINE ? CLOSE : good !== undefined && left.gap < good - FINE ? NEAR : OK;
  if (state === OK) return null;
  return { ...left, state, asked: state === CLOSE ? least : good, words: left.gap < 0 || !words ? meets : words, other };
}
