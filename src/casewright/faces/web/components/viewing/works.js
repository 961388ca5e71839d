// What is worked into a piece, shown by itself: walls and rims of holes, openings, pockets, chamfers. See scene_works.py.

import { THREE } from "nicegui-scene";

const ROUND = 32; // corners of a round rim
const ROOM = 0.04; // mm off the true wall, so that the two do not flicker

/** Surface and rims of bands. */
export function workedGeometry(bands) {
  const surface = [], lines = [];
  for (const band of bands) {
    const rings = ringsOf(band);
    rings.forEach((ring, i) => {
      ring.forEach((a, j) => {
        const b = ring[(j + 1) % ring.length];
        lines.push(...a, ...b);
        if (i + 1 === rings.length) return;
        const c = rings[i + 1][(j + 1) % ring.length], d = rings[i + 1][j];
        surface.push(...a, ...b, ...c, ...a, ...c, ...d);
      });
    });
    if (band.floor) surface.push(...floorOf(rings[rings.length - 1]));
  }
  return { surface: geometryOf(surface), lines: geometryOf(lines) };
}

function ringsOf({ n, centre, radii, rings }) {
  if (!radii) return rings.map((ring, i) => pairs(ring).map(([u, v]) => [u, v, n[i]]));
  return radii.map((radius, i) => Array.from({ length: ROUND }, (_, k) => {
    const turn = (2 * Math.PI * k) / ROUND, r = Math.max(radius - ROOM, 0);
    return [centre[0] + r * Math.cos(turn), centre[1] + r * Math.sin(turn), n[i]];
  }));
}

function floorOf(ring) {
  const flat = ring.map(([u, v]) => new THREE.Vector2(u, v));
  return THREE.ShapeUtils.triangulateShape(flat, []).flat().flatMap((i) => ring[i]);
}

function pairs(numbers) {
  return Array.from({ length: numbers.length / 2 }, (_, i) => [numbers[2 * i], numbers[2 * i + 1]]);
}

function geometryOf(points) {
  const made = new THREE.BufferGeometry();
  made.setAttribute("position", new THREE.BufferAttribute(new Float32Array(points), 3));
  return made;
}
