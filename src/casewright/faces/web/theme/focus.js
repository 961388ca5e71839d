// Where a stretch of the page is drawn anew, the focus stays with the control that takes the place of the one it was on.
// In a dialog it goes round, and never to what lies behind. What cannot be pressed just now can still be come to.
(() => {
  const CONTROLS = "button, a[href], input, textarea, select, summary, [tabindex]";
  const DIALOG = ".q-dialog .paper-dialog";
  const FRAMES = 4; // what replaces a control comes with what took it away, or a moment later
  const kept = { page: null, dialog: null };
  let isClosed = false; // a dialog, just now

  const controls = (room) => [...room.querySelectorAll(CONTROLS)].filter((one) => one.tabIndex >= 0);
  const canHold = (one) => !one.disabled && one.checkVisibility();
  const name = (one) => `${one.tagName} ${one.dataset.field || one.getAttribute("aria-label") || one.textContent.trim()}`;
  const layer = (one) => (one.closest(DIALOG) ? "dialog" : "page");

  // The control, what it is called, and where in everything that it lies in: its number among the controls, that of the
  // first one in the same stretch, and how many there are.
  const keep = (one) => {
    if (!(one instanceof Element) || one === document.body || one.closest(".q-menu")) return;
    const called = name(one), rooms = [], around = [];
    for (let room = one.parentElement; room; room = room.parentElement) {
      rooms.unshift(room);
      if (room.matches(`#view, aside, ${DIALOG}`)) break;
    }
    let all = rooms.length ? controls(rooms[0]).filter(canHold) : [];
    let same = all.filter((other) => name(other) === called);
    rooms.forEach((room, depth) => {
      all = all.filter((other) => room.contains(other));
      same = same.filter((other) => room.contains(other));
      const stretch = rooms[depth + 1] ?? one;
      around.unshift({ room, at: all.indexOf(one), start: all.findIndex((other) => stretch.contains(other)), same: same.indexOf(one), count: all.length });
    });
    kept[layer(one)] = { one, called, around };
  };

  // What has taken its place: the control of that name in the nearest room that is left, else the one of that number in
  // it, or, where there are more or fewer now, the first one of what follows.
  const successor = ({ one, called, around }, isLast) => {
    if (one.isConnected && canHold(one)) return one;
    const left = around.filter(({ room }) => room.isConnected);
    for (const { room, same } of left) {
      const found = controls(room).filter((one) => canHold(one) && name(one) === called);
      if (found.length) return found[Math.min(Math.max(same, 0), found.length - 1)];
    }
    if (!isLast) return null;
    for (const { room, at, start, count } of left) {
      if (room.id === "view") return room; // all of the view is another one
      const there = controls(room).filter(canHold), number = there.length === count ? at : start;
      if (there.length) return there[Math.min(Math.max(number, 0), there.length - 1)];
    }
    return null;
  };

  // A dialog that opens has the focus as a whole, which nobody sees.
  const enter = (dialog) => {
    const first = document.activeElement === dialog && controls(dialog).find(canHold);
    if (first && first.getBoundingClientRect().bottom < innerHeight) first.focus({ preventScroll: true });
  };

  const isGone = (was) => was && !(was.one.isConnected && canHold(was.one));
  const lost = () => {
    if (document.activeElement !== document.body) return null;
    const was = document.querySelector(DIALOG) ? kept.dialog : kept.page;
    return was && (isClosed || isGone(was)) ? was : null;
  };
  const bring = (was, frames) => {
    if (!was || lost() !== was) return;
    const found = successor(was, frames === 0);
    if (!found && frames) requestAnimationFrame(() => bring(was, frames - 1));
    found?.focus({ preventScroll: found.id === "view" });
  };

  addEventListener("focusin", ({ target }) => {
    isClosed = false;
    keep(target);
    if (target.matches(".q-dialog__inner")) requestAnimationFrame(() => enter(target));
  });
  addEventListener("keydown", (event) => {
    const { target, key } = event;
    if (Object.values(kept).some((was) => was?.one === target) && (key.length > 1 || key === " ")) keep(target);
    const dialog = [...document.querySelectorAll(DIALOG)].at(-1);
    if (key !== "Tab" || !dialog || target.closest(".q-menu")) return;
    const there = controls(dialog).filter(canHold), at = there.indexOf(target);
    const next = at < 0 && dialog.contains(target) ? null : event.shiftKey ? at <= 0 && there.at(-1) : (at < 0 || at === there.length - 1) && there[0];
    if (next) { event.preventDefault(); next.focus(); }
  }, true);
  addEventListener("click", (event) => {
    if (event.target.closest?.("[aria-disabled=true]")?.matches("button")) event.stopImmediatePropagation();
  }, true);
  addEventListener("pointerdown", ({ target }) => {
    if (target instanceof Element && !target.closest(`${CONTROLS}, .q-dialog__backdrop`)) kept[layer(target)] = null;
  }, true);
  addEventListener("focusout", ({ target, relatedTarget }) => {
    if (relatedTarget) return;
    setTimeout(() => {
      const where = layer(target), isCovered = where === "page" && document.querySelector(`${DIALOG}, .q-menu`);
      if (target.isConnected && canHold(target) && !isCovered && kept[where]?.one === target && document.hasFocus()) kept[where] = null;
    });
  });
  addEventListener("DOMContentLoaded", () => {
    let waits = false, hadDialog = false;
    new MutationObserver(() => {
      const hasDialog = Boolean(document.querySelector(DIALOG));
      isClosed = !hasDialog && (isClosed || hadDialog);
      hadDialog = hasDialog;
      if (waits || !(isClosed || Object.values(kept).some(isGone))) return;
      waits = true; // a control that is switched off or hidden has the focus until the page is drawn
      requestAnimationFrame(() => requestAnimationFrame(() => { waits = false; bring(lost(), FRAMES); }));
    }).observe(document.body, { childList: true, subtree: true, attributeFilter: ["disabled", "hidden", "class"] });
  });
})();
// A slider's name and value stand on what lies round the element that has the focus: screen readers ask that one.
(() => {
  const told = (slider, handle) => {
    for (const { name, value } of slider.attributes) if (name.startsWith("aria-")) handle.setAttribute(name, value);
  };
  addEventListener("focusin", ({ target }) => {
    const slider = target.closest?.(".q-slider");
    if (!slider || target === slider || target.getAttribute("role") === "slider") return;
    told(slider, target);
    target.setAttribute("role", "slider");
    slider.setAttribute("role", "none");
    new MutationObserver(() => told(slider, target)).observe(slider, { attributes: true });
  });
})();
