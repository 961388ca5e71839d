// What draws, and how well it can: a graphics card, or a processor that has to do its work.

const SAMPLES = 4; // of a pixel, where edges are smoothed

let known; // a page has one of them

/** Whether a processor does the work of a graphics card; by the name that the drawing program gives itself. */
export function drawsInSoftware() {
  if (known !== undefined) return known;
  const gl = document.createElement("canvas").getContext("webgl2");
  if (!gl) return false;
  const named = gl.getExtension("WEBGL_debug_renderer_info");
  const name = gl.getParameter(named ? named.UNMASKED_RENDERER_WEBGL : gl.RENDERER);
  known = /swiftshader|llvmpipe|softpipe|software|basic render/i.test(String(name));
  gl.getExtension("WEBGL_lose_context")?.loseContext();
  return known;
}

/** A frame with smooth edges on a canvas that was made without: a processor takes two and a half times as long for it. */
export class Smoothing {
  constructor(renderer) {
    this.gl = renderer.getContext();
    this.size = [0, 0];
  }

  /** Have `render` draw, and bring what it drew onto the canvas. */
  draw(render) {
    const { gl } = this;
    this.fit();
    const bind = WebGL2RenderingContext.prototype.bindFramebuffer.bind(gl);
    bind(gl.FRAMEBUFFER, this.target);
    gl.bindFramebuffer = (which, target) => bind(which, target ?? this.target); // the canvas is null
    try {
      render();
    } finally {
      delete gl.bindFramebuffer;
    }
    const [width, height] = this.size;
    bind(gl.READ_FRAMEBUFFER, this.target);
    bind(gl.DRAW_FRAMEBUFFER, null);
    gl.disable(gl.SCISSOR_TEST);
    gl.blitFramebuffer(0, 0, width, height, 0, 0, width, height, gl.COLOR_BUFFER_BIT, gl.NEAREST);
    bind(gl.FRAMEBUFFER, null);
  }

  fit() {
    const { gl } = this;
    const size = [gl.drawingBufferWidth, gl.drawingBufferHeight];
    if (this.target && gl.isFramebuffer(this.target) && String(size) === String(this.size)) return;
    this.dispose();
    this.size = size;
    this.target = gl.createFramebuffer();
    gl.bindFramebuffer(gl.FRAMEBUFFER, this.target);
    const samples = Math.min(SAMPLES, gl.getParameter(gl.MAX_SAMPLES));
    this.buffers = [[gl.COLOR_ATTACHMENT0, gl.RGBA8], [gl.DEPTH_ATTACHMENT, gl.DEPTH_COMPONENT24]].map(([to, format]) => {
      const buffer = gl.createRenderbuffer();
      gl.bindRenderbuffer(gl.RENDERBUFFER, buffer);
      gl.renderbufferStorageMultisample(gl.RENDERBUFFER, samples, format, ...size);
      gl.framebufferRenderbuffer(gl.FRAMEBUFFER, to, gl.RENDERBUFFER, buffer);
      return buffer;
    });
    gl.bindRenderbuffer(gl.RENDERBUFFER, null);
    gl.bindFramebuffer(gl.FRAMEBUFFER, null);
  }

  dispose() {
    if (!this.target) return;
    for (const buffer of this.buffers) this.gl.deleteRenderbuffer(buffer);
    this.gl.deleteFramebuffer(this.target);
    this.target = null;
  }
}
