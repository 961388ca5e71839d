// Lengths as the user reads them. What is typed goes to Python as it is; only figures that run with a drag are made here.

const SPACE = "\u202f";

/** A length without its unit; -0 is 0. */
export function figure(mm, writing) {
  if (writing.unit === "in") return inches(mm, writing.denominator);
  const per = { mm: 1, cm: 10, m: 1000 }[writing.unit];
  const places = writing.decimals + { mm: 0, cm: 1, m: 3 }[writing.unit];
  const text = Math.abs(round(mm / per, places)).toFixed(places);
  return mm < 0 && Number(text) !== 0 ? `−${text}` : text;
}

/** A length with its unit. */
export const length = (mm, writing) => `${figure(mm, writing)}${SPACE}${writing.unit}`;

function inches(mm, denominator) {
  const steps = Math.floor((Math.abs(mm) / 25.4) * denominator + 0.5 + 1e-9);
  let whole = Math.floor(steps / denominator), top = steps % denominator, bottom = denominator;
  while (top && top % 2 === 0) {
    top /= 2;
    bottom /= 2;
  }
  const text = top ? `${whole ? `${whole}\u00a0` : ""}${top}/${bottom}` : `${whole}`;
  return mm < 0 && steps ? `−${text}` : text;
}

/** Half away from zero, as Python writes lengths. */
function round(value, places) {
  const by = 10 ** places;
  return (Math.sign(value) * Math.floor(Math.abs(value) * by + 0.5 + 1e-9)) / by;
}
