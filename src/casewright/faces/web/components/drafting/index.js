// The board: one scene at a time, its things by key, and all that can be done to them. See ../board.js for the form of
// what goes in and comes out.

import { Carry } from "./carrying.js";
import { drawItem, drawMark, fitRing, hatchPatterns, make } from "./drawing.js";
import { Entry } from "./entry.js";
import { Keys } from "./keys.js";
import { dimensionInto, placeNames } from "./overlay.js";
import { Pointing } from "./pointing.js";
import { Running, stateWords } from "./running.js";
import { Marks } from "./marking.js";
import { clearTags, drawEyes, makeCorner, makeEye, makeRun, makeSeam, placeCorner, placeRun, placeSeam } from "./side.js";
import { Spacing, prepared } from "./spacing.js";
import { SHEET } from "./style.js";
import { Readout, Tools } from "./tools.js";
import { View } from "./view.js";
import { figure, length } from "./writing.js";

const EMPTY = { id: "", kind: "panel", title: "", about: "", axes: ["u", "v"], writing: { unit: "mm", decimals: 1, denominator: 32 }, grid: 1, extent: [0, 0, 100, 100], layers: [], items: [], outlines: [] };
const HELP = "Tab goes from part to part, then to the dots of what to look at; arrow keys move by a step, with Shift by ten. Enter types a place or tells what a dot is about, Delete takes a part out, Escape stops a move. Plus, minus and 0 zoom.";
const GROUPS = ["items", "layers", "corners", "seams", "eyes", "runs"];

const LONGEST = 28; // letters of a name on the drawing
const short = (label) => (label.length > LONGEST ? `${label.slice(0, LONGEST - 1)}…` : label);

let count = 0;

export class Board {
  constructor(root, emit) {
    this.root = root;
    this.emit = emit;
    this.prefix = `cw-board-${(count += 1)}`;
    root.classList.add("cw-board");
    const sheet = document.createElement("style");
    sheet.textContent = SHEET;
    root.appendChild(sheet);
    this.scene = EMPTY;
    this.things = new Map();
    this.chosen = new Set();
    this.focused = null;
    this.picked = null;
    this.lifted = null;
    this.findings = [];
    this.views = new Map();
    this.options = { snap: true, grid: true, behind: true, names: true, readOnly: false };
    this.view = new View();
    this.makeSheet();
    this.readout = new Readout(root);
    this.tools = new Tools(this);
    this.entry = new Entry(this);
    this.running = new Running(this, this.live, make("g", {}, this.over));
    this.card = root.appendChild(document.createElement("div"));
    this.card.className = "card";
    this.card.hidden = true;
    this.pointing = new Pointing(this);
    this.keys = new Keys(this, this.pointing);
    this.font = '12px "Workbench", "DejaVu Sans", sans-serif';
    this.watch = new ResizeObserver(() => this.resized());
    this.watch.observe(root);
    this.spacing = new Spacing(EMPTY);
    if (document.fonts) document.fonts.ready.then(() => this.layOut());
  }

  makeSheet() {
    const svg = (this.svg = make("svg", { class: "sheet", role: "application", tabindex: "0" }));
    svg.setAttribute("aria-roledescription", "drawing board");
    this.root.appendChild(svg);
    const help = this.root.appendChild(document.createElement("div"));
    help.className = "heard";
    help.id = `${this.prefix}-help`;
    this.help = help;
    svg.setAttribute("aria-describedby", help.id);
    this.scaleHatches = hatchPatterns(make("defs", {}, svg), this.prefix);
    this.hatchStyle = document.createElement("style");
    this.hatchStyle.textContent = ["wood", "acrylic", "metal"]
      .map((name) => `#${this.prefix}-root .hatch-${name}{fill:url(#${this.prefix}-${name})}`)
      .join("");
    this.root.appendChild(this.hatchStyle);
    const whole = make("g", { id: `${this.prefix}-root` }, svg);
    this.world = make("g", { class: "world" }, whole);
    this.layers = make("g", { class: "layers" }, this.world);
    this.itemGroup = make("g", { class: "items" }, this.world);
    this.ghost = make("polygon", { class: "ghost-outline", visibility: "hidden" }, this.world);
    this.over = make("g", { class: "over" }, whole);
    this.sights = make("g", {}, this.over);
    this.sizes = make("g", {}, this.over);
    this.names = make("g", {}, this.over);
    this.seamGroup = make("g", {}, this.over);
    this.marks = new Marks(this, make("g", { class: "live" }, this.over));
    this.cornerGroup = make("g", {}, this.over);
    this.live = make("g", {}, this.over);
    svg.addEventListener("focus", () => {
      this.focused = null;
    });
  }

  // ---- what is shown ----

  setScene(scene) {
    this.keys.settle();
    this.pointing.cancel();
    this.entry.close();
    if (this.scene.id) this.views.set(this.scene.id, this.view.state);
    const isNew = scene.id !== this.scene.id;
    const kept = isNew ? [] : [...this.chosen];
    this.letGo();
    this.scene = { ...EMPTY, ...scene };
    this.things.clear();
    for (const group of [this.layers, this.itemGroup, this.seamGroup, this.cornerGroup]) group.replaceChildren();
    for (const layer of this.scene.layers) this.drawLayer(layer);
    for (const item of bySize(this.scene.items)) this.addItem(item);
    for (const seam of this.scene.seams || []) this.addSeam(seam);
    for (const run of this.scene.runs || []) this.addRun(run);
    for (const corner of this.scene.corners || []) this.addCorner(corner);
    for (const eye of this.scene.eyes || []) this.addEye(eye);
    this.taken();
    this.choose(kept, { isSilent: true });
    this.measure();
    const before = this.views.get(scene.id);
    if (isNew && before && before.isTouched) this.view.state = before;
    else if (isNew) this.view.fit(this.scene.extent);
    this.showView();
  }

  /** Some parts of the scene anew, some gone; the view stays, and so does what is being dragged. */
  update(changes, removed = {}) {
    const { scene } = this;
    for (const [name, value] of Object.entries(changes)) {
      if (!GROUPS.includes(name)) scene[name] = value;
      else {
        const fresh = new Map(value.map((entry) => [entry.key, entry]));
        scene[name] = (scene[name] || []).map((entry) => fresh.get(entry.key) || entry);
        const known = new Set(scene[name].map((entry) => entry.key));
        scene[name].push(...value.filter((entry) => !known.has(entry.key)));
      }
    }
    for (const [name, keys] of Object.entries(removed)) {
      scene[name] = (scene[name] || []).filter((entry) => !keys.includes(entry.key));
      for (const key of keys) {
        if (name === "layers") this.layers.querySelector(`[data-layer="${CSS.escape(key)}"]`)?.remove();
        else this.takeOut(key);
      }
    }
    for (const layer of changes.layers || []) this.drawLayer(layer);
    for (const item of bySize(changes.items || [])) this.addItem(item);
    for (const seam of changes.seams || []) this.addSeam(seam);
    for (const run of changes.runs || []) this.addRun(run);
    for (const corner of changes.corners || []) this.addCorner(corner);
    for (const eye of changes.eyes || []) this.addEye(eye);
    this.taken();
    this.choose([...this.chosen].filter((key) => this.things.has(key)), { isSilent: true });
    this.layOut();
  }

  /** What follows from the scene as a whole. */
  taken() {
    const { scene } = this;
    this.spacing = new Spacing(scene);
    this.root.dataset.kind = scene.kind;
    const face = scene.layers.find((layer) => layer.key === "face");
    this.root.classList.toggle("see-through", Boolean(face && face.marks[0] && face.marks[0].fill === "acrylic"));
    this.svg.setAttribute("aria-label", scene.title);
    this.help.textContent = `${scene.about} ${HELP}`;
  }

  drawLayer(layer) {
    let group = this.layers.querySelector(`[data-layer="${CSS.escape(layer.key)}"]`);
    if (!group) group = make("g", { "data-layer": layer.key }, this.layers);
    group.replaceChildren();
    for (const mark of layer.marks) drawMark(mark, group);
  }

  addItem(item) {
    const old = this.things.get(item.key);
    const made = drawItem(item, this.itemGroup, this.wordsOf(item));
    if (old) this.itemGroup.replaceChild(made.group, old.group);
    const thing = { ...prepared(item), sort: "item", isMovable: item.movable !== false, ...made, home: [...item.at] };
    this.takeIn(thing, old);
    this.moveThing(thing, thing.at);
  }

  addCorner(corner) {
    const old = this.things.get(corner.key);
    const made = makeCorner(corner, this.cornerGroup);
    if (old) this.cornerGroup.replaceChild(made.group, old.group);
    made.group.setAttribute("aria-label", this.wordsOf(corner));
    this.takeIn({ ...corner, sort: "corner", isMovable: corner.movable, flats: [], ...made, home: [...corner.at] }, old);
  }

  addRun(run) {
    const old = this.things.get(run.key);
    const made = makeRun(run, this.cornerGroup);
    if (old) this.cornerGroup.replaceChild(made.group, old.group);
    made.group.setAttribute("aria-label", this.wordsOf(run));
    this.takeIn({ ...run, sort: "run", isMovable: run.movable, flats: [], ...made, home: [...run.at] }, old);
  }

  addEye(eye) {
    const old = this.things.get(eye.key);
    const made = makeEye(eye, this.cornerGroup);
    if (old) this.cornerGroup.replaceChild(made.group, old.group);
    made.group.setAttribute("aria-label", this.wordsOf(eye));
    this.takeIn({ ...eye, sort: "eye", isMovable: eye.movable, flats: [], ...made, home: [...eye.at] }, old);
  }

  addSeam(seam) {
    const old = this.things.get(seam.key);
    const made = makeSeam(seam, this.seamGroup);
    if (old) this.seamGroup.replaceChild(made.group, old.group);
    made.group.setAttribute("aria-label", `${seam.title}. ${seam.words.join(", ")}`);
    this.takeIn({ ...seam, label: seam.title, sort: "seam", isMovable: false, ...made }, old);
  }

  takeIn(thing, old) {
    thing.at = [...thing.at];
    if (old) {
      thing.group.setAttribute("class", old.group.getAttribute("class"));
      thing.state = old.state;
      const hadFocus = document.activeElement === old.group || this.focused === old;
      // What the user holds stays in his hand.
      const isHeld = this.lifted && this.lifted.all.includes(old);
      if (isHeld) {
        thing.at = [...old.at];
        this.swap(old, thing);
      }
      if (this.picked === old) this.picked = thing;
      if (hadFocus) {
        this.focused = thing;
        thing.group.setAttribute("tabindex", "0");
        if (!this.entry.form.contains(document.activeElement)) thing.group.focus({ preventScroll: true });
      }
    }
    this.things.set(thing.key, thing);
    thing.group.addEventListener("focus", () => this.focused !== thing && this.focus(thing, { isQuiet: true, isDone: true }));
  }

  /** In a drag that goes on, a thing is now another object. */
  swap(old, thing) {
    const carry = this.lifted, put = (list) => list.map((one) => (one === old ? thing : one));
    carry.homes.set(thing, carry.homes.get(old));
    carry.homes.delete(old);
    carry.own = put(carry.own);
    carry.all = put(carry.all);
    for (const one of carry.followers) if (one.thing === old) one.thing = thing;
    if (carry.primary === old) carry.primary = thing;
    if (this.pointing.mode && this.pointing.mode.thing === old) this.pointing.mode.thing = thing;
  }

  takeOut(key) {
    const thing = this.things.get(key);
    if (!thing) return;
    if (this.lifted && this.lifted.all.includes(thing)) {
      this.pointing.cancel();
      if (this.keys.carry) this.keys.undo();
    }
    if (this.focused === thing) this.letGo();
    if (this.picked === thing) this.picked = null;
    thing.group.remove();
    this.things.delete(key);
    this.chosen.delete(key);
  }

  setOptions(changes) {
    Object.assign(this.options, changes);
    if (changes.theme) this.root.dataset.theme = changes.theme;
    this.root.classList.toggle("hide-behind", !this.options.behind);
    this.root.classList.toggle("read-only", this.options.readOnly);
    this.layOut();
  }

  mark(findings) {
    this.findings = findings;
    this.layOut();
  }

  // ---- view ----

  measure() {
    const box = this.root.getBoundingClientRect();
    this.view.width = Math.max(box.width, 1);
    this.view.height = Math.max(box.height, 1);
  }

  resized() {
    const box = this.root.getBoundingClientRect();
    if (box.width < 2 || box.height < 2) return;
    if (this.view.isTouched) this.view.resize(box.width, box.height);
    else {
      this.measure();
      this.view.fit(this.scene.extent);
    }
    this.showView();
  }

  fit() {
    this.view.fit(this.scene.extent);
    this.showView();
  }

  zoomBy(factor) {
    this.view.zoom(factor);
    this.showView();
  }

  /** The view changed: move the drawing now, and lay out what keeps its size once in this frame. */
  showView() {
    this.world.setAttribute("transform", this.view.transform);
    this.layOut();
  }

  layOut() {
    if (this.pending) return;
    this.pending = requestAnimationFrame(() => {
      this.pending = 0;
      this.layOutNow();
    });
  }

  layOutNow() {
    const { view, scene } = this;
    if (this.scaled !== view.scale) {
      this.scaled = view.scale;
      this.scaleHatches(view.scale);
    }
    const inward = new Map((scene.seams || []).map((seam) => [seam.corner, seam.inward]));
    for (const thing of this.things.values()) {
      if (thing.sort === "item") fitRing(thing, thing.reach, view.scale);
      else if (thing.sort === "corner") placeCorner(thing, view, inward.get(thing.key));
      else if (thing.sort === "run") placeRun(thing, view);
      else if (thing.sort === "seam") placeSeam(thing, view);
    }
    clearTags([...this.things.values()].filter(({ sort }) => sort === "seam"), this.font);
    this.layOutEyes();
    this.layOutSizes();
    this.marks.lay();
    this.layOutNames();
    if (this.lifted) this.showCarry(this.lifted);
    this.showCard();
  }

  layOutEyes() {
    drawEyes([...this.things.values()].filter(({ sort }) => sort === "eye"), this.sights, this.view, this.font);
  }

  layOutSizes() {
    this.sizes.replaceChildren();
    for (const layer of this.scene.layers)
      for (const mark of layer.marks)
        if (mark.s === "dimension") {
          const group = make("g", { class: "dimension" }, this.sizes);
          const parts = { path: make("path", {}, group), text: make("text", {}, group) };
          dimensionInto(parts, this.view.toScreen(mark.a), this.view.toScreen(mark.b), mark.words, mark.off);
        }
  }

  layOutNames() {
    this.names.replaceChildren();
    if (!this.options.names) return;
    const items = this.readingOrder().filter((thing) => thing.sort === "item");
    const boxes = items.map((thing) => this.boxOnScreen(thing));
    const words = items.map(({ label }) => short(label));
    const asked = items.map((thing, i) => ({ words: words[i], box: boxes[i], own: boxes[i], inside: true }));
    const spots = placeNames(asked, [...boxes, ...this.marks.boxes], this.font, this.faceOnScreen());
    items.forEach((thing, i) => {
      thing.name = null;
      if (!spots[i]) return;
      const text = make("text", { class: "name" }, this.names);
      text.textContent = words[i];
      thing.name = { text, off: [spots[i][0] - boxes[i][0], spots[i][1] - boxes[i][1]] };
      this.moveName(thing);
    });
  }

  /** The box round the face on the screen; null where there is none. */
  faceOnScreen() {
    const edge = (this.scene.outlines[0] || {}).points;
    if (!edge) return null;
    const points = edge.map((p) => this.view.toScreen(p)), xs = points.map((p) => p[0]), ys = points.map((p) => p[1]);
    return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
  }

  boxOnScreen(thing) {
    const [x, y] = this.view.toScreen(thing.at);
    if (!thing.reach) return [x - 8, y - 8, x + 8, y + 8];
    const { scale } = this.view, [x0, y0, x1, y1] = thing.reach;
    return [x + x0 * scale, y - y1 * scale, x + x1 * scale, y - y0 * scale];
  }

  // ---- choosing and focus ----

  choose(keys, { isQuiet = false, isSilent = false } = {}) {
    const next = new Set(keys.filter((key) => this.things.has(key)));
    const isSame = next.size === this.chosen.size && [...next].every((key) => this.chosen.has(key));
    for (const key of this.chosen) if (!next.has(key)) this.things.get(key)?.group.classList.remove("chosen");
    for (const key of next) this.things.get(key).group.classList.add("chosen");
    this.chosen = next;
    const items = [...next].filter((key) => this.things.get(key).sort === "item");
    this.tools.show(this.options.readOnly ? 0 : items.length);
    if (this.picked && !next.has(this.picked.key)) {
      this.picked.group.classList.remove("chosen");
      this.picked = null;
      this.showCard();
    }
    this.sayChosen();
    if (!isSame && !isSilent && !isQuiet) this.tellChosen();
  }

  tellChosen() {
    this.emit("select", { keys: [...this.chosen] });
  }

  sayChosen() {
    const [one, another] = this.chosen;
    if (!one) this.readout.set(["", this.scene.caption || this.scene.title], "", "");
    else if (another) this.readout.set(["", `${this.chosen.size} parts`], "", "");
    else this.readout.set(["", this.wordsOf(this.things.get(one))], "", this.things.get(one).says || "");
  }

  /** From Python: no event comes back. */
  select(keys) {
    this.choose(keys, { isSilent: true });
  }

  wordsOf(entry) {
    const { axes, writing } = this.scene;
    if (entry.words) return entry.label;
    return `${entry.label}, ${axes.map((axis, i) => `${axis} ${length(entry.at[i], writing)}`).join(", ")}`;
  }

  focus(thing, { isQuiet = false, isDone = false } = {}) {
    this.letGo();
    if (!thing) return void this.svg.focus({ preventScroll: true });
    this.focused = thing;
    thing.group.setAttribute("tabindex", "0");
    this.svg.setAttribute("tabindex", "-1");
    if (!isDone) thing.group.focus({ preventScroll: true });
    if (!isQuiet) this.bringIn(thing);
  }

  letGo() {
    if (this.focused) this.focused.group.setAttribute("tabindex", "-1");
    this.svg.setAttribute("tabindex", "0");
    this.focused = null;
  }

  /** Pan as little as needed to see it. */
  bringIn(thing) {
    const [x0, y0, x1, y1] = this.boxOnScreen(thing), { view } = this, pad = 24;
    const dx = x1 - x0 > view.width ? 0 : Math.max(pad - x0, 0) + Math.min(view.width - pad - x1, 0);
    const dy = y1 - y0 > view.height ? 0 : Math.max(pad - y0, 0) + Math.min(view.height - pad - y1, 0);
    if (!dx && !dy) return;
    view.pan(dx, dy);
    this.showView();
  }

  /** Row by row from the top, left to right; corners before seams, round the outline; the dots of findings last. */
  readingOrder() {
    const all = [...this.things.values()], row = 20;
    const items = all.filter(({ sort }) => sort === "item");
    items.sort((a, b) => Math.round(b.at[1] / row) - Math.round(a.at[1] / row) || a.at[0] - b.at[0] || (a.key < b.key ? -1 : 1));
    const handles = ["corner", "run", "eye", "seam"].flatMap((kind) => all.filter(({ sort }) => sort === kind));
    return [...items, ...handles.filter(({ group }) => !group.classList.contains("short")), ...this.marks.dots];
  }

  pickSeam(thing) {
    this.choose([]);
    this.picked = thing;
    thing.group.classList.add("chosen");
    this.focus(thing, { isQuiet: true });
    this.showCard();
    this.readout.say(`${thing.title}. ${thing.words.join(", ")}`);
    this.emit("seam_picked", { key: thing.key, corner: thing.corner, panels: thing.panels });
  }

  showCard() {
    const seam = this.picked;
    this.card.hidden = !seam;
    if (!seam) return;
    this.card.replaceChildren();
    this.card.appendChild(document.createElement("b")).textContent = seam.title;
    for (const line of seam.words) this.card.appendChild(document.createElement("p")).textContent = line;
    const [x, y] = this.view.toScreen(seam.at), wide = this.card.offsetWidth, high = this.card.offsetHeight;
    const left = x - wide - 40 > 8 ? x - wide - 40 : x + 48;
    this.card.style.left = `${Math.min(Math.max(left, 8), Math.max(this.view.width - wide - 8, 8))}px`;
    this.card.style.top = `${Math.min(Math.max(y - high / 2, 8), Math.max(this.view.height - high - 40, 8))}px`;
  }

  // ---- moving ----

  lift(keys, primary, by) {
    this.lifted = new Carry(this, keys, primary, by);
    this.root.classList.toggle("dragging", by === "drag");
    return this.lifted;
  }

  moveThing(thing, at) {
    thing.at = at;
    if (thing.sort === "item") {
      thing.group.setAttribute("transform", `translate(${at[0]} ${at[1]})`);
      this.moveName(thing);
    } else {
      const [x, y] = this.view.toScreen(at);
      thing.group.setAttribute("transform", `translate(${x} ${y})`);
      if (thing.sort === "eye") this.layOutEyes();
    }
  }

  /** From Python, while something `wished` is dragged: what it would bring. */
  would(told) {
    if (!this.lifted || this.lifted.primary.key !== told.key) return;
    this.lifted.would = told;
    this.showCarry(this.lifted);
    this.readout.say(`${told.first}. ${told.second}`);
  }

  moveName(thing) {
    if (!thing.name) return;
    const box = this.boxOnScreen(thing), { off } = thing.name;
    thing.name.text.setAttribute("transform", `translate(${box[0] + off[0]} ${box[1] + off[1]})`);
  }

  showCarry(carry) {
    carry.paint();
    this.running.show(carry);
    const points = carry.outline();
    if (points) this.ghost.setAttribute("points", points.map((p) => p.join(",")).join(" "));
    this.ghost.setAttribute("visibility", points ? "visible" : "hidden");
  }

  drop(carry) {
    const { worst } = carry, thing = carry.primary;
    this.endCarry();
    carry.drop();
    const state = carry.isCorner ? "" : stateWords(worst, this.scene.writing);
    thing.group.setAttribute("aria-label", this.wordsOf(thing));
    this.readout.set(["", this.wordsOf(thing)], ["", "near", "close"][worst ? worst.state : 0], state);
    if (carry.hasMoved) this.readout.say(`${this.wordsOf(thing)}. ${state.slice(2)}`);
    this.layOut();
  }

  putBack(carry) {
    this.endCarry();
    carry.cancel();
    this.sayChosen();
    this.readout.say(`${carry.primary.label} is back in its place`);
    this.layOut();
  }

  endCarry() {
    this.lifted = null;
    this.running.hide();
    this.ghost.setAttribute("visibility", "hidden");
    this.root.classList.remove("dragging");
  }

  arrange(command) {
    const keys = [...this.chosen].filter((key) => this.things.get(key).sort === "item");
    this.emit("command", { ...command, keys });
  }

  openEntry(thing) {
    if (this.options.readOnly || !thing.isMovable) return;
    this.keys.settle();
    this.pointing.cancel();
    this.entry.open(thing);
  }

  /** For tests. */
  state() {
    return {
      id: this.scene.id,
      chosen: [...this.chosen],
      focused: this.focused ? this.focused.key : null,
      places: Object.fromEntries([...this.things].filter(([, t]) => t.sort !== "seam").map(([key, t]) => [key, t.at.map((x) => Math.round(x * 1e4) / 1e4)])),
      states: Object.fromEntries([...this.things].map(([key, t]) => [key, t.state || 0])),
      view: this.view.state,
    };
  }

  /** Place on the page of a part's centre, for tests. */
  pixel(key) {
    const box = this.svg.getBoundingClientRect(), [x, y] = this.view.toScreen(this.things.get(key).at);
    if (this.things.get(key).sort !== "seam") return [x + box.left, y + box.top];
    const [ix, iy] = this.things.get(key).inward;
    return [x + box.left + ix * 24, y + box.top - iy * 24];
  }

  dispose() {
    this.watch.disconnect();
    this.keys.settle();
    cancelAnimationFrame(this.pending);
    this.root.replaceChildren();
  }
}

const area = ({ reach }) => (reach ? (reach[2] - reach[0]) * (reach[3] - reach[1]) : 0);
const bySize = (items) => [...items].sort((a, b) => area(b) - area(a));

export { evenSpaces, onGrid, snapped } from "./snapping.js";
export { gapBetween, gapToEdge } from "./shapes.js";
export { Spacing, prepared } from "./spacing.js";
export { figure, length };
