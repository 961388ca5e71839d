// Mouse, pen and fingers: choosing, dragging, the band, panning, zooming.

import { make } from "./drawing.js";

const SLACK = { mouse: 3, pen: 4, touch: 8 }; // pixels before a press becomes a drag

export class Pointing {
  constructor(board) {
    this.board = board;
    this.fingers = new Map();
    this.mode = null;
    this.isSpace = false;
    this.last = null;
    this.frame = 0;
    const { svg } = board;
    svg.addEventListener("pointerdown", (e) => this.down(e));
    svg.addEventListener("pointermove", (e) => this.move(e));
    svg.addEventListener("pointerup", (e) => this.up(e));
    svg.addEventListener("pointercancel", (e) => this.lost(e));
    svg.addEventListener("lostpointercapture", (e) => this.lost(e));
    svg.addEventListener("dblclick", (e) => this.twice(e));
    svg.addEventListener("wheel", (e) => this.wheel(e), { passive: false });
    svg.addEventListener("contextmenu", (e) => this.mode && e.preventDefault());
  }

  at(event) {
    const box = this.board.svg.getBoundingClientRect();
    return [event.clientX - box.left, event.clientY - box.top];
  }

  thing(event) {
    const element = event.target.closest("[data-key]");
    return element ? this.board.things.get(element.dataset.key) : null;
  }

  down(event) {
    const { board } = this;
    if (event.target.closest(".mark")) return;
    board.entry.close();
    this.fingers.set(event.pointerId, this.at(event));
    if (this.fingers.size === 2) {
      this.cancel();
      this.mode = { name: "pinch" };
      return;
    }
    if (this.mode) return;
    const start = this.at(event), thing = this.thing(event);
    board.svg.setPointerCapture(event.pointerId);
    this.pointer = event.pointerId;
    const pans = event.button === 1 || (event.button === 0 && this.isSpace) || (event.pointerType === "touch" && !thing);
    if (pans) {
      event.preventDefault();
      this.mode = { name: "pan", last: start, start, empties: !this.isSpace && event.button === 0 };
      board.root.classList.add("panning");
    } else if (event.button !== 0) {
      this.mode = null;
    } else if (thing && thing.sort === "seam") {
      board.pickSeam(thing);
    } else if (thing) {
      this.press(event, thing, start);
    } else {
      this.mode = { name: "band", start, keeps: event.shiftKey ? [...board.chosen] : [] };
    }
  }

  press(event, thing, start) {
    const { board } = this, { chosen } = board;
    const was = chosen.has(thing.key);
    if (event.shiftKey && thing.sort === "item") {
      if (was) board.choose([...chosen].filter((key) => key !== thing.key));
      else board.choose([...chosen, thing.key]);
    } else if (!was) board.choose([thing.key]);
    board.focus(thing, { isQuiet: true });
    const slack = SLACK[event.pointerType] || SLACK.mouse;
    this.mode = { name: "press", start, thing, slack, single: was && !event.shiftKey };
  }

  move(event) {
    if (this.fingers.has(event.pointerId)) {
      const before = this.fingers.get(event.pointerId), now = this.at(event);
      if (this.mode && this.mode.name === "pinch") return void this.pinch(event.pointerId, before, now);
      this.fingers.set(event.pointerId, now);
    }
    if (!this.mode || event.pointerId !== this.pointer) return;
    this.last = { at: this.at(event), alt: event.altKey };
    if (!this.frame) this.frame = requestAnimationFrame(() => this.step());
  }

  /** Once a frame, however many events there were. */
  step() {
    this.frame = 0;
    const { mode, board, last } = this;
    if (!mode || !last) return;
    const [x, y] = last.at, [sx, sy] = mode.start || last.at;
    if (mode.name === "pan") {
      board.view.pan(x - mode.last[0], y - mode.last[1]);
      mode.last = last.at;
      board.showView();
    } else if (mode.name === "press") {
      if (Math.hypot(x - sx, y - sy) <= mode.slack) return;
      if (!mode.thing.isMovable || board.options.readOnly) return;
      const keys = board.chosen.has(mode.thing.key) ? [...board.chosen] : [mode.thing.key];
      mode.carry = board.lift(keys, mode.thing.key, "drag");
      mode.name = "drag";
      this.step();
    }
    if (mode.name === "drag") {
      const { scale } = board.view;
      mode.carry.toward([(x - sx) / scale, -(y - sy) / scale], last.alt);
      board.showCarry(mode.carry);
    } else if (mode.name === "band") this.band(mode, last.at);
  }

  band(mode, [x, y]) {
    const { board } = this, [sx, sy] = mode.start;
    if (!mode.rect) mode.rect = make("rect", { class: "band" }, board.over);
    const box = [Math.min(x, sx), Math.min(y, sy), Math.max(x, sx), Math.max(y, sy)];
    mode.rect.setAttribute("x", box[0]);
    mode.rect.setAttribute("y", box[1]);
    mode.rect.setAttribute("width", box[2] - box[0]);
    mode.rect.setAttribute("height", box[3] - box[1]);
    const caught = [...board.things.values()].filter((thing) => {
      if (thing.sort !== "item") return false;
      const [px, py] = board.view.toScreen(thing.at);
      return px >= box[0] && px <= box[2] && py >= box[1] && py <= box[3];
    });
    board.choose([...new Set([...mode.keeps, ...caught.map(({ key }) => key)])], { isQuiet: true });
  }

  up(event) {
    const { mode, board } = this;
    this.fingers.delete(event.pointerId);
    if (mode && mode.name === "pinch") {
      if (!this.fingers.size) this.mode = null;
      return;
    }
    if (!mode || event.pointerId !== this.pointer) return;
    this.last = { at: this.at(event), alt: event.altKey };
    cancelAnimationFrame(this.frame);
    this.step();
    this.mode = null;
    this.tidy(mode);
    if (mode.name === "drag") board.drop(mode.carry);
    else if (mode.name === "band") {
      if (!mode.rect) board.choose(mode.keeps);
      else board.tellChosen();
    } else if (mode.name === "press" && mode.single) board.choose([mode.thing.key]);
    else if (mode.name === "pan" && mode.empties && Math.hypot(this.last.at[0] - mode.start[0], this.last.at[1] - mode.start[1]) < 6)
      board.choose([]);
  }

  /** Stop what goes on and put everything back; true if there was something. */
  cancel() {
    const { mode } = this;
    this.mode = null;
    if (!mode) return false;
    this.tidy(mode);
    if (mode.carry) this.board.putBack(mode.carry);
    return Boolean(mode.carry || mode.rect);
  }

  lost(event) {
    this.fingers.delete(event.pointerId);
    if (this.mode && event.pointerId === this.pointer && this.mode.name !== "pinch") this.cancel();
    else if (!this.fingers.size && this.mode && this.mode.name === "pinch") this.mode = null;
  }

  tidy(mode) {
    cancelAnimationFrame(this.frame);
    this.frame = 0;
    if (mode.rect) mode.rect.remove();
    this.board.root.classList.remove("panning");
  }

  pinch(id, before, now) {
    const { board } = this;
    const [other] = [...this.fingers].filter(([key]) => key !== id).map(([, at]) => at);
    this.fingers.set(id, now);
    if (!other) return;
    const was = Math.hypot(before[0] - other[0], before[1] - other[1]), is = Math.hypot(now[0] - other[0], now[1] - other[1]);
    if (was > 10 && is > 10) board.view.zoom(is / was, [(before[0] + other[0]) / 2, (before[1] + other[1]) / 2]);
    board.view.pan((now[0] - before[0]) / 2, (now[1] - before[1]) / 2);
    board.showView();
  }

  wheel(event) {
    event.preventDefault();
    const { board } = this;
    const lines = event.deltaMode === 1 ? 16 : event.deltaMode === 2 ? 400 : 1;
    const strength = event.ctrlKey ? 0.01 : 0.0016;
    board.view.zoom(Math.exp(-event.deltaY * lines * strength), this.at(event));
    board.showView();
  }

  /** The press was captured, so the event itself no longer knows what is under it. */
  twice(event) {
    const under = document.elementFromPoint(event.clientX, event.clientY);
    const thing = under && this.thing({ target: under });
    if (thing && thing.sort !== "seam") this.board.openEntry(thing);
  }
}
