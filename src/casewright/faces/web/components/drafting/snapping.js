// Where a drag comes to rest: on centre lines, in line with other parts, evenly spaced, or else on the grid.

/**
 * The nearest resting place for a point.
 *   raw      [x, y] where the pointer would put it
 *   targets  {x: [{at, words, from}], y: [...]}, see `targetsFor`
 *   grid     step of the grid, 0 for none
 *   reach    how near a target must be to catch
 * Returns {at: [x, y], hits: [{axis, at, words, from}]}; what only lies on the grid is no hit.
 */
export function snapped(raw, targets, grid, reach) {
  const hits = [];
  const at = [0, 1].map((axis) => {
    let best = null;
    for (const target of axis ? targets.y : targets.x) {
      const off = Math.abs(target.at - raw[axis]);
      if (off <= reach && (!best || off < best.off - 1e-9)) best = { ...target, off };
    }
    if (best) {
      hits.push({ axis, at: best.at, words: best.words, from: best.from });
      return best.at;
    }
    return grid > 0 ? onGrid(raw[axis], grid) : raw[axis];
  });
  return { at, hits };
}

/** The nearest step, free of the dust of binary fractions. */
export function onGrid(value, grid) {
  return Math.round(Math.round(value / grid) * grid * 1e6) / 1e6;
}

/**
 * All that a part may come to rest on.
 *   guides  the scene's own lines: {axis: "u", at, words, edge?: "low" | "high", for?: [key]}
 *   others  parts that stay: {key, label, at}
 *   item    the part that is dragged; `raw` where it is now
 */
export function targetsFor(scene, item, others, raw) {
  const targets = { x: [], y: [] };
  for (const guide of scene.guides || []) {
    if (guide.for && !guide.for.includes(item.key)) continue;
    const axis = scene.axes.indexOf(guide.axis);
    const shift = guide.edge && item.reach ? item.reach[(guide.edge === "low" ? 0 : 2) + axis] : 0;
    targets[axis ? "y" : "x"].push({ at: guide.at - shift, words: guide.words, from: null });
  }
  for (const other of others) {
    targets.x.push({ at: other.at[0], words: `in line with ${other.label}`, from: other.at });
    targets.y.push({ at: other.at[1], words: `in line with ${other.label}`, from: other.at });
  }
  for (const axis of [0, 1]) for (const even of evenSpaces(axis, others, raw)) targets[axis ? "y" : "x"].push(even);
  return targets;
}

/** Places as far from a neighbor as that one is from its own, and halfway between two: in one row with the part. */
export function evenSpaces(axis, others, raw) {
  const across = 1 - axis;
  const row = others
    .filter((other) => Math.abs(other.at[across] - raw[across]) < 30)
    .sort((a, b) => a.at[axis] - b.at[axis]);
  const found = [];
  const before = row.filter((other) => other.at[axis] < raw[axis]);
  const after = row.filter((other) => other.at[axis] >= raw[axis]);
  const add = (at, from) => found.push({ at, words: "evenly spaced", from });
  const [a, b] = before.slice(-2);
  if (b) add(2 * b.at[axis] - a.at[axis], b.at);
  const [c, d] = after;
  if (d) add(2 * c.at[axis] - d.at[axis], c.at);
  const last = before[before.length - 1];
  if (last && c) add((last.at[axis] + c.at[axis]) / 2, last.at);
  return found;
}

/** For a corner of an outline: level and upright with other corners, and along the runs that meet in it. */
export function cornerSnap(raw, before, here, after, others, grid, reach) {
  for (const end of [before, after]) {
    const dx = here[0] - end[0], dy = here[1] - end[1], size = Math.hypot(dx, dy);
    const along = ((raw[0] - end[0]) * dx + (raw[1] - end[1]) * dy) / size;
    const off = Math.abs((raw[0] - end[0]) * dy - (raw[1] - end[1]) * dx) / size;
    const level = Math.abs(dx) < 1e-6 || Math.abs(dy) < 1e-6;
    if (!level && off <= reach) {
      const to = grid > 0 ? onGrid(along, grid) : along;
      const at = [end[0] + (dx / size) * to, end[1] + (dy / size) * to];
      return { at, hits: [{ axis: 2, at, words: "slope kept", from: end }] };
    }
  }
  const targets = { x: [], y: [] };
  for (const other of others) {
    targets.x.push({ at: other.at[0], words: `upright over ${other.key}`, from: other.at });
    targets.y.push({ at: other.at[1], words: `level with ${other.key}`, from: other.at });
  }
  return snapped(raw, targets, grid, reach);
}
