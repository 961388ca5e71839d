// The room in which the cabinet stands: light, ground, eye. Draws one frame when asked, never by itself.

import { OrbitControls, THREE } from "nicegui-scene";
import { drawsInSoftware, Smoothing } from "./drawing.js";
import { spareShadows } from "./shading.js";
import { tint } from "./style.js";

const EYE_DEG = 24; // a long lens: sizes can be compared, lines hardly converge
const MARGIN = 1.08;
const TURN_MS = 260;
const COARSE = 0.5; // share of the pixels each way that is drawn while the eye moves, where drawing is slow
const SETTLED_MS = 450; // so long after the last change a processor draws the picture with all its care
const EDITED_MS = 1500; // and after an edit: the next one may be on its way, which a fine picture would hold up
const FOLLOWED_MS = 3000; // and so long at most where more of the same change is to come, which that would hold up
const SLOW_MS = 45; // between two frames while the eye moves: too long to follow the hand
const JUDGED = 6; // frames in a row by which a drawing is called slow
const PENUMBRA = 0.02; // share of the cabinet's size by which the soft edge of its shadow reaches farther
const NEARLY_UP = 1e-4; // radians off the vertical, so that up in the picture stays defined

export class Stage {
  /** `host` holds the picture; throws where the browser has no WebGL. `onDraw` is called after each frame. */
  constructor(host, onDraw) {
    this.host = host;
    this.onDraw = onDraw;
    this.frames = 0;
    this.sharpness = 0;
    this.late = 0;
    this.box = new THREE.Box3(new THREE.Vector3(0, 0, 0), new THREE.Vector3(600, 400, 500));
    this.isInSoftware = drawsInSoftware();
    this.renderer = new THREE.WebGLRenderer({ antialias: !this.isInSoftware, alpha: true });
    this.smoothing = this.isInSoftware ? new Smoothing(this.renderer) : null;
    this.renderer.localClippingEnabled = true;
    this.renderer.shadowMap.enabled = true;
    // Without a graphics card the processor draws every pixel: the softest shadows would take it a third of each frame.
    spareShadows(this.isInSoftware);
    this.renderer.shadowMap.type = this.isInSoftware ? THREE.PCFShadowMap : THREE.PCFSoftShadowMap;
    this.renderer.shadowMap.autoUpdate = false;
    this.renderer.debug.checkShaderErrors = false; // to ask would be to wait for each in turn
    this.renderer.setOpaqueSort(nearestFirst);
    this.canvas = this.renderer.domElement;
    this.canvas.setAttribute("aria-hidden", "true");
    host.prepend(this.canvas);
    this.scene = new THREE.Scene();
    this.camera = new THREE.PerspectiveCamera(EYE_DEG, 1, 10, 10000);
    this.camera.up.set(0, 0, 1);
    this.camera.position.set(-900, -1500, 900);
    this.addLight();
    this.controls = new OrbitControls(this.camera, this.canvas);
    this.controls.zoomToCursor = true;
    this.controls.addEventListener("change", () => this.draw());
    this.controls.addEventListener("start", () => {
      this.stopTurning();
      this.isHeld = true;
    });
    this.controls.addEventListener("end", () => {
      this.isHeld = false;
      this.sharpen();
    });
    this.canvas.addEventListener("webglcontextlost", (event) => event.preventDefault());
    this.canvas.addEventListener("webglcontextrestored", () => this.drawShadows());
    this.observer = new ResizeObserver(() => this.resize());
    this.observer.observe(host);
    this.resize();
    this.dress();
  }

  addLight() {
    this.sky = new THREE.HemisphereLight(0xffffff, 0xffffff, 1.5);
    this.sky.position.set(0, 0, 1);
    this.sun = new THREE.DirectionalLight(0xffffff, 2.0);
    this.sun.castShadow = true;
    this.sun.shadow.mapSize.setScalar(this.isInSoftware ? 1024 : 2048);
    this.sun.shadow.bias = -0.0004;
    this.sun.shadow.normalBias = 1.2; // mm, against stripes on faces the light grazes
    this.sun.shadow.radius = 3;
    this.lamp = new THREE.DirectionalLight(0xffffff, 0.7); // goes with the eye
    this.ground = new THREE.Mesh(new THREE.PlaneGeometry(1, 1), new THREE.ShadowMaterial({ transparent: true }));
    this.ground.receiveShadow = true;
    this.ground.renderOrder = -1;
    this.ground.visible = false; // until something stands on it
    this.scene.add(this.sky, this.sun, this.sun.target, this.lamp, this.lamp.target, this.ground);
  }

  /** Take the colors of the theme. */
  dress() {
    const bright = Number(tint(this.host, "brightness"));
    this.sky.color.set(tint(this.host, "sky"));
    this.sky.groundColor.set(tint(this.host, "earth"));
    this.sky.intensity = 1.5 * bright;
    this.sun.intensity = 1.8 * bright;
    this.lamp.intensity = 0.7 * bright;
    this.ground.material.opacity = Number(tint(this.host, "shade"));
    this.draw();
  }

  resize() {
    const { clientWidth: width, clientHeight: height } = this.host;
    if (!width || !height || this.gone) return;
    this.sharpness = this.wanted();
    this.renderer.setPixelRatio(this.sharpness);
    this.renderer.setSize(width, height);
    this.camera.aspect = width / height;
    this.camera.updateProjectionMatrix();
    this.render(); // at once: a resized canvas is blank
  }

  /** Pixels drawn for one of the page: where drawing is slow, fewer as long as the picture changes. */
  wanted() {
    const full = Math.min(window.devicePixelRatio || 1, 2);
    const isPassing = this.turning || this.isHeld || this.isHurried;
    return (this.isInSoftware || this.isSlow) && isPassing ? full * COARSE : full;
  }

  /** Draw finely what was last drawn coarsely. */
  sharpen() {
    if (this.isInSoftware) this.settle();
    else if (this.sharpness < this.wanted()) this.draw();
  }

  /** The next frame must come soon: it may be a coarse one, and a fine one follows; where `isFollowed`, after `end`. */
  hurry(isFollowed = false) {
    if (!this.isInSoftware) return;
    this.isHurried = true;
    this.isFollowed = isFollowed;
  }

  /** How long the picture must have rested to be drawn finely. [ms] */
  get rest() {
    return this.isFollowed ? FOLLOWED_MS : this.isHurried ? EDITED_MS : SETTLED_MS;
  }

  /** What was to follow is there. */
  end() {
    if (!this.isFollowed) return;
    this.isFollowed = false;
    this.settle();
  }

  /** Once nothing has changed for a while, and the page is seen: the picture as well as it can be drawn. */
  settle() {
    clearTimeout(this.settling);
    this.isFine = false;
    this.settling = setTimeout(() => {
      this.isHurried = this.isFollowed = false;
      this.asked ||= requestAnimationFrame(() => this.render(!this.turning && !this.isHeld));
    }, this.rest);
  }

  /** Whether the hand waits for frames while it turns the cabinet, by how far they lie apart. */
  judge() {
    const now = performance.now();
    const isMoving = Boolean(this.turning || this.isHeld);
    if (isMoving && this.wasMoving && !this.isInSoftware) {
      this.late = now - this.drawnAt > SLOW_MS && now - this.drawnAt < 1000 ? this.late + 1 : 0;
      this.isSlow ||= this.late >= JUDGED;
    }
    [this.drawnAt, this.wasMoving] = [now, isMoving];
  }

  /** What stands on the stage has these bounds; light and ground follow. Whether they changed. */
  setBounds(box) {
    if (box.isEmpty() || (this.ground.visible && box.equals(this.box))) return false;
    this.box = box;
    const centre = box.getCenter(new THREE.Vector3());
    const radius = box.getSize(new THREE.Vector3()).length() / 2;
    this.sun.position.set(-0.62, -0.85, 1.45).normalize().multiplyScalar(3 * radius).add(centre);
    this.sun.target.position.copy(centre);
    this.sun.target.updateMatrixWorld();
    const eye = this.sun.shadow.camera;
    Object.assign(eye, { left: -radius, right: radius, top: radius, bottom: -radius, near: radius, far: 5 * radius });
    eye.updateProjectionMatrix();
    this.layGround(box);
    this.controls.minDistance = radius / 20;
    this.controls.maxDistance = radius * 25;
    return true;
  }

  /** The ground, as far as shadows of the box fall on it: beyond it there is nothing to draw. */
  layGround(box) {
    const level = box.min.z - 0.5;
    const light = this.sun.position.clone().sub(this.sun.target.position);
    const shaded = new THREE.Box2();
    for (const corner of cornersOf(box)) {
      const away = (corner.z - level) / light.z;
      shaded.expandByPoint(new THREE.Vector2(corner.x - away * light.x, corner.y - away * light.y));
    }
    shaded.expandByScalar(PENUMBRA * box.getSize(new THREE.Vector3()).length());
    const middle = shaded.getCenter(new THREE.Vector2()), size = shaded.getSize(new THREE.Vector2());
    this.ground.position.set(middle.x, middle.y, level);
    this.ground.scale.set(size.x, size.y, 1);
    this.ground.visible = true;
  }

  drawShadows() {
    this.areShadowsOld = true;
    this.draw();
  }

  /** Shadows cost a processor as much as all else: a coarse frame that is waited for makes do with those there are. */
  castShadows(isFine) {
    const isPutOff = this.isInSoftware && this.isHurried && !isFine && this.sun.shadow.map;
    if (!this.areShadowsOld || isPutOff) return;
    this.renderer.shadowMap.needsUpdate = true;
    this.areShadowsOld = false;
  }

  /** Ask for a frame; many asks before it comes give one. */
  draw() {
    if (this.asked || this.gone) return;
    this.asked = requestAnimationFrame(() => this.render());
  }

  /** Draw now. A processor draws finely only when asked to; it will be, when the picture has settled. */
  render(isFine = !this.isInSoftware) {
    cancelAnimationFrame(this.asked); // this frame is the one that was asked for
    this.asked = 0;
    if (!this.ground.visible) return; // nothing stands there yet
    this.judge();
    if (this.sharpness !== this.wanted()) {
      this.sharpness = this.wanted();
      this.renderer.setPixelRatio(this.sharpness);
    }
    const distance = this.camera.position.distanceTo(this.controls.target);
    const radius = this.box.getSize(new THREE.Vector3()).length();
    this.camera.near = this.nearest(distance);
    this.camera.far = distance + 8 * radius;
    this.camera.updateProjectionMatrix();
    this.lamp.position.copy(this.camera.position);
    this.lamp.target.position.copy(this.controls.target);
    this.lamp.target.updateMatrixWorld();
    this.castShadows(isFine);
    const draw = () => this.renderer.render(this.scene, this.camera);
    if (isFine && this.smoothing) this.smoothing.draw(draw);
    else draw();
    if (isFine) this.isFine = true;
    else this.settle();
    this.frames++;
    this.onDraw();
  }

  /**
   * How far from the eye it begins to draw. As far as can be: depths are told apart the better for it, so that a picture
   * does not sink into the housing right behind it. [mm]
   */
  nearest(distance) {
    const ahead = this.camera.getWorldDirection(new THREE.Vector3());
    const depths = cornersOf(this.box).map((corner) => corner.sub(this.camera.position).dot(ahead));
    const least = Math.min(...depths);
    // Half of the way leaves room for hands and plugs, which stand out of the box.
    return Math.max(1, least > 0 ? least / 2 : distance / 40);
  }

  /** Direction from what is looked at to the eye. */
  get toward() {
    return this.camera.position.clone().sub(this.controls.target).normalize();
  }

  /**
   * Look from a direction, everything in the picture.
   *
   * `points` are those that must be seen; the eye goes there in a short turn unless `atOnce`.
   */
  look(toward, points, atOnce) {
    const direction = new THREE.Vector3(...toward).normalize();
    if (Math.abs(direction.z) > 1 - 1e-9) direction.set(0, -NEARLY_UP, Math.sign(direction.z)).normalize();
    const { target, distance } = this.framing(direction, points);
    this.travel(direction, target, distance, atOnce);
  }

  /** Where to look and from how far, so that all the points just fit. */
  framing(direction, points) {
    const right = new THREE.Vector3().crossVectors(this.camera.up, direction).normalize();
    const up = new THREE.Vector3().crossVectors(direction, right);
    const tanUp = Math.tan((EYE_DEG * Math.PI) / 360) / MARGIN;
    const tanRight = tanUp * this.camera.aspect;
    const target = new THREE.Box3().setFromPoints(points).getCenter(new THREE.Vector3());
    let distance = 0;
    for (let round = 0; round < 3; round++) {
      distance = 0;
      for (const point of points) {
        const p = point.clone().sub(target);
        const reach = Math.max(Math.abs(p.dot(right)) / tanRight, Math.abs(p.dot(up)) / tanUp);
        distance = Math.max(distance, reach + p.dot(direction));
      }
      // Near things look larger: move to the middle of what is seen.
      let [left, most, low, high] = [Infinity, -Infinity, Infinity, -Infinity];
      for (const point of points) {
        const p = point.clone().sub(target);
        const away = distance - p.dot(direction);
        left = Math.min(left, p.dot(right) / away);
        most = Math.max(most, p.dot(right) / away);
        low = Math.min(low, p.dot(up) / away);
        high = Math.max(high, p.dot(up) / away);
      }
      target.addScaledVector(right, ((left + most) / 2) * distance).addScaledVector(up, ((low + high) / 2) * distance);
    }
    return { target, distance };
  }

  travel(direction, target, distance, atOnce) {
    this.stopTurning();
    const from = { toward: this.toward, target: this.controls.target.clone() };
    from.distance = this.camera.position.distanceTo(from.target);
    const arc = new THREE.Quaternion().setFromUnitVectors(from.toward, direction);
    const still = new THREE.Quaternion();
    const place = (share) => {
      const way = from.toward.clone().applyQuaternion(still.clone().slerp(arc, share));
      this.stand(share === 1 ? direction : way, from.target.clone().lerp(target, share),
        from.distance + (distance - from.distance) * share);
    };
    if (atOnce || window.matchMedia("(prefers-reduced-motion: reduce)").matches) {
      place(1);
      return;
    }
    const start = performance.now();
    const step = (now) => {
      const t = Math.min(1, Math.max(0, (now - start) / TURN_MS));
      place(t * t * (3 - 2 * t));
      this.turning = t < 1 ? requestAnimationFrame(step) : 0;
    };
    this.turning = requestAnimationFrame(step);
  }

  stopTurning() {
    cancelAnimationFrame(this.turning);
    this.turning = 0;
    this.sharpen();
  }

  stand(direction, target, distance) {
    this.controls.target.copy(target);
    this.camera.position.copy(target).addScaledVector(direction, distance);
    this.controls.update();
    this.draw();
  }

  /** Turn round what is looked at, by degrees to the right and upward. */
  turn(rightDeg, upDeg) {
    this.stopTurning();
    const { x, y, z } = this.toward;
    const level = Math.hypot(x, y);
    const aside = Math.atan2(x, -y) + (rightDeg * Math.PI) / 180;
    const limit = Math.PI / 2 - NEARLY_UP;
    const above = Math.min(limit, Math.max(-limit, Math.atan2(z, level) + (upDeg * Math.PI) / 180));
    const direction = new THREE.Vector3(
      Math.cos(above) * Math.sin(aside), -Math.cos(above) * Math.cos(aside), Math.sin(above));
    this.stand(direction, this.controls.target.clone(), this.camera.position.distanceTo(this.controls.target));
  }

  zoom(factor) {
    this.stopTurning();
    const distance = this.camera.position.distanceTo(this.controls.target) / factor;
    const { minDistance, maxDistance } = this.controls;
    this.stand(this.toward, this.controls.target.clone(), Math.min(maxDistance, Math.max(minDistance, distance)));
  }

  /** A point of the cabinet as pixels from the picture's upper left corner; null behind the eye. */
  onScreen(point) {
    const p = point.clone().project(this.camera);
    if (p.z > 1 || p.z < -1) return null;
    return { x: ((p.x + 1) / 2) * this.host.clientWidth, y: ((1 - p.y) / 2) * this.host.clientHeight };
  }

  dispose() {
    this.gone = true;
    this.stopTurning();
    cancelAnimationFrame(this.asked);
    clearTimeout(this.settling);
    this.smoothing?.dispose();
    this.observer.disconnect();
    this.controls.dispose();
    this.renderer.dispose();
    this.renderer.forceContextLoss();
    this.canvas.remove();
  }
}

/** What hides others is drawn before them, so that nothing is reckoned that is not seen. */
function nearestFirst(a, b) {
  return a.groupOrder - b.groupOrder || a.renderOrder - b.renderOrder || a.z - b.z || a.id - b.id;
}

/** The eight corners of a box. */
export function cornersOf({ min, max }) {
  return [0, 1, 2, 3, 4, 5, 6, 7].map(
    (i) => new THREE.Vector3(i & 1 ? max.x : min.x, i & 2 ? max.y : min.y, i & 4 ? max.z : min.z));
}
