// The viewer as a plain class, without any framework: new Viewer(host, tell). Its methods are told atop ../viewer.js.

import { Overlay } from "./overlay.js";
import { Parts } from "./parts.js";
import { Pointing } from "./pointing.js";
import { Stage } from "./stage.js";
import { dress, tint } from "./style.js";

const STEP_DEG = 10;
const ZOOM = 1.2;
const CROSS_STEP = 8; // px that an arrow moves the cross by while measuring; with Shift that many more
const CROSS_FAR = 6;
const AT_FIRST = {
  theme: "light", apart: 0, section: null, see_through: false, bodies: true, rooms: false, edges: true,
  hidden: [], only: null, works: null, marked: [], dots: true, mode: "turn",
};

export class Viewer {
  /** `tell(name, data)` is called for each event. */
  constructor(host, tell) {
    this.host = host;
    this.tell = tell;
    this.options = { ...AT_FIRST };
    this.work = Promise.resolve(); // changes are taken in one after the other
    this.took = 0;
    dress();
    host.classList.add("cw-viewer");
    host.tabIndex = 0;
    this.spoken = document.createElement("div");
    this.spoken.className = "cw-quiet";
    this.spoken.setAttribute("aria-live", "polite");
    host.append(this.spoken);
    try {
      this.stage = new Stage(host, () => this.overlay?.place());
    } catch (reason) {
      tell("without_3d", { reason: String(reason.message ?? reason) });
      return;
    }
    this.parts = new Parts(this.stage);
    this.overlay = new Overlay(this.stage, this.parts, (marker) => tell("marker", { number: marker.number }));
    this.pointing = new Pointing(this.stage, this.parts, {
      over: (part, at) => this.over(part, at),
      pressed: (part, point) => this.pick(part, point),
      spot: (snap) => this.overlay.showTape(this.from ?? snap, this.from ? snap : null),
      put: (snap) => this.put(snap),
    });
    this.overlay.dress(this.parts.accent);
    this.keys = (event) => this.key(event);
    host.addEventListener("keydown", this.keys);
  }

  // ---- what is shown ----

  setScene(parts) {
    return this.change(() => this.parts.update(parts, [...this.parts.byKey.keys()].filter(
      (key) => !parts.parts.some((part) => part.key === key))));
  }

  update(parts, removed, isFollowed) {
    return this.change(() => this.parts.update(parts, removed), isFollowed);
  }

  change(act, isFollowed = false) {
    const asked = performance.now();
    this.work = this.work.then(async () => {
      if (!this.stage || this.stage.gone) return;
      const made = await act();
      // The rest stand as they were arranged last, unless the options have changed since.
      this.parts.arrange(this.options, this.parts.options === this.options ? made : undefined);
      if (!this.looked && this.parts.byKey.size) {
        this.looked = true;
        this.stage.look(this.toward ?? [-0.48, -0.77, 0.41], this.parts.outerPoints(), true);
      }
      this.stage.hurry(isFollowed);
      if (document.hidden) this.stage.draw();
      else this.stage.render();
      this.took = performance.now() - asked;
    });
    return this.work;
  }

  setOptions(changes) {
    const before = this.options;
    this.options = { ...before, ...changes };
    this.options.section = this.facing(this.options.section, before.section);
    this.host.dataset.theme = this.options.theme;
    this.host.dataset.mode = this.options.mode;
    if (!this.stage) return;
    if (before.theme !== this.options.theme) requestAnimationFrame(() => this.dress()); // when the page has changed too
    this.overlay.setMarked(this.options.dots);
    if (before.mode !== this.options.mode) this.setMode(this.options.mode);
    this.over(null);
    this.work = this.work.then(() => {
      if (this.stage.gone) return;
      const follows = before.apart !== this.options.apart && this.isWhole();
      this.stage.hurry();
      this.parts.arrange(this.options);
      if (follows) this.stage.look(this.stage.toward.toArray(), this.parts.outerPoints(), true);
    });
  }

  /** Whether all of it is in the picture. */
  isWhole() {
    const { clientWidth: width, clientHeight: height } = this.host;
    return this.parts.outerPoints().every((point) => {
      const at = this.stage.onScreen(point);
      return at && at.x > -1 && at.x < width + 1 && at.y > -1 && at.y < height + 1;
    });
  }

  /** A section that keeps the far side, with that side settled: by where the eye is when the cabinet is cut open. */
  facing(section, before) {
    if (!section || section.keep !== "far" || !this.stage) return section;
    if (before?.axis === section.axis && before.asked === "far") return { ...section, keep: before.keep, asked: "far" };
    const at = { x: 0, y: 1, z: 2 }[section.axis];
    const eye = this.stage.turning && this.toward ? this.toward : this.stage.toward.toArray();
    const keep = eye[at] > 0 ? "below" : "above";
    return { ...section, keep, asked: "far" };
  }

  dress() {
    if (this.stage.gone) return;
    this.stage.dress();
    this.parts.dress();
    this.overlay.dress(this.parts.accent);
    for (const part of this.parts.byKey.values()) if (this.parts.options) this.parts.paint(part);
  }

  setMode(mode) {
    this.pointing.measuring = mode === "measure";
    this.from = this.cross = null;
    this.overlay.showCross(null);
    this.overlay.showTape(null, null);
  }

  look(toward) {
    this.toward = toward;
    this.over(null);
    this.work = this.work.then(() => {
      if (!this.stage || this.stage.gone) return;
      const points = this.parts.outerPoints();
      if (!points.length) return;
      this.stage.look(toward, points, !this.looked);
      this.looked = true;
    });
  }

  fit() {
    const points = this.parts?.outerPoints() ?? [];
    if (points.length) this.stage.look(this.stage.toward.toArray(), points, false);
  }

  showMarkers(markers) {
    this.work = this.work.then(() => {
      this.overlay?.showMarkers(markers);
      this.stage?.end();
    });
  }

  showSize(texts) {
    this.overlay?.showSize(texts);
  }

  /** In place of the picture, where the browser has no WebGL. */
  showInstead({ picture, text }) {
    const box = document.createElement("div");
    box.className = "cw-instead";
    const image = document.createElement("img");
    image.src = `data:image/svg+xml;base64,${picture}`;
    image.alt = this.host.getAttribute("aria-label") ?? "";
    const words = document.createElement("p");
    words.textContent = text;
    box.append(image, words);
    this.host.querySelector(".cw-instead")?.remove();
    this.host.append(box);
  }

  // ---- what the pointer and the keys do ----

  over(part, at) {
    if (!this.parts) return;
    const key = part?.record.key ?? "";
    if (key !== (this.parts.hovered || "")) {
      this.parts.hover(key);
      this.host.classList.toggle("cw-over", Boolean(part));
      this.tell("hover", { key, owner: part?.record.owner ?? "" });
    }
    this.overlay.showName(part?.record.label ?? "", at);
  }

  pick(part, point) {
    this.spoken.textContent = part?.record.label ?? "";
    const true_point = part && point.clone().sub(part.moved).toArray();
    this.tell("pick", part
      ? { key: part.record.key, owner: part.record.owner, panel: part.record.panel, point: true_point }
      : { key: "", owner: "", panel: "", point: null });
  }

  /** One end of the tape: the first press starts it, the second ends it, the third starts anew. */
  put(snap) {
    if (!this.from) {
      this.from = snap;
      this.overlay.showTape(snap, null);
      return;
    }
    const [from, to] = [this.from, snap];
    this.from = null;
    this.pointing.measuring = false; // the tape stays until the next press
    this.overlay.showTape(from, to);
    const ends = [from, to].map((end) => end.point.clone().sub(end.part.moved).toArray());
    this.tell("measured", { from: ends[0], to: ends[1] });
    const again = () => {
      this.pointing.measuring = this.options.mode === "measure";
    };
    this.stage.canvas.addEventListener("pointerdown", again, { once: true });
  }

  /** Move the cross that keys measure with, from the middle of the picture; it catches as the pointer does. */
  aim(right, down, isFar) {
    const { clientWidth: width, clientHeight: height } = this.host, step = CROSS_STEP * (isFar ? CROSS_FAR : 1);
    const { x, y } = this.cross ?? { x: width / 2, y: height / 2 };
    this.cross = {
      x: Math.max(0, Math.min(width, x + right * step)), y: Math.max(0, Math.min(height, y + down * step)),
    };
    this.pointing.measuring = true;
    const snap = this.pointing.snap(this.cross);
    this.overlay.showTape(this.from ?? snap, this.from ? snap : null);
    this.overlay.showCross(this.cross);
    this.spoken.textContent = snap ? `${snap.part.record.label}, ${snap.kind}` : "";
  }

  /** Put an end of the tape where the cross is. */
  putHere() {
    const snap = this.cross && this.pointing.snap(this.cross);
    if (snap) this.put(snap);
  }

  key(event) {
    if (event.target !== this.host || event.ctrlKey || event.metaKey || event.altKey) return;
    const aims = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
    if (this.options.mode === "measure" && (event.key in aims || event.key === "Enter")) {
      event.preventDefault();
      if (event.key === "Enter") this.putHere();
      else this.aim(...aims[event.key], event.shiftKey);
      return;
    }
    const step = event.shiftKey ? 45 : STEP_DEG;
    const acts = {
      ArrowLeft: () => this.stage.turn(-step, 0),
      ArrowRight: () => this.stage.turn(step, 0),
      ArrowUp: () => this.stage.turn(0, step),
      ArrowDown: () => this.stage.turn(0, -step),
      "+": () => this.stage.zoom(ZOOM),
      "=": () => this.stage.zoom(ZOOM),
      "-": () => this.stage.zoom(1 / ZOOM),
      Home: () => this.fit(),
      PageDown: () => this.step(1),
      PageUp: () => this.step(-1),
      Escape: () => (this.options.mode === "measure" ? this.setMode("measure") : this.pick(null)),
    };
    if (!acts[event.key]) return;
    event.preventDefault();
    acts[event.key]();
  }

  /** Pick the next or the last part in order, pieces before bought parts, for those who use the keys. */
  step(by) {
    const all = [...this.parts.byKey.values()].filter((part) => part.shown);
    const owners = new Map(all.map((part) => [part.record.owner, part])); // a bought part has several bodies
    const shown = [
      ...all.filter(({ record }) => record.group === "piece"),
      ...[...owners.values()].filter(({ record }) => record.group === "part"),
    ];
    if (!shown.length) return;
    const at = shown.findIndex((part) => part.record.key === this.stepped);
    const part = shown[(at + by + (at < 0 && by < 0 ? 1 : 0) + shown.length) % shown.length];
    this.stepped = part.record.key;
    this.pick(part, part.box.min.clone().add(part.box.max).multiplyScalar(0.5));
  }

  /** For tests and for figures: what has been done so far. */
  state() {
    return {
      frames: this.stage?.frames ?? 0,
      parts: this.parts?.byKey.size ?? 0,
      shapes: this.parts?.shapes.size ?? 0,
      took: this.took,
      resting: this.stage ? !this.stage.turning && !this.stage.asked : true,
      fine: this.stage?.isFine ?? true,
      toward: this.stage?.toward.toArray() ?? null,
      distance: this.stage?.camera.position.distanceTo(this.stage.controls.target) ?? 0,
      paper: tint(this.host, "paper"),
    };
  }

  /** Where a point of the cabinet is in the picture. [px] */
  pixel(point) {
    const vector = this.stage.camera.position.clone().set(...point);
    return this.stage.onScreen(vector);
  }

  dispose() {
    this.host.removeEventListener("keydown", this.keys);
    this.pointing?.dispose();
    this.overlay?.dispose();
    this.parts?.dispose();
    this.stage?.dispose();
  }
}
