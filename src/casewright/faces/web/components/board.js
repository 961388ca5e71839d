/*
The drawing board, as an element of the page: a panel from its show face, or the side view. Lengths are mm.
The work is done in drafting/, which knows nothing of the page's framework; this file only passes on. All figures come
from the model; the board only shifts what it was given and measures between it while something is dragged.

Methods, called from board.py
  begin(options, scene, findings, keys)
                              all of it at once, so that nothing that comes later undoes what was chosen meanwhile
  set_scene(scene)            show this; a scene with the same id keeps the view, one seen before gets its own back
  update(changes, removed)    parts of the scene anew; the view stays, and what is being dragged stays in the hand
      changes = {items, layers, corners, seams, eyes: [entry, ...] by key; any other name of the scene: the whole value}
      removed = {items, layers, corners, seams, eyes: [key, ...]}
  select(keys)                choose these and no others; no event comes back
  set_options({...})          any of
      theme      "light" | "dark"
      snap       come to rest on lines (with Alt held: not)         grid      and else on the grid
      behind     show what is behind the panel, in dashes          names     show the parts' names
      readOnly   choose, but move nothing
  mark([finding, ...])        {number, severity: "stop" | "caution" | "note", names: [key], at: [x, y] | null, words}
  would({key, first, second, corners})   what a dragged thing that is `wished` would bring: two lines, and the outline
                              as it would be ({key: [x, y]}) or null
  refuse(words)               what was typed cannot be read: say why, keep the form open
  accept()                    it could be: close the form
  state(), pixel(key)         for tests

Scene: {
  id, kind: "panel" | "side", title, caption?, about, axes: ["u", "v"], extent: [x0, y0, x1, y1] of what "all of it" shows,
  writing: {unit, decimals, denominator}, grid: step,
  layers: [{key, marks: [mark]}]                       drawn in order, below everything else
  items: [{key, label, at: [x, y], says, movable?, marks: [mark relative to at], reach: [x0, y0, x1, y1] relative to at,
           flats: [flat], pitch: {key of another: {least, good, words}} between centres}]
  links: [{from, to, by: [a, b, c, d]}]                who is carried along: (a·dx + b·dy, c·dx + d·dy)
  guides: [{axis, at, words, edge?: "low" | "high", for?: [key]}]   lines to come to rest on
  outlines: [{points, sorts, below?, least, words, meets}]   flats of these sorts must stay inside by `least`; the first is drawn to
  obstacles: [{key, label, flats}]                     what stays where it is
  rules: [{a, b, least?, good?, words?, meets?}]       between sorts: under `least` is too close, under `good` is near;
                                                       in words, {gap} and {asked}; `meets` where outlines overlap
  outline: [key of a corner], corners: [{key, label, at, movable, says, wished?}]
           wished: where it ends is not where it is put; `would` tells
  seams: [{key, corner, panels, at, inward: unit vector, title, words: [line], tag}]
  eyes: [{key, label, at, movable, wished, says, sights: [[x, y], ...]}]
}
flat: {core: [[x, y], ...], radius, low, high, sort, name?, touch?: [key]}   an outline and its reach in depth
mark: {s: "circle", at, r} | {s: "rect", at, w, h, r, turn} | {s: "line", points, closed} | {s: "area", rings}, each with
      pen (visible, thin, soft, hidden, centre, phantom, accent, none), fill?, color?; or {s: "dimension", a, b, words, off: px}

Events
  ready                                          it can be called now; also after a reconnection: send all again
  gone                                           it is no longer on the page
  select        {keys}
  moving        {moves: [{key, at}], carried: [{key, at}], state, by}    at most 15 a second, while it goes on; also once
                                                 with the old places after a move that was stopped
  moved         the same, when it is put down; by: "drag" | "keys"; state: "clear" | "near" | "too close"
  command       {name: "place", key, sort, at: {axis: text as typed}} | {name: "remove", keys}
                | {name: "align", keys, axis, to: "low" | "middle" | "high"} | {name: "spread", keys, axis}
                | {name: "finding", number}
  corner_moving, corner_moved   {key, at, by}
  seam_picked   {key, corner, panels}

Pointer: press chooses (Shift adds), drag moves, drag beside parts catches them in a band, wheel zooms, middle button or
Space pans, two fingers pan and zoom, double press types a place. Keys: Tab from part to part, arrows by a step of the
grid (Shift: ten), Enter types, Delete takes out, Escape stops and puts back, + − 0, Ctrl A.
*/

import { Board } from "casewright-drafting";

export default {
  // The inner element is the board's own: the page's framework never looks into it.
  template: `<div><div></div></div>`,
  // Said, so that text selected in one of its boxes, which the browser calls "select" too, is not taken for parts chosen.
  emits: ["select"],
  mounted() {
    this.board = new Board(this.$el.firstElementChild, (name, data) => this.$emit(name, data));
    this.$emit("ready");
  },
  beforeUnmount() {
    this.$emit("gone");
    this.board.dispose();
  },
  methods: {
    begin(options, scene, findings, keys) {
      this.board.setOptions(options);
      if (scene) this.board.setScene(scene);
      this.board.mark(findings);
      this.board.select(keys);
    },
    set_scene(scene) {
      this.board.setScene(scene);
    },
    update(changes, removed) {
      this.board.update(changes, removed);
    },
    select(keys) {
      this.board.select(keys);
    },
    set_options(changes) {
      this.board.setOptions(changes);
    },
    mark(findings) {
      this.board.mark(findings);
    },
    would(told) {
      this.board.would(told);
    },
    refuse(words) {
      this.board.entry.refuse(words);
    },
    accept() {
      this.board.entry.close();
    },
    state() {
      return this.board.state();
    },
    pixel(key) {
      return this.board.pixel(key);
    },
  },
};
