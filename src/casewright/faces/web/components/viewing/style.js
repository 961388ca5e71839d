// Colors and the look of what lies over the picture. One place: the 3D colors are read back from the same variables.
// Ink, accent and the like are the page's own where it has them.

const SHEET = `
.cw-viewer {
  --viewer-paper: #f8f4ea; --viewer-glow: #fffdf8; --viewer-ink: var(--ink, #1e2328); --viewer-faint: var(--quiet, #6a6f76);
  --viewer-line: var(--rule, #d8d0c0); --viewer-accent: var(--accent, #1f5fa8); --viewer-card: var(--sheet, #fffdf8);
  --viewer-edge: #3a332a; --viewer-cut: #2a241c;
  --viewer-sky: #fffaf0; --viewer-earth: #b9a98e; --viewer-shade: .17; --viewer-brightness: 1;
  --viewer-stop: var(--stop, #a3271b); --viewer-caution: var(--caution, #9a5b00); --viewer-note: var(--note, #4a5560);
  position: relative; overflow: hidden; min-height: 12rem; color: var(--viewer-ink);
  background: radial-gradient(ellipse at 50% 42%, var(--viewer-glow), var(--viewer-paper) 75%);
  font-variant-numeric: tabular-nums; user-select: none; -webkit-user-select: none;
}
.cw-viewer[data-theme="dark"] {
  --viewer-paper: #1b1d1f; --viewer-glow: #32363a; --viewer-ink: var(--ink, #ece6da); --viewer-faint: var(--quiet, #a39e94);
  --viewer-line: var(--rule, #3d3f40); --viewer-accent: var(--accent, #7fb2ec); --viewer-card: var(--sheet, #26292c);
  --viewer-edge: #15130f; --viewer-cut: #f0e8d8;
  --viewer-sky: #f3ead9; --viewer-earth: #6f675b; --viewer-shade: .42; --viewer-brightness: .84;
  --viewer-stop: var(--stop, #f0897c); --viewer-caution: var(--caution, #e6b25c); --viewer-note: var(--note, #b3bcc6);
}
.cw-viewer:focus-visible { outline: 2px solid var(--viewer-accent); outline-offset: -2px; }
.cw-viewer canvas { position: absolute; inset: 0; display: block; touch-action: none; cursor: grab; outline: none; }
.cw-viewer[data-mode="measure"] canvas { cursor: crosshair; }
.cw-viewer.cw-turning canvas { cursor: grabbing; }
.cw-viewer.cw-over:not([data-mode="measure"]):not(.cw-turning) canvas { cursor: pointer; }
.cw-over-picture { position: absolute; inset: 0; pointer-events: none; overflow: hidden; }
.cw-spot[hidden], .cw-end[hidden], .cw-cross[hidden], .cw-name[hidden], .cw-size[hidden] { display: none; }
.cw-spot {
  position: absolute; left: 0; top: 0; width: 1.55rem; height: 1.55rem; margin: -.775rem; padding: 0;
  display: grid; place-items: center; pointer-events: auto; cursor: pointer;
  font: 600 .78rem/1 inherit; font-family: inherit; color: var(--viewer-card);
  background: var(--viewer-note); border: 2px solid var(--viewer-card); border-radius: 50%;
  box-shadow: 0 1px 3px rgb(0 0 0 / .3);
}
.cw-spot[data-severity="stop"] { background: var(--viewer-stop); border-radius: 22%; }
.cw-spot[data-severity="caution"] { background: var(--viewer-caution); border-radius: 50% 50% 50% 8%; }
.cw-spot:focus-visible, .cw-spot:hover { outline: 2px solid var(--viewer-accent); outline-offset: 2px; }
.cw-name, .cw-size {
  position: absolute; left: 0; top: 0; white-space: nowrap; padding: .2rem .5rem; border-radius: 3px;
  background: var(--viewer-card); border: 1px solid var(--viewer-line); font-size: .8rem; line-height: 1.35;
}
.cw-size { border-color: var(--viewer-accent); text-align: right; }
.cw-size b { font-size: 1rem; color: var(--viewer-accent); }
.cw-size span { color: var(--viewer-faint); }
.cw-end {
  position: absolute; left: 0; top: 0; width: 11px; height: 11px; margin: -5.5px; border-radius: 50%;
  border: 2px solid var(--viewer-accent); background: var(--viewer-card);
}
.cw-end[data-snap="middle"] { border-radius: 0; transform-origin: center; }
.cw-end[data-snap="centre"] { background: var(--viewer-accent); }
.cw-end[data-snap="face"] { opacity: .6; }
.cw-cross { position: absolute; left: -9px; top: -9px; width: 19px; height: 19px; background:
  linear-gradient(var(--viewer-accent), var(--viewer-accent)) 50% / 1px 100% no-repeat,
  linear-gradient(var(--viewer-accent), var(--viewer-accent)) 50% / 100% 1px no-repeat; }
.cw-quiet { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); white-space: nowrap; }
.cw-instead { position: absolute; inset: 0; display: flex; flex-direction: column; padding: 1rem; gap: .6rem; }
.cw-instead img { flex: 1; min-height: 0; object-fit: contain; }
.cw-viewer[data-theme="dark"] .cw-instead img { filter: invert(.9) hue-rotate(180deg); }
.cw-instead p { margin: 0; color: var(--viewer-faint); font-size: .85rem; }
`;

/** Put the sheet into the page, once. */
export function dress() {
  if (document.getElementById("cw-viewer-sheet")) return;
  const style = document.createElement("style");
  style.id = "cw-viewer-sheet";
  style.textContent = SHEET;
  document.head.append(style);
}

/** The value of one of the variables above, such as tint(host, "edge"). */
export function tint(host, name) {
  return getComputedStyle(host).getPropertyValue(`--viewer-${name}`).trim();
}
