// Where a plane cuts a closed mesh: the outline as line segments and the area inside it as triangles.

import { THREE } from "nicegui-scene";

/**
 * Cut a mesh in its own frame.
 *
 * `plane` keeps the side that its normal points to. Returns null where it does not meet the mesh, else
 * {outline: Float32Array of segments, area: Float32Array of triangles, coordinates: Float32Array of (u, v) in mm}.
 */
export function cutMesh(points, triangles, plane) {
  const corners = points.length / 3;
  const side = new Float64Array(corners);
  const { normal: n, constant } = plane;
  let above = 0;
  for (let i = 0; i < corners; i++) {
    const d = points[3 * i] * n.x + points[3 * i + 1] * n.y + points[3 * i + 2] * n.z + constant;
    side[i] = Math.abs(d) < 1e-4 ? 1e-4 : d; // what lies in the plane counts as kept
    if (side[i] > 0) above++;
  }
  if (above === 0 || above === corners) return null;
  const [across, along] = axesIn(n);
  const at = new Map(); // crossing points by the mesh edge they lie on: neighbors find the same one
  const crossing = (a, b) => {
    const key = a < b ? a * corners + b : b * corners + a;
    if (!at.has(key)) {
      const t = side[a] / (side[a] - side[b]);
      const p = new THREE.Vector3().fromArray(points, 3 * a).lerp(new THREE.Vector3().fromArray(points, 3 * b), t);
      at.set(key, { p, flat: new THREE.Vector2(p.dot(across), p.dot(along)) });
    }
    return key;
  };
  const next = new Map(); // of a closed mesh each crossing leads to one other
  for (let t = 0; t < triangles.length; t += 3) {
    let from, to;
    for (let k = 0; k < 3; k++) {
      const a = triangles[t + k], b = triangles[t + ((k + 1) % 3)];
      if (side[a] > 0 && side[b] < 0) from = crossing(a, b);
      if (side[a] < 0 && side[b] > 0) to = crossing(a, b);
    }
    if (from !== undefined && to !== undefined) next.set(from, to);
  }
  const rings = ringsOf(next).map((keys) => keys.map((key) => at.get(key)));
  const outline = [];
  for (const ring of rings) {
    ring.forEach(({ p }, i) => outline.push(...p.toArray(), ...ring[(i + 1) % ring.length].p.toArray()));
  }
  const area = [], coordinates = [];
  for (const { outer, holes } of nested(rings)) {
    const flat = (ring) => ring.map((corner) => corner.flat);
    const all = [outer, ...holes].flat();
    for (const face of THREE.ShapeUtils.triangulateShape(flat(outer), holes.map(flat))) {
      for (const i of face) {
        area.push(...all[i].p.toArray());
        coordinates.push(all[i].flat.x, all[i].flat.y);
      }
    }
  }
  return {
    outline: new Float32Array(outline),
    area: new Float32Array(area),
    coordinates: new Float32Array(coordinates),
  };
}

function axesIn(normal) {
  const { x, y, z } = normal;
  const aside = Math.abs(z) > 0.9 ? new THREE.Vector3(1, 0, 0) : new THREE.Vector3(0, 0, 1);
  const across = aside.cross(new THREE.Vector3(x, y, z)).normalize();
  return [across, new THREE.Vector3(x, y, z).normalize().cross(across)];
}

function ringsOf(next) {
  const rings = [];
  const left = new Set(next.keys());
  for (const start of next.keys()) {
    if (!left.has(start)) continue;
    const ring = [];
    let key = start;
    while (left.delete(key)) {
      ring.push(key);
      key = next.get(key);
    }
    if (ring.length > 2) rings.push(ring);
  }
  return rings;
}

/** Rings sorted into outlines and the holes in each: a ring inside an odd number of others is a hole. */
function nested(rings) {
  const flat = rings.map((ring) => ring.map((corner) => corner.flat));
  const size = flat.map((ring) => Math.abs(THREE.ShapeUtils.area(ring)));
  const within = rings.map((_, i) =>
    rings.map((_, j) => j).filter((j) => j !== i && size[j] > size[i] && holds(flat[j], flat[i][0])),
  );
  const areas = new Map();
  rings.forEach((ring, i) => {
    if (within[i].length % 2 === 0 && size[i] > 1e-3) areas.set(i, { outer: ring, holes: [] });
  });
  rings.forEach((ring, i) => {
    if (within[i].length % 2 === 0) return;
    const around = within[i].reduce((best, j) => (size[j] < size[best] ? j : best));
    areas.get(around)?.holes.push(ring);
  });
  return [...areas.values()];
}

function holds(ring, point) {
  let inside = false;
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
    const a = ring[i], b = ring[j];
    if (a.y > point.y !== b.y > point.y && point.x < ((b.x - a.x) * (point.y - a.y)) / (b.y - a.y) + a.x) {
      inside = !inside;
    }
  }
  return inside;
}
