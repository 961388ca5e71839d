// Distances between flat outlines. An outline is a core of straight lines widened by a radius: a disc is a point with
// its radius, a slot a line, a rounded rectangle a smaller one with its corner radius. So all distances are exact.

/** The rectangle round an outline: [least x, least y, most x, most y]. */
export function boxOf(flat) {
  let x0 = Infinity, y0 = Infinity, x1 = -Infinity, y1 = -Infinity;
  for (const [x, y] of flat.core) {
    if (x < x0) x0 = x;
    if (x > x1) x1 = x;
    if (y < y0) y0 = y;
    if (y > y1) y1 = y;
  }
  const r = flat.radius;
  return [x0 - r, y0 - r, x1 + r, y1 + r];
}

/** True where two boxes, moved by (ax, ay) and (bx, by), are further apart than `by`. */
export function boxesAreOver(a, ax, ay, b, bx, by, most) {
  const dx = ax - bx, dy = ay - by;
  return (
    a[0] + dx - b[2] > most || b[0] - a[2] - dx > most || a[1] + dy - b[3] > most || b[1] - a[3] - dy > most
  );
}

export const moved = (core, [dx, dy]) => core.map(([x, y]) => [x + dx, y + dy]);

/** True for a point inside a closed outline (crossings of a ray). */
export function isInside([x, y], outline) {
  let inside = false;
  let [ax, ay] = outline[outline.length - 1];
  for (const [bx, by] of outline) {
    if (ay > y !== by > y && x < ((bx - ax) * (y - ay)) / (by - ay) + ax) inside = !inside;
    ax = bx;
    ay = by;
  }
  return inside;
}

/** Nearest point of a closed outline's edges (or of a line, or a point) to p. */
export function nearestOn(p, outline) {
  if (outline.length === 1) return outline[0];
  let best = Infinity, found = outline[0];
  let [ax, ay] = outline[outline.length - 1];
  for (const [bx, by] of outline) {
    const dx = bx - ax, dy = by - ay, size = dx * dx + dy * dy;
    const t = size === 0 ? 0 : Math.min(Math.max(((p[0] - ax) * dx + (p[1] - ay) * dy) / size, 0), 1);
    const qx = ax + t * dx, qy = ay + t * dy, far = (qx - p[0]) ** 2 + (qy - p[1]) ** 2;
    if (far < best) {
      best = far;
      found = [qx, qy];
    }
    ax = bx;
    ay = by;
  }
  return found;
}

/** {gap, from, to}: what is left between two outlines, negative where they meet, and where it is. */
export function gapBetween(a, atA, b, atB) {
  const first = moved(a.core, atA), second = moved(b.core, atB), reach = a.radius + b.radius;
  if (overlap(first, second)) return { gap: -reach - 1e-3, from: middle(first), to: middle(second) };
  let best = Infinity, from = first[0], to = second[0];
  for (const p of first) {
    const q = nearestOn(p, second), far = distance(p, q);
    if (far < best) [best, from, to] = [far, p, q];
  }
  for (const q of second) {
    const p = nearestOn(q, first), far = distance(p, q);
    if (far < best) [best, from, to] = [far, p, q];
  }
  return { gap: best - reach, from: toward(from, to, a.radius), to: toward(to, from, b.radius) };
}

/** The same from an outline to the edge round it; negative by how far it sticks out. */
export function gapToEdge(a, at, outline) {
  const core = moved(a.core, at);
  const outside = core.filter((p) => !isInside(p, outline));
  let best = Infinity, from = core[0], to = core[0];
  if (outside.length) {
    best = -Infinity;
    for (const p of outside) {
      const q = nearestOn(p, outline), far = distance(p, q);
      if (far > best) [best, from, to] = [far, p, q];
    }
    return { gap: -a.radius - best, from, to };
  }
  for (const p of core) {
    const q = nearestOn(p, outline), far = distance(p, q);
    if (far < best) [best, from, to] = [far, p, q];
  }
  if (core.length > 1) {
    for (const q of outline) {
      const p = nearestOn(q, core), far = distance(p, q);
      if (far < best) [best, from, to] = [far, p, q];
    }
    if (cross(core, outline)) best = 0;
  }
  return { gap: best - a.radius, from: toward(from, to, a.radius), to };
}

export const distance = (p, q) => Math.hypot(p[0] - q[0], p[1] - q[1]);

function toward(p, q, by) {
  const far = distance(p, q);
  return far === 0 ? p : [p[0] + ((q[0] - p[0]) / far) * by, p[1] + ((q[1] - p[1]) / far) * by];
}

function middle(points) {
  const sum = points.reduce((s, p) => [s[0] + p[0], s[1] + p[1]], [0, 0]);
  return [sum[0] / points.length, sum[1] / points.length];
}

function overlap(a, b) {
  for (const [one, other] of [[a, b], [b, a]])
    if (other.length > 2 && (isInside(one[0], other) || isInside(middle(one), other))) return true;
  return a.length > 1 && b.length > 1 && cross(a, b);
}

function cross(a, b) {
  for (let i = 0; i < a.length; i++)
    for (let j = 0; j < b.length; j++)
      if (segmentsCross(a[(i || a.length) - 1], a[i], b[(j || b.length) - 1], b[j])) return true;
  return false;
}

const turn = (p, q, r) => (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]);

function segmentsCross(p, q, r, s) {
  return turn(p, q, r) * turn(p, q, s) < 0 && turn(r, s, p) * turn(r, s, q) < 0;
}
