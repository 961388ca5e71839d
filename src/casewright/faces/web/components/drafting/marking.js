// Where the dots of findings go: one beside the other, none over another or over a handle, many at one place as one.

const SIZE = 19; // pixels that a dot takes
const MOST = 3; // dots of their own at one place; what is more goes into the last of them
const SAME = 10; // pixels: places nearer than this are the same one
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
