// Which part of the drawing is in sight: scale and place, zooming, panning, fitting.

const LEAST = 0.02, MOST = 60; // pixels per millimeter

export class View {
  constructor() {
    this.scale = 1;
    this.x = 0;
    this.y = 0;
    this.width = 1;
    this.height = 1;
    this.isTouched = false; // the user chose it: it is kept when the window's size changes
  }

  /** Pixels of a place in millimeters; up in the drawing is up on the screen. */
  toScreen([x, y]) {
    return [this.x + x * this.scale, this.y - y * this.scale];
  }

  toWorld([x, y]) {
    return [(x - this.x) / this.scale, (this.y - y) / this.scale];
  }

  get transform() {
    return `matrix(${this.scale} 0 0 ${-this.scale} ${this.x} ${this.y})`;
  }

  /** Bring a box into the window, `pads` pixels free: [left, top, right, bottom]. */
  fit([x0, y0, x1, y1], pads = [28, 28, 28, 44]) {
    const wide = Math.max(this.width - pads[0] - pads[2], 40), high = Math.max(this.height - pads[1] - pads[3], 40);
    this.scale = clamp(Math.min(wide / Math.max(x1 - x0, 1), high / Math.max(y1 - y0, 1)));
    this.x = pads[0] + (wide - (x1 + x0) * this.scale) / 2;
    this.y = pads[1] + (high + (y1 + y0) * this.scale) / 2;
    this.isTouched = false;
  }

  /** Zoom so that what is under a pixel stays there. */
  zoom(factor, [px, py] = [this.width / 2, this.height / 2]) {
    const scale = clamp(this.scale * factor), by = scale / this.scale;
    this.x = px + (this.x - px) * by;
    this.y = py + (this.y - py) * by;
    this.scale = scale;
    this.isTouched = true;
  }

  pan(dx, dy) {
    this.x += dx;
    this.y += dy;
    this.isTouched = true;
  }

  /** The window got another size; its middle stays the middle. */
  resize(width, height) {
    this.x += (width - this.width) / 2;
    this.y += (height - this.height) / 2;
    this.width = width;
    this.height = height;
  }

  get state() {
    return { scale: this.scale, middle: this.toWorld([this.width / 2, this.height / 2]), isTouched: this.isTouched };
  }

  set state({ scale, middle, isTouched }) {
    this.scale = scale;
    this.x = this.width / 2 - middle[0] * scale;
    this.y = this.height / 2 + middle[1] * scale;
    this.isTouched = isTouched;
  }
}

const clamp = (scale) => Math.min(Math.max(scale, LEAST), MOST);
