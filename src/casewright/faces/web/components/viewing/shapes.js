// Shapes as sent by scene.py: unpacked, given normals and sharp edges.

import { THREE } from "nicegui-scene";

const STEPS_PER_MM = 1000;
const CREASE = Math.cos((28 * Math.PI) / 180); // faces that meet at less look like one rounded surface
const SHARP = Math.cos((20 * Math.PI) / 180); // edges of faces that meet at more are drawn
const ALIKE = 1 - 1e-7; // cosine between normals that are one
const SHORT = 6; // mm; the middle of a shorter edge is no place to measure from

/** Unpack shapes that came together; pairs of id and shape. See the layout atop scene.py. */
export async function unpack({ ids, sizes, data }) {
  if (!ids.length) return [];
  const packed = Uint8Array.from(atob(data), (letter) => letter.charCodeAt(0));
  const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream("deflate-raw"));
  const all = await new Response(stream).arrayBuffer();
  let end = 0;
  return ids.map((id, i) => {
    const start = end;
    end += sizes[i];
    return [id, meshOf(new DataView(all, start, sizes[i]))];
  });
}

function meshOf(raw) {
  const corners = raw.getInt32(0, true);
  const count = raw.getInt32(4, true);
  const steps = planes(raw, 8, 3 * corners);
  const numbers = planes(raw, 8 + 12 * corners, 3 * count);
  const points = new Float32Array(3 * corners);
  for (let axis = 0; axis < 3; axis++) {
    let at = 0;
    for (let i = 0; i < corners; i++) {
      at += steps[axis * corners + i];
      points[3 * i + axis] = at / STEPS_PER_MM;
    }
  }
  const triangles = new Uint32Array(3 * count);
  let first = 0;
  for (let i = 0; i < count; i++) {
    first += numbers[i];
    triangles[3 * i] = first;
    triangles[3 * i + 1] = first + numbers[count + i];
    triangles[3 * i + 2] = first + numbers[2 * count + i];
  }
  return { points, triangles };
}

function planes(raw, start, count) {
  const values = new Int32Array(count);
  for (let i = 0; i < count; i++) {
    values[i] =
      raw.getUint8(start + i) |
      (raw.getUint8(start + count + i) << 8) |
      (raw.getUint8(start + 2 * count + i) << 16) |
      (raw.getUint8(start + 3 * count + i) << 24);
  }
  return values;
}

/** A shape ready to be shown: surface and sharp edges for the picture, corners to measure from, mesh to cut. */
export class Shape {
  constructor({ points, triangles }) {
    this.points = points;
    this.triangles = triangles;
    this.users = 0;
    const faces = faceNormals(points, triangles);
    const around = facesAround(triangles, points.length / 3);
    const edges = edgesOf(triangles, faces, around);
    this.surface = surfaceOf(points, triangles, faces, around);
    this.edges = linesOf(points, edges);
    this.corners = edges;
    this.box = this.surface.boundingBox;
  }

  /** Where a tape is put; found when first asked for. */
  get snaps() {
    this.found ??= snapsOf(this.points, this.corners);
    return this.found;
  }

  dispose() {
    this.surface.dispose();
    this.edges.dispose();
  }
}

function faceNormals(points, triangles) {
  const area = new Float32Array(triangles.length); // unit normal times twice the area
  const unit = new Float32Array(triangles.length);
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [3 * triangles[t], 3 * triangles[t + 1], 3 * triangles[t + 2]];
    const ux = points[b] - points[a], uy = points[b + 1] - points[a + 1], uz = points[b + 2] - points[a + 2];
    const vx = points[c] - points[a], vy = points[c + 1] - points[a + 1], vz = points[c + 2] - points[a + 2];
    const x = uy * vz - uz * vy, y = uz * vx - ux * vz, z = ux * vy - uy * vx;
    const length = Math.hypot(x, y, z) || 1;
    area[t] = x;
    area[t + 1] = y;
    area[t + 2] = z;
    unit[t] = x / length;
    unit[t + 1] = y / length;
    unit[t + 2] = z / length;
  }
  return { area, unit };
}

/** Of each corner the faces that meet there: those of corner i are about[start[i]] to about[start[i + 1] - 1]. */
function facesAround(triangles, corners) {
  const start = new Uint32Array(corners + 1);
  for (const corner of triangles) start[corner + 1]++;
  for (let i = 1; i < start.length; i++) start[i] += start[i - 1];
  const about = new Uint32Array(triangles.length);
  const next = start.slice();
  for (let i = 0; i < triangles.length; i++) about[next[triangles[i]]++] = i - (i % 3);
  return { start, about };
}

/** Edges where faces meet at more than a little, as pairs of corners. */
function edgesOf(triangles, { unit }, { start, about }) {
  const sharp = [];
  for (let t = 0; t < triangles.length; t += 3) {
    for (let k = 0; k < 3; k++) {
      const a = triangles[t + k], b = triangles[t + ((k + 1) % 3)];
      const other = faceWith(triangles, about, start[a], start[a + 1], b, a);
      if (other < 0 || other > t) continue; // each edge once, from the later of its faces
      const cosine = unit[t] * unit[other] + unit[t + 1] * unit[other + 1] + unit[t + 2] * unit[other + 2];
      if (cosine < SHARP) sharp.push(a, b);
    }
  }
  return sharp;
}

/** Among some faces the one that goes from corner a to corner b; -1 for none. */
function faceWith(triangles, about, first, end, a, b) {
  for (let j = first; j < end; j++) {
    const f = about[j];
    const p = triangles[f], q = triangles[f + 1], r = triangles[f + 2];
    if ((p === a && q === b) || (q === a && r === b) || (r === a && p === b)) return f;
  }
  return -1;
}

/** Corners are averaged over the faces about them that bend only a little; faces that agree on a corner share it. */
function surfaceOf(points, triangles, { area, unit }, { start, about }) {
  const positions = [], normals = [];
  const index = new Uint32Array(triangles.length);
  const latest = new Int32Array(points.length / 3).fill(-1); // of each corner the vertex made last, and before each that
  const before = [];
  for (let i = 0; i < triangles.length; i++) {
    const corner = triangles[i], face = i - (i % 3);
    let x = 0, y = 0, z = 0;
    for (let j = start[corner]; j < start[corner + 1]; j++) {
      const f = about[j];
      const cosine = unit[face] * unit[f] + unit[face + 1] * unit[f + 1] + unit[face + 2] * unit[f + 2];
      if (cosine > CREASE) {
        x += area[f];
        y += area[f + 1];
        z += area[f + 2];
      }
    }
    const length = Math.hypot(x, y, z) || 1;
    x /= length;
    y /= length;
    z /= length;
    let vertex = latest[corner];
    while (vertex >= 0 && normals[3 * vertex] * x + normals[3 * vertex + 1] * y + normals[3 * vertex + 2] * z < ALIKE) {
      vertex = before[vertex];
    }
    if (vertex < 0) {
      vertex = before.length;
      before.push(latest[corner]);
      latest[corner] = vertex;
      positions.push(points[3 * corner], points[3 * corner + 1], points[3 * corner + 2]);
      normals.push(x, y, z);
    }
    index[i] = vertex;
  }
  const surface = new THREE.BufferGeometry();
  surface.setAttribute("position", new THREE.BufferAttribute(new Float32Array(positions), 3));
  surface.setAttribute("normal", new THREE.BufferAttribute(new Float32Array(normals), 3));
  surface.setIndex(new THREE.BufferAttribute(before.length < 65536 ? new Uint16Array(index) : index, 1));
  surface.computeBoundingBox();
  surface.computeBoundingSphere();
  return surface;
}

function linesOf(points, edges) {
  const ends = new Float32Array(3 * edges.length);
  edges.forEach((corner, i) => {
    for (let k = 0; k < 3; k++) ends[3 * i + k] = points[3 * corner + k];
  });
  const lines = new THREE.BufferGeometry();
  lines.setAttribute("position", new THREE.BufferAttribute(ends, 3));
  return lines;
}

/** Where a tape is put: corners, and the middles of edges long enough to have one. */
function snapsOf(points, edges) {
  const found = [...new Set(edges)].map((corner) => ({
    kind: "corner",
    at: new THREE.Vector3().fromArray(points, 3 * corner),
  }));
  const start = new THREE.Vector3(), end = new THREE.Vector3();
  for (let i = 0; i < edges.length; i += 2) {
    start.fromArray(points, 3 * edges[i]);
    end.fromArray(points, 3 * edges[i + 1]);
    if (start.distanceTo(end) >= SHORT) {
      found.push({ kind: "middle", at: start.clone().lerp(end, 0.5) });
    }
  }
  return found;
}
