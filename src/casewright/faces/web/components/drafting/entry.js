// The small form for an exact place. What is typed is sent as text; Python reads it, and says so if it cannot.

import { figure } from "./writing.js";

export class Entry {
  constructor(board) {
    this.board = board;
    this.form = document.createElement("form");
    this.form.className = "entry";
    this.form.hidden = true;
    this.form.setAttribute("role", "dialog");
    this.form.noValidate = true;
    this.title = this.form.appendChild(document.createElement("b"));
    this.fields = [0, 1].map((i) => {
      const label = this.form.appendChild(document.createElement("label"));
      const input = this.form.appendChild(document.createElement("input"));
      input.id = `${board.prefix}-entry-${i}`;
      label.htmlFor = input.id;
      input.autocomplete = "off";
      input.spellcheck = false;
      input.maxLength = 64;
      return { label, input };
    });
    this.refusal = this.form.appendChild(document.createElement("div"));
    this.refusal.className = "refusal";
    this.refusal.setAttribute("role", "alert");
    const send = this.form.appendChild(document.createElement("input"));
    send.type = "submit";
    send.hidden = true;
    board.root.appendChild(this.form);
    this.form.addEventListener("submit", (event) => {
      event.preventDefault();
      this.send();
    });
    this.form.addEventListener("keydown", (event) => {
      event.stopPropagation();
      if (event.key === "Escape") {
        event.preventDefault();
        this.close();
      } else if (event.key === "Tab") this.keep(event);
    });
  }

  open(thing) {
    const { board } = this, { scene } = board;
    this.thing = thing;
    this.title.textContent = thing.label;
    this.form.setAttribute("aria-label", `Place of ${thing.label}`);
    this.fields.forEach(({ label, input }, i) => {
      label.textContent = `${scene.axes[i]}, ${scene.writing.unit}`;
      input.value = figure(thing.at[i], scene.writing);
      input.dataset.was = input.value;
    });
    this.refuse("");
    this.form.hidden = false;
    const [x0, y0, x1] = board.boxOnScreen(thing);
    const wide = this.form.offsetWidth, high = this.form.offsetHeight;
    const left = x1 + 14 + wide < board.view.width ? x1 + 14 : Math.max(x0 - wide - 14, 4);
    this.form.style.left = `${left}px`;
    this.form.style.top = `${Math.min(Math.max(y0, 4), Math.max(board.view.height - high - 4, 4))}px`;
    this.fields[0].input.focus();
    this.fields[0].input.select();
  }

  send() {
    const at = {};
    this.fields.forEach(({ input }, i) => {
      if (input.value !== input.dataset.was) at[this.board.scene.axes[i]] = input.value;
    });
    if (!Object.keys(at).length) return void this.close();
    this.board.emit("command", { name: "place", key: this.thing.key, sort: this.thing.sort, at });
  }

  refuse(words) {
    this.refusal.textContent = words;
    if (words) this.fields[0].input.focus();
  }

  /** True if it was open. */
  close() {
    if (this.form.hidden) return false;
    const had = this.form.contains(document.activeElement);
    this.form.hidden = true;
    if (had && this.thing) this.board.focus(this.board.things.get(this.thing.key) || null);
    return true;
  }

  keep(event) {
    const order = this.fields.map(({ input }) => input), last = order.length - 1;
    const now = order.indexOf(document.activeElement);
    const next = event.shiftKey ? (now > 0 ? now - 1 : last) : now < last ? now + 1 : 0;
    event.preventDefault();
    order[next].focus();
    order[next].select();
  }
}
