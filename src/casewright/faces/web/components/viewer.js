/*
The cabinet in space, as an element of the page. All lengths are mm in the cabinet's frame: x right, y back, z up.
The work is done in viewing/, which knows nothing of the page's framework; this file only passes on.

Methods, called from viewer.py
  set_scene(parts)           show these and nothing else
  update(parts, removed, isFollowed)   take in changed parts, let go of those whose keys are in `removed`; the eye stays
                             where it is; where markers of the same change follow, the fine picture waits for them
      parts = {parts: [record, ...], shapes: {ids, sizes, data}}, both made and described by scene.py
  set_options({...})         any of
      theme        "light" | "dark"
      apart        0 to 1: how far the pieces are moved out
      section      null | {axis: "x" | "y" | "z", at: mm, keep: "below" | "above" | "far"}: cut open, the cut faces
                   filled; "far" keeps the side away from the eye, and that one while the axis stays the same
      see_through  wood as clear as glass
      bodies, rooms, edges   show bought parts; the room they need kept free; sharp edges
      hidden       [name, ...] not shown; a name is a key or an owner
      only         null | [name, ...]: nothing else is shown
      works        null | {key: [band, ...]}, made and described by scene_works.py: show these walls, the pieces pale
      marked       [name, ...] drawn in the accent color
      dots         the numbered dots are shown
      mode         "turn" | "measure"
  look(toward)               from this direction [x, y, z], everything in the picture
  fit()                      everything in the picture, direction kept
  show_markers([{number, point, names, severity, label}, ...])   numbered dots; they move with the first part named
  show_size({distance, across, deep, up})   texts of the tape, in the user's unit
  show_instead({picture, text})             a line picture (SVG, base64) where there is no WebGL
  state(), pixel(point)      for tests

Events
  ready        it can be called now; also after a reconnection, when all must be sent again
  without_3d   {reason}      the browser has no WebGL
  pick         {key, owner, panel, point}   a part was pressed; key "" and point null beside all parts
  hover        {key, owner}  the part under the pointer; key "" for none
  measured     {from, to}    the tape lies between these points (as assembled, however far apart the pieces are)
  marker       {number}      a numbered dot was pressed

Keys: arrows turn by 10° (with Shift by 45°), + and - zoom, Home fits, Page Up and Down pick part by part, Escape
lets go. While measuring, arrows move a cross and Enter puts an end of the tape there. Fingers: one turns, two move and zoom, a tap picks.
*/

import { Viewer } from "casewright-viewing";

export default {
  template: `<div role="group" :aria-label="label" :aria-description="help"></div>`,
  props: { label: String, help: String },
  mounted() {
    this.viewer = new Viewer(this.$el, (name, data) => this.$emit(name, data));
    this.$emit("ready");
  },
  unmounted() {
    this.viewer.dispose();
  },
  methods: {
    set_scene(parts) {
      return this.viewer.setScene(parts);
    },
    update(parts, removed, isFollowed) {
      return this.viewer.update(parts, removed, isFollowed);
    },
    set_options(changes) {
      this.viewer.setOptions(changes);
    },
    look(toward) {
      this.viewer.look(toward);
    },
    fit() {
      this.viewer.fit();
    },
    show_markers(markers) {
      this.viewer.showMarkers(markers);
    },
    show_size(texts) {
      this.viewer.showSize(texts);
    },
    show_instead(instead) {
      this.viewer.showInstead(instead);
    },
    state() {
      return this.viewer.state();
    },
    pixel(point) {
      return this.viewer.pixel(point);
    },
  },
};
