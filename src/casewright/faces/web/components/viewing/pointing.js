// What the pointer is on: parts to pick, and points to measure from.

import { THREE } from "nicegui-scene";
import { cornersOf } from "./stage.js";

const STILL = 5; // px that a press may move and still be a press, not a turn
const CATCH = 16; // px within which a corner catches the pointer
const TRIED = 8; // nearest corners looked at for being in sight

export class Pointing {
  /** `tell` has over(part, position), pressed(part, point), spot(snap) and put(snap). */
  constructor(stage, parts, tell) {
    this.stage = stage;
    this.parts = parts;
    this.tell = tell;
    this.ray = new THREE.Raycaster();
    this.measuring = false;
    const on = (name, act) => stage.canvas.addEventListener(name, act);
    on("pointerdown", (event) => this.down(event));
    on("pointermove", (event) => this.move(event));
    on("pointerup", (event) => this.up(event));
    on("pointercancel", () => (this.start = null));
    on("pointerleave", () => this.leave());
  }

  position(event) {
    const { left, top } = this.stage.canvas.getBoundingClientRect();
    return { x: event.clientX - left, y: event.clientY - top };
  }

  down(event) {
    this.start = event.isPrimary && event.button === 0 ? this.position(event) : null;
    this.pressed = true;
  }

  move(event) {
    const at = this.position(event);
    if (this.start && Math.hypot(at.x - this.start.x, at.y - this.start.y) > STILL) {
      this.start = null;
      this.stage.host.classList.add("cw-turning");
      this.tell.over(null);
    }
    if (event.buttons || event.pointerType === "touch") return;
    this.latest = at;
    if (this.waiting) return; // one look a frame is enough
    this.waiting = requestAnimationFrame(() => {
      this.waiting = 0;
      if (this.latest) this.look(this.latest);
    });
  }

  look(at) {
    if (this.measuring) {
      this.tell.spot(this.snap(at));
    } else {
      this.tell.over(this.hit(at)?.part ?? null, at);
    }
  }

  up(event) {
    this.stage.host.classList.remove("cw-turning");
    const start = this.start;
    this.start = null;
    if (!start) return;
    const at = this.position(event);
    if (this.measuring) {
      const snap = this.snap(at);
      if (snap) this.tell.put(snap);
      return;
    }
    const hit = this.hit(at);
    this.tell.pressed(hit?.part ?? null, hit?.point);
  }

  leave() {
    this.latest = null;
    this.tell.over(null);
    if (this.measuring) this.tell.spot(null);
  }

  /** The part under a pixel and the point on it; what is glassy only if nothing else is there. */
  hit(at) {
    const { clientWidth: width, clientHeight: height } = this.stage.host;
    this.ray.setFromCamera(new THREE.Vector2((at.x / width) * 2 - 1, 1 - (at.y / height) * 2), this.stage.camera);
    return this.first();
  }

  first() {
    const things = [];
    for (const part of this.parts.byKey.values()) {
      if (!part.shown) continue;
      things.push(part.mesh);
      if (part.cut.length) things.push(part.cut[0]);
    }
    let glassy = null;
    for (const found of this.ray.intersectObjects(things, false)) {
      if (this.parts.isCutAway(found.point)) continue;
      const part = found.object.userData.part;
      const hit = { part, point: found.point, distance: found.distance };
      if (!part.glassy && part.record.group !== "room") return hit;
      glassy ??= hit;
    }
    return glassy;
  }

  /** Where a tape would be put near a pixel: a centre, corner or middle in sight, else the face itself. */
  snap(at) {
    const near = [];
    for (const part of this.parts.byKey.values()) {
      if (!part.shown || part.record.group === "room" || !this.isNear(part, at)) continue;
      for (const { kind, at: own } of this.snapsOf(part)) {
        const point = own.clone().applyMatrix4(part.mesh.matrix);
        const screen = this.stage.onScreen(point);
        if (!screen || this.parts.isCutAway(point)) continue;
        const away = Math.hypot(screen.x - at.x, screen.y - at.y);
        if (away < CATCH) near.push({ kind, part, point, away: away - (kind === "centre" ? 2 : 0) });
      }
    }
    near.sort((a, b) => a.away - b.away);
    for (const snap of near.slice(0, TRIED)) {
      if (this.inSight(snap.point)) return snap;
    }
    const hit = this.hit(at);
    return hit && { kind: "face", part: hit.part, point: hit.point };
  }

  snapsOf(part) {
    if (!part.snaps) {
      const { centres } = part.record;
      part.snaps = [...part.shape.snaps];
      for (let i = 0; i < centres.length; i += 3) {
        part.snaps.push({ kind: "centre", at: new THREE.Vector3().fromArray(centres, i) });
      }
    }
    return part.snaps;
  }

  /** Whether a part's box reaches near a pixel. */
  isNear(part, at) {
    let [left, right, top, bottom] = [Infinity, -Infinity, Infinity, -Infinity];
    for (const corner of cornersOf(part.box)) {
      const screen = this.stage.onScreen(corner);
      if (!screen) return true;
      left = Math.min(left, screen.x);
      right = Math.max(right, screen.x);
      top = Math.min(top, screen.y);
      bottom = Math.max(bottom, screen.y);
    }
    return at.x > left - CATCH && at.x < right + CATCH && at.y > top - CATCH && at.y < bottom + CATCH;
  }

  inSight(point) {
    const eye = this.stage.camera.position;
    const way = point.clone().sub(eye);
    const distance = way.length();
    this.ray.set(eye, way.normalize());
    const hit = this.first();
    return !hit || hit.part.glassy || hit.distance > distance - 0.5;
  }

  dispose() {
    cancelAnimationFrame(this.waiting);
  }
}
