// The pieces and bodies on the stage: what is shown of them, where, and how.

import { THREE } from "nicegui-scene";
import { cutMesh } from "./cut.js";
import { materialFor } from "./shading.js";
import { Shape, unpack } from "./shapes.js";
import { cornersOf } from "./stage.js";
import { tint } from "./style.js";
import { workedGeometry } from "./works.js";

const GLASSY = 0.13;
const PALE = 0.34; // a piece whose holes are shown: they are seen in it and through it
const AXES = { x: [1, 0, 0], y: [0, 1, 0], z: [0, 0, 1] };

export class Parts {
  constructor(stage) {
    this.stage = stage;
    this.byKey = new Map();
    this.shapes = new Map();
    this.planes = []; // shared by all materials: empty, or the one plane of the section
    this.hovered = "";
    const line = (opacity) =>
      new THREE.LineBasicMaterial({ transparent: true, opacity, clippingPlanes: this.planes, depthWrite: false });
    this.inks = { edge: line(0.62), faint: line(0.2), accent: line(1), cut: line(1) };
    this.inks.cut.clippingPlanes = null;
    this.worked = new THREE.MeshStandardMaterial({
      roughness: 0.7, side: THREE.DoubleSide, transparent: true, opacity: 0.85, clippingPlanes: this.planes,
    });
    this.hatch = hatchTexture();
    this.dress();
  }

  dress() {
    const host = this.stage.host;
    this.inks.edge.color.set(tint(host, "edge"));
    this.inks.faint.color.set(tint(host, "faint"));
    this.inks.accent.color.set(tint(host, "accent"));
    this.inks.cut.color.set(tint(host, "cut"));
    this.accent = new THREE.Color(tint(host, "accent"));
    this.worked.color.copy(this.accent);
    this.pencil = this.accent.clone().lerp(new THREE.Color("#fff"), 0.3); // as rubbed on with its side
  }

  /** Take in changed parts, let go of removed ones; the new ones. */
  async update({ parts, shapes }, removed) {
    for (const [id, mesh] of await unpack(shapes)) if (!this.shapes.has(id)) this.shapes.set(id, new Shape(mesh));
    const made = [];
    const old = [...removed, ...parts.map((part) => part.key)].map((key) => this.byKey.get(key)).filter(Boolean);
    for (const record of parts) {
      const part = new Part(record, this.shapes.get(record.shape), this.planes);
      this.byKey.set(record.key, part);
      this.stage.scene.add(part.mesh, part.lines);
      made.push(part);
    }
    for (const key of removed) this.byKey.delete(key);
    this.isShadeOld ||= made.length > 0 || removed.length > 0;
    for (const part of old) part.dispose(this.stage.scene);
    for (const [id, shape] of this.shapes) {
      if (shape.users > 0) continue;
      shape.dispose();
      this.shapes.delete(id);
    }
    return made;
  }

  /** Everything from the options: visibility, places, looks, section; of `changed` alone where the rest stand so already. */
  arrange(options, changed = [...this.byKey.values()]) {
    const planes = String(this.planes.map(({ normal, constant }) => [...normal, constant]));
    this.options = options;
    for (const part of changed) {
      const before = [part.shown, part.mesh.castShadow, part.moved.toArray()].join();
      part.shown = isShown(part.record, options);
      part.mesh.visible = part.shown;
      part.showWorks(options.works?.[part.record.key], this.stage.scene, this.worked, this.inks.accent);
      part.stand(options.apart);
      this.paint(part);
      this.isShadeOld ||= before !== [part.shown, part.mesh.castShadow, part.moved.toArray()].join();
    }
    const box = new THREE.Box3();
    for (const part of this.byKey.values()) if (part.shown && part.record.group !== "room") box.union(part.box);
    this.isShadeOld = this.stage.setBounds(box) || this.isShadeOld;
    this.section(options.section);
    this.isShadeOld ||= planes !== String(this.planes.map(({ normal, constant }) => [...normal, constant]));
    if (this.isShadeOld) this.stage.drawShadows();
    else this.stage.draw();
    this.isShadeOld = false;
  }

  paint(part) {
    const { record, mesh, lines } = part;
    const options = this.options;
    const named = (names) => names.includes(record.key) || names.includes(record.owner);
    const worked = part.worked.length > 0;
    const glassy = record.group === "piece" ? options.see_through || (options.works && !worked) : Boolean(options.works);
    const marked = named(options.marked);
    const over = record.key === this.hovered;
    const material = mesh.material;
    part.glassy = Boolean(glassy) && !marked && !worked;
    const most = part.glassy ? GLASSY : worked ? PALE : 1;
    const opacity = Math.min(most, record.opacity);
    material.opacity = opacity;
    if (material.transparent !== opacity < 1) material.needsUpdate = true;
    material.transparent = opacity < 1;
    material.depthWrite = opacity === 1;
    material.color.set(record.color);
    if (marked) material.color.copy(this.pencil);
    material.emissive.copy(this.accent).multiplyScalar(over ? 0.16 : 0);
    mesh.castShadow = opacity > 0.5;
    mesh.receiveShadow = opacity > 0.5 && !record.lit;
    mesh.renderOrder = opacity < 1 ? 2 : 0;
    lines.renderOrder = opacity < 1 ? 2 : 1;
    lines.visible = part.shown && options.edges && record.group !== "room";
    for (const thing of part.worked) thing.visible = part.shown;
    lines.material = over || marked ? this.inks.accent : part.glassy ? this.inks.faint : this.inks.edge;
  }

  hover(key) {
    if (key === this.hovered) return;
    const before = this.byKey.get(this.hovered);
    this.hovered = key;
    for (const part of [before, this.byKey.get(key)]) if (part) this.paint(part);
    this.stage.draw();
  }

  /** Cut all parts open along x, y or z; null closes them. */
  section(section) {
    this.planes.length = 0;
    for (const part of this.byKey.values()) part.close(this.stage.scene);
    if (section) {
      const normal = new THREE.Vector3(...AXES[section.axis]);
      const plane = new THREE.Plane(normal, -section.at);
      if (section.keep === "below") plane.negate();
      this.planes.push(plane);
      for (const part of this.byKey.values()) {
        if (part.shown && part.record.group !== "room" && !part.glassy) {
          part.cutOpen(plane, this.stage.scene, this.inks.cut, this.hatch);
        }
      }
    }
  }

  /** Whether a point is cut away. */
  isCutAway(point) {
    return this.planes.some((plane) => plane.distanceToPoint(point) < -0.05);
  }

  /** Corners of the boxes of all that is shown, for framing. */
  outerPoints() {
    const points = [];
    for (const part of this.byKey.values()) {
      if (!part.shown || part.record.group === "room") continue;
      const box = this.left(part.box);
      if (!box.isEmpty()) points.push(...cornersOf(box));
    }
    return points;
  }

  /** What the section leaves of a box. */
  left(box) {
    const { section } = this.options;
    if (!section) return box;
    const rest = box.clone();
    const { axis, at, keep } = section;
    if (keep === "below") rest.max[axis] = Math.min(rest.max[axis], at);
    else rest.min[axis] = Math.max(rest.min[axis], at);
    return rest;
  }

  /** The first part named by a key, an owner or a panel. */
  named(name) {
    if (this.byKey.has(name)) return this.byKey.get(name);
    for (const part of this.byKey.values()) if (part.record.owner === name) return part;
    return null;
  }

  dispose() {
    for (const part of this.byKey.values()) part.dispose(this.stage.scene);
    for (const shape of this.shapes.values()) shape.dispose();
    this.hatch.dispose();
    this.worked.dispose();
  }
}

function isShown(record, options) {
  const named = (names) => names.includes(record.key) || names.includes(record.owner);
  if (record.group === "room" && !options.rooms) return false;
  if (record.group === "part" && !options.bodies) return false;
  if (options.only && !named(options.only)) return false;
  return !named(options.hidden);
}

class Part {
  constructor(record, shape, planes) {
    this.record = record;
    this.shape = shape;
    shape.users++;
    const [ux, uy, uz, vx, vy, vz, nx, ny, nz, x, y, z] = record.place;
    this.place = new THREE.Matrix4().set(ux, vx, nx, x, uy, vy, ny, y, uz, vz, nz, z, 0, 0, 0, 1);
    this.away = new THREE.Vector3(...record.apart);
    this.moved = new THREE.Vector3();
    // Faces lie a little behind their edges; one that shines, before the face of the housing that it lies in.
    const behind = record.lit ? 0.5 : 1;
    const material = materialFor(record.roughness, {
      clippingPlanes: planes, clipShadows: true,
      polygonOffset: true, polygonOffsetFactor: behind, polygonOffsetUnits: behind,
    });
    if (record.grain !== "none") addGrain(material, record.grain);
    this.mesh = new THREE.Mesh(shape.surface, material);
    this.mesh.userData.part = this;
    this.lines = new THREE.LineSegments(shape.edges);
    for (const thing of [this.mesh, this.lines]) thing.matrixAutoUpdate = false;
    this.cut = [];
    this.worked = []; // walls and rims of the work that is shown
    this.bands = undefined;
  }

  /** Show what is worked into it; undefined for nothing. */
  showWorks(bands, scene, material, ink) {
    if (bands === this.bands) return;
    this.bands = bands;
    for (const thing of this.worked) {
      scene.remove(thing);
      thing.geometry.dispose();
    }
    const made = bands && workedGeometry(bands);
    made?.surface.computeVertexNormals();
    this.worked = made ? [new THREE.Mesh(made.surface, material), new THREE.LineSegments(made.lines, ink)] : [];
    for (const thing of this.worked) {
      thing.matrixAutoUpdate = false;
      thing.renderOrder = 3;
      scene.add(thing);
    }
  }

  /** Take its place, moved out by a share. */
  stand(share) {
    this.moved.copy(this.away).multiplyScalar(share);
    const matrix = new THREE.Matrix4().makeTranslation(this.moved).multiply(this.place);
    for (const thing of [this.mesh, this.lines, ...this.worked]) {
      thing.matrix.copy(matrix);
      thing.matrixWorldNeedsUpdate = true;
      thing.updateMatrixWorld(true);
    }
    this.box = this.shape.box.clone().applyMatrix4(matrix);
  }

  cutOpen(plane, scene, ink, hatch) {
    const own = plane.clone().applyMatrix4(this.mesh.matrix.clone().invert());
    const cut = cutMesh(this.shape.points, this.shape.triangles, own);
    if (!cut) return;
    const area = new THREE.BufferGeometry();
    area.setAttribute("position", new THREE.BufferAttribute(cut.area, 3));
    if (this.record.opacity < 1) { // what is not wood is hatched the other way
      for (let i = 0; i < cut.coordinates.length; i += 2) cut.coordinates[i] *= -1;
    }
    area.setAttribute("uv", new THREE.BufferAttribute(cut.coordinates, 2));
    const color = this.mesh.material.color.clone();
    const fill = new THREE.MeshBasicMaterial({
      color: this.record.hatched ? color : color.multiplyScalar(0.8), side: THREE.DoubleSide,
      map: this.record.hatched ? hatch : null,
    });
    const outline = new THREE.BufferGeometry();
    outline.setAttribute("position", new THREE.BufferAttribute(cut.outline, 3));
    this.cut = [new THREE.Mesh(area, fill), new THREE.LineSegments(outline, ink)];
    this.cut[0].userData.part = this;
    this.cut[1].renderOrder = 3;
    for (const thing of this.cut) {
      thing.matrixAutoUpdate = false;
      thing.matrix.copy(this.mesh.matrix);
      thing.updateMatrixWorld(true);
      scene.add(thing);
    }
  }

  close(scene) {
    for (const thing of this.cut) {
      scene.remove(thing);
      thing.geometry.dispose();
    }
    this.cut[0]?.material.dispose();
    this.cut = [];
  }

  dispose(scene) {
    this.close(scene);
    this.showWorks(undefined, scene);
    scene.remove(this.mesh, this.lines);
    this.mesh.material.dispose();
    this.shape.users--;
  }
}

/** Cut wood: fine lines at 45°, one to 6 mm. The texture repeats every 24 mm. */
function hatchTexture() {
  const size = 256;
  const canvas = document.createElement("canvas");
  canvas.width = canvas.height = size;
  const pen = canvas.getContext("2d");
  pen.fillStyle = "#fff";
  pen.fillRect(0, 0, size, size);
  pen.strokeStyle = "rgb(122 92 52 / .75)";
  pen.lineWidth = 7;
  for (let x = -size; x <= 2 * size; x += size / 4) {
    pen.beginPath();
    pen.moveTo(x - 8, size + 8);
    pen.lineTo(x + size + 8, -8);
    pen.stroke();
  }
  const texture = new THREE.CanvasTexture(canvas);
  texture.colorSpace = THREE.SRGBColorSpace;
  texture.wrapS = texture.wrapT = THREE.RepeatWrapping;
  texture.repeat.set(1 / 24, 1 / 24);
  texture.anisotropy = 4;
  return texture;
}

/** A breath of grain along u or v, made in the picture only: long soft streaks, a few hundredths lighter or darker. */
function addGrain(material, along) {
  material.onBeforeCompile = (shader) => {
    shader.uniforms.isAlongU = { value: along === "u" };
    shader.vertexShader = shader.vertexShader
      .replace("#include <common>", "#include <common>\nvarying vec3 vWood;\nuniform bool isAlongU;")
      .replace("#include <begin_vertex>", "#include <begin_vertex>\nvWood = isAlongU ? position.yxz : position.xyz;");
    shader.fragmentShader = shader.fragmentShader
      .replace("#include <common>", `#include <common>
        varying vec3 vWood;
        float cwHash(vec2 p) { return fract(sin(dot(p, vec2(41.3, 289.1))) * 43758.5453); }
        float cwNoise(vec2 p) {
          vec2 i = floor(p), f = fract(p);
          f = f * f * (3.0 - 2.0 * f);
          return mix(mix(cwHash(i), cwHash(i + vec2(1, 0)), f.x), mix(cwHash(i + vec2(0, 1)), cwHash(i + 1.0), f.x), f.y);
        }`)
      .replace("#include <color_fragment>", `#include <color_fragment>
        vec2 cwAt = vec2(vWood.x + vWood.z * 0.7, vWood.y);
        float cwWave = 9.0 * cwNoise(cwAt * vec2(0.012, 0.0035));
        float cwStreak = cwNoise(vec2(cwAt.x * 0.16 + cwWave, cwAt.y * 0.006));
        float cwFine = cwNoise(vec2(cwAt.x * 0.9, cwAt.y * 0.02));
        diffuseColor.rgb *= 1.0 - 0.075 * cwStreak - 0.035 * cwFine + 0.04;`);
  };
  material.customProgramCacheKey = () => "grain"; // one program for both ways
}

