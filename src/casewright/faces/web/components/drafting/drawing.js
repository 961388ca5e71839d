// Marks of a scene as SVG. Lines mean what ISO 128 says; their widths and dashes are in style.js and do not zoom.

const SVG = "http://www.w3.org/2000/svg";

/** An SVG element with attributes. */
export function make(name, attributes = {}, parent = null) {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  if (parent) parent.appendChild(element);
  return element;
}

const pointsOf = (points) => points.map(([x, y]) => `${x},${y}`).join(" ");

/** A mark in millimeters; null for dimensions and texts, which keep their size and are laid over. */
export function drawMark(mark, parent) {
  const attributes = { class: `pen-${mark.pen || "none"} fill-${mark.fill || "none"}` };
  let element = null;
  switch (mark.s) {
    case "circle":
      element = make("circle", { cx: mark.at[0], cy: mark.at[1], r: mark.r, ...attributes }, parent);
      break;
    case "rect": {
      const [x, y] = mark.at;
      if (mark.turn) attributes.transform = `rotate(${mark.turn} ${x} ${y})`;
      element = make(
        "rect",
        { x: x - mark.w / 2, y: y - mark.h / 2, width: mark.w, height: mark.h, rx: mark.r, ...attributes },
        parent,
      );
      break;
    }
    case "line":
      element = make(mark.closed ? "polygon" : "polyline", { points: pointsOf(mark.points), ...attributes }, parent);
      break;
    case "area":
      element = make("path", { d: mark.rings.map((ring) => `M${pointsOf(ring)}Z`).join(""), ...attributes }, parent);
      element.setAttribute("fill-rule", "evenodd");
      break;
    default:
      return null;
  }
  if (mark.color && /^#[0-9a-fA-F]{6}$/.test(mark.color)) {
    element.classList.add("colored");
    element.style.setProperty("--own", mark.color);
  }
  if (HATCHED.has(mark.fill)) {
    const hatch = element.cloneNode();
    hatch.removeAttribute("style");
    hatch.setAttribute("class", `pen-none hatch-${mark.fill}`);
    parent.insertBefore(hatch, element.nextSibling);
  }
  return element;
}

const HATCHED = new Set(["wood", "acrylic", "metal"]);
const HATCHES = { wood: [8, 45], acrylic: [6.5, 135], metal: [4.5, 45] }; // distance of the lines in pixels, turn

/** Hatch patterns; call the result with the scale so that the lines keep their distance on the screen. */
export function hatchPatterns(defs, prefix) {
  const made = Object.entries(HATCHES).map(([name, [step, turn]]) => {
    const attributes = { id: `${prefix}-${name}`, width: step, height: step, patternUnits: "userSpaceOnUse" };
    const pattern = make("pattern", attributes, defs);
    make("path", { d: `M0 0V${step}`, class: `hatch-line-${name}` }, pattern);
    return [pattern, turn];
  });
  return (scale) => {
    for (const [pattern, turn] of made) pattern.setAttribute("patternTransform", `scale(${1 / scale}) rotate(${turn})`);
  };
}

/** A movable part: its marks in a group that is carried by a transform, with a ring and a place to press. */
export function drawItem(item, parent, label) {
  const group = make("g", { class: "item", role: "button", tabindex: "-1", "data-key": item.key }, parent);
  group.setAttribute("aria-roledescription", "part that can be moved");
  const press = make("rect", { class: "press" }, group);
  const marks = make("g", { class: "marks" }, group);
  for (const mark of item.marks) drawMark(mark, marks);
  const ring = make("rect", { class: "ring" }, group);
  group.setAttribute("aria-label", label);
  return { group, press, ring };
}

/** Put the ring and the place to press round a part, some pixels off, whatever the scale. */
export function fitRing({ press, ring }, reach, scale) {
  const [x0, y0, x1, y1] = reach, w = x1 - x0, h = y1 - y0;
  const isRound = Math.abs(w - h) < 1e-3;
  for (const [element, pad] of [[ring, 5 / scale], [press, Math.max(2 / scale, (24 / scale - Math.min(w, h)) / 2)]]) {
    const wide = w + 2 * pad, high = h + 2 * pad;
    element.setAttribute("x", x0 - pad);
    element.setAttribute("y", y0 - pad);
    element.setAttribute("width", wide);
    element.setAttribute("height", high);
    element.setAttribute("rx", isRound ? wide / 2 : 5 / scale);
  }
}
