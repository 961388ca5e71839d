// The look of the board: paper and ink, lines by ISO 128, one blue for what can be touched. The page's own colors where
// it has them.

export const SHEET = `
.cw-board {
  --b-paper: var(--sheet, #fffdf8); --b-ink: var(--ink, #1e2328); --b-graphite: var(--graphite, #454c55);
  --b-quiet: var(--quiet, #5f666e); --b-rule: var(--rule, #d8d0c0); --b-accent: var(--accent, #1f5fa8);
  --b-wash: var(--accent-wash, #e6eef8); --b-on-accent: var(--on-accent, #fff);
  --b-stop: var(--stop, #a3271b); --b-caution: var(--caution, #8a5000); --b-note: var(--note, #4a5560);
  --b-wood: var(--fill-wood, #e2cfa9); --b-face: var(--fill-face, #f3ead9); --b-acrylic: var(--fill-acrylic, #d5e6ec);
  --b-metal: var(--fill-metal, #cfd3d8); --b-part: var(--fill-part, #dfe2e6); --b-lit: var(--fill-lit, #d7e4f4);
  --b-pocket: var(--fill-pocket, #eadcc0); --b-wood-line: var(--hatch-wood, #9a7b4f);
  --b-acrylic-line: var(--hatch-acrylic, #5c8797); --b-metal-line: var(--hatch-metal, #5b636d);
  --b-inside: #f8f2e5; --b-sheen: #eef3f1;
  position: relative; overflow: hidden; min-height: 15rem; width: 100%; height: 100%;
  background: var(--b-paper); color: var(--b-ink); font: 12px/1.35 "Workbench", "DejaVu Sans", sans-serif;
  font-stretch: condensed; font-variant-numeric: tabular-nums; user-select: none; -webkit-user-select: none;
}
.cw-board[data-theme="dark"] {
  --b-paper: var(--sheet, #232629); --b-ink: var(--ink, #ece7dd); --b-graphite: var(--graphite, #c3c0b8);
  --b-quiet: var(--quiet, #a9a79f); --b-rule: var(--rule, #3d4146); --b-accent: var(--accent, #8bb8ee);
  --b-wash: var(--accent-wash, #25364a); --b-on-accent: var(--on-accent, #10202f);
  --b-stop: var(--stop, #ff9a8a); --b-caution: var(--caution, #efb35a); --b-note: var(--note, #b6c0ca);
  --b-wood: var(--fill-wood, #5a4a30); --b-face: var(--fill-face, #3a352b); --b-acrylic: var(--fill-acrylic, #2c4650);
  --b-metal: var(--fill-metal, #444a51); --b-part: var(--fill-part, #3c4248); --b-lit: var(--fill-lit, #28415f);
  --b-pocket: var(--fill-pocket, #4a4030); --b-wood-line: var(--hatch-wood, #b8935c);
  --b-acrylic-line: var(--hatch-acrylic, #86b4c4); --b-metal-line: var(--hatch-metal, #8b949e);
  --b-inside: #2a2925; --b-sheen: #2a3438;
}
.cw-board .sheet { position: absolute; inset: 0; width: 100%; height: 100%; display: block; touch-action: none; outline: none; }
.cw-board .sheet:focus-visible { box-shadow: inset 0 0 0 2px var(--b-accent); }
.cw-board.panning .sheet, .cw-board.panning .sheet * { cursor: grab; }
.cw-board.dragging .sheet, .cw-board.dragging .sheet * { cursor: grabbing; }
.cw-board svg text { font: 12px "Workbench", "DejaVu Sans", sans-serif; font-stretch: condensed; fill: var(--b-ink); }

/* lines: narrow is half as wide as wide */
.cw-board .world * { vector-effect: non-scaling-stroke; }
.cw-board .pen-none { stroke: none; }
.cw-board .pen-visible { stroke: var(--b-ink); stroke-width: 1.5; }
.cw-board .pen-thin { stroke: var(--b-ink); stroke-width: .75; }
.cw-board .pen-soft { stroke: var(--b-graphite); stroke-width: .75; opacity: .8; }
.cw-board .pen-hidden { stroke: var(--b-graphite); stroke-width: .75; stroke-dasharray: 5 2.5; opacity: .75; }
.cw-board .pen-centre { stroke: var(--b-graphite); stroke-width: .75; stroke-dasharray: 12 2.5 1.5 2.5; }
.cw-board .pen-phantom { stroke: var(--b-graphite); stroke-width: .75; stroke-dasharray: 12 2.5 1.5 2.5 1.5 2.5; opacity: .7; }
.cw-board .pen-accent { stroke: var(--b-accent); stroke-width: 3; stroke-linecap: round; }
.cw-board .fill-none { fill: none; }
.cw-board .fill-face { fill: var(--b-face); } .cw-board .fill-wood { fill: var(--b-wood); }
.cw-board .fill-acrylic { fill: var(--b-acrylic); } .cw-board .fill-metal { fill: var(--b-metal); }
.cw-board .fill-part { fill: var(--b-part); } .cw-board .fill-lit { fill: var(--b-lit); }
.cw-board .fill-hole, .cw-board .fill-paper { fill: var(--b-paper); } .cw-board .fill-pocket { fill: var(--b-pocket); }
.cw-board .fill-inside { fill: var(--b-inside); }
.cw-board[data-kind="panel"] .layers .fill-acrylic { fill: var(--b-sheen); }
.cw-board[data-kind="panel"] .layers .hatch-acrylic, .cw-board[data-kind="panel"] .layers .hatch-wood { display: none; }
.cw-board .colored { fill: color-mix(in srgb, var(--own) 72%, var(--b-paper)); }
.cw-board .hatch-line-wood { stroke: var(--b-wood-line); stroke-width: .8; }
.cw-board .hatch-line-acrylic { stroke: var(--b-acrylic-line); stroke-width: .8; }
.cw-board .hatch-line-metal { stroke: var(--b-metal-line); stroke-width: .9; }

/* parts */
.cw-board .item { cursor: grab; outline: none; }
.cw-board.read-only .item { cursor: pointer; }
.cw-board .press { fill: transparent; stroke: none; }
.cw-board .ring { fill: none; stroke: none; pointer-events: none; }
.cw-board .item:hover .ring { stroke: var(--b-accent); stroke-width: 1; }
.cw-board .item.chosen .ring { stroke: var(--b-accent); stroke-width: 2; }
.cw-board .item.carried .ring { stroke: var(--b-accent); stroke-width: 1; stroke-dasharray: 4 3; }
.cw-board .item:focus-visible .ring { stroke: var(--b-accent); stroke-width: 3; }
.cw-board .item.near .ring { stroke: var(--b-caution); stroke-width: 2; stroke-dasharray: 7 4; }
.cw-board .item.close .ring { stroke: var(--b-stop); stroke-width: 3.5; }
.cw-board.hide-behind .item .pen-hidden, .cw-board.hide-behind .layers .pen-hidden { display: none; }

/* names, dimensions, guides */
.cw-board .name { text-anchor: middle; paint-order: stroke; stroke: var(--b-halo, var(--b-paper)); stroke-width: 3; stroke-linejoin: round; pointer-events: none; }
.cw-board[data-kind="panel"] .name { --b-halo: var(--b-face); }
.cw-board[data-kind="panel"].see-through .name { --b-halo: var(--b-sheen); }
.cw-board .dimension path { fill: none; stroke: var(--b-graphite); stroke-width: .75; }
.cw-board .dimension text { text-anchor: middle; fill: var(--b-graphite); paint-order: stroke; stroke: var(--b-paper); stroke-width: 3; }
.cw-board .dimension.running path { stroke: var(--b-accent); }
.cw-board .dimension.running text { fill: var(--b-accent); stroke: var(--b-halo, var(--b-paper)); stroke-width: 4; }
.cw-board .dimension.near path { stroke: var(--b-caution); stroke-width: 1.5; stroke-dasharray: 7 4; }
.cw-board .dimension.close path { stroke: var(--b-stop); stroke-width: 2.5; }
.cw-board .guide path { fill: none; stroke: var(--b-accent); stroke-width: .75; stroke-dasharray: 12 2.5 1.5 2.5; }
.cw-board .guide.quiet path { stroke: var(--b-graphite); }
.cw-board .guide.drop path { stroke-dasharray: none; opacity: .55; }
.cw-board .guide text { text-anchor: middle; fill: var(--b-accent); font-size: 11px; }
.cw-board .guide.quiet text { fill: var(--b-graphite); }
.cw-board .band { fill: var(--b-accent); fill-opacity: .08; stroke: var(--b-accent); stroke-width: 1; stroke-dasharray: 4 3; }
.cw-board .over { pointer-events: none; } .cw-board .over .live { pointer-events: auto; }
.cw-board .tag rect { fill: var(--b-paper); stroke: var(--b-accent); stroke-width: 1; }
.cw-board .tag .first { font-weight: 700; } .cw-board .tag .second { fill: var(--b-graphite); }
.cw-board .tag.near rect { stroke: var(--b-caution); stroke-width: 1.5; stroke-dasharray: 7 4; }
.cw-board .tag.near .second { fill: var(--b-caution); }
.cw-board .tag.close rect { stroke: var(--b-stop); stroke-width: 2.5; }
.cw-board .tag.close .second { fill: var(--b-stop); font-weight: 700; }

/* side view */
.cw-board .corner { cursor: move; outline: none; }
.cw-board .corner circle.dot { fill: var(--b-paper); stroke: var(--b-accent); stroke-width: 1.75; }
.cw-board .corner:hover circle.dot { fill: var(--b-wash); } .cw-board .corner.chosen circle.dot { fill: var(--b-accent); }
.cw-board .corner:focus-visible circle.dot { r: 9px; stroke-width: 3.5; fill: var(--b-wash); }
.cw-board .corner.fixed { cursor: default; } .cw-board .corner.fixed circle.dot { stroke: var(--b-graphite); stroke-width: 1; r: 2.5px; fill: var(--b-graphite); }
.cw-board .run { cursor: move; outline: none; } .cw-board .run.short { display: none; }
.cw-board .run line { stroke-linecap: round; } .cw-board .run .reach { stroke: transparent; stroke-width: 20; }
.cw-board .run .bar { stroke: var(--b-accent); stroke-width: 4; opacity: .55; }
.cw-board .run:hover .bar, .cw-board .run.chosen .bar { opacity: 1; stroke-width: 6; }
.cw-board .run:focus-visible .bar { opacity: 1; stroke-width: 8; }
.cw-board .corner text { font-weight: 700; text-anchor: middle; paint-order: stroke; stroke: var(--b-paper); stroke-width: 3; }
.cw-board .seam { cursor: pointer; outline: none; }
.cw-board .seam path { fill: var(--b-paper); stroke: var(--b-accent); stroke-width: 1.25; }
.cw-board .seam line { stroke: var(--b-accent); stroke-width: .75; }
.cw-board .seam text { fill: var(--b-graphite); paint-order: stroke; stroke: var(--b-inside); stroke-width: 4; font-size: 11px; }
.cw-board .seam:hover path, .cw-board .seam.chosen path { fill: var(--b-accent); } .cw-board .seam:focus-visible path { stroke-width: 3; }
.cw-board .eye circle { fill: none; stroke: var(--b-accent); stroke-width: 1.5; } .cw-board .eye circle.pupil { fill: var(--b-accent); }
.cw-board .eye text { text-anchor: middle; paint-order: stroke; stroke: var(--b-paper); stroke-width: 3; }
.cw-board .eye-handle { cursor: move; outline: none; } .cw-board .eye-handle .ring-eye { fill: none; stroke: none; }
.cw-board .eye-handle:hover .ring-eye, .cw-board .eye-handle.chosen .ring-eye { stroke: var(--b-accent); stroke-width: 1; }
.cw-board .eye-handle:focus-visible .ring-eye { stroke: var(--b-accent); stroke-width: 3; }
.cw-board .sight { fill: none; stroke: var(--b-accent); stroke-width: .75; stroke-dasharray: 12 2.5 1.5 2.5; opacity: .55; }
.cw-board .ghost-outline { fill: none; stroke: var(--b-accent); stroke-width: 1.5; vector-effect: non-scaling-stroke; }

/* findings */
.cw-board.dragging .mark { opacity: .2; }
.cw-board .mark { cursor: pointer; outline: none; } .cw-board .mark circle.ring-mark { fill: none; stroke: none; }
.cw-board .mark:focus-visible circle.ring-mark { stroke: var(--b-accent); stroke-width: 3; }
.cw-board .mark path { stroke: var(--b-paper); stroke-width: 1.5; fill: var(--b-note); }
.cw-board .mark.stop path { fill: var(--b-stop); } .cw-board .mark.caution path { fill: var(--b-caution); }
.cw-board .mark.note path { fill: var(--b-paper); stroke: var(--b-note); stroke-width: 1; }
.cw-board svg .mark text { fill: var(--b-paper); font-size: 10.5px; font-weight: 700; text-anchor: middle; }
.cw-board .leader { fill: none; stroke: var(--b-graphite); stroke-width: .75; pointer-events: none; }
.cw-board svg .mark text.more { fill: var(--b-ink); text-anchor: start; font-size: 10px; paint-order: stroke; stroke: var(--b-paper); stroke-width: 3; }
.cw-board svg .mark.note text { fill: var(--b-note); }

/* tools, entry, readout */
.cw-board .tools { position: absolute; right: 10px; display: flex; gap: 2px; background: var(--b-paper); border: 1px solid var(--b-rule); border-radius: 4px; padding: 2px; }
.cw-board .tools[hidden] { display: none; }
.cw-board .tools.zooming { bottom: 8px; } .cw-board .tools.arranging { top: 10px; }
.cw-board .tools button { all: unset; width: 28px; height: 26px; display: grid; place-items: center; border-radius: 3px; cursor: pointer; color: var(--b-graphite); }
.cw-board .tools button:hover { background: var(--b-wash); color: var(--b-accent); }
.cw-board .tools button:focus-visible { box-shadow: 0 0 0 2px var(--b-accent); }
.cw-board .tools button[aria-pressed="true"] { color: var(--b-accent); }
.cw-board .tools svg { width: 18px; height: 18px; fill: none; stroke: currentColor; stroke-width: 1.5; }
.cw-board .tools .split { width: 1px; margin: 4px 3px; background: var(--b-rule); }
.cw-board .readout { position: absolute; left: 12px; bottom: 10px; max-width: calc(100% - 170px); color: var(--b-quiet); white-space: nowrap; overflow: hidden; text-overflow: ellipsis; pointer-events: none; background: var(--b-paper); }
.cw-board .readout b { color: var(--b-ink); } .cw-board .readout .near { color: var(--b-caution); } .cw-board .readout .close { color: var(--b-stop); font-weight: 700; }
.cw-board .entry, .cw-board .card { position: absolute; background: var(--b-paper); border: 1px solid var(--b-accent); border-radius: 4px; padding: 10px 12px; box-shadow: var(--shadow, 0 4px 18px rgb(60 45 20 / .18)); z-index: 2; }
.cw-board .entry { display: grid; grid-template-columns: auto 8.5rem; gap: 6px 8px; align-items: center; width: max-content; }
.cw-board .entry[hidden], .cw-board .card[hidden] { display: none; }
.cw-board .entry b { grid-column: 1 / 3; } .cw-board .entry .refusal { grid-column: 1 / 3; color: var(--b-stop); max-width: 15rem; white-space: normal; } .cw-board .entry .refusal:empty { display: none; }
.cw-board .entry input { font: inherit; color: inherit; background: transparent; border: 1px solid var(--b-rule); border-radius: 3px; padding: 4px 6px; user-select: text; -webkit-user-select: text; }
.cw-board .entry input:focus { outline: 2px solid var(--b-accent); outline-offset: 0; }
.cw-board .card { max-width: 18rem; pointer-events: none; } .cw-board .card p { margin: 2px 0 0; color: var(--b-graphite); }
.cw-board .heard { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); white-space: nowrap; }
`;
