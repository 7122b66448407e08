"use strict";
// The picture: camera, cuts, attitudes, labels, and what a pointer hits. Drawn only on change.

const WAYS = [
  ["Three-quarter", [-0.62, -1, 0.62]],
  ["Starboard", [0, -1, 0]],
  ["Port", [0, 1, 0]],
  ["Aft", [-1, 0, 0]],
  ["Ahead", [1, 0, 0]],
  ["Above", [0, -1e-3, 1]],
  ["Below", [0, -1e-3, -1]],
];
const AXES = ["x", "y", "z"];
const TURN = Math.PI / 24;

class View {
  constructor(data, canvas, labels) {
    this.data = data;
    this.canvas = canvas;
    this.renderer = new three3d.WebGLRenderer({ canvas, antialias: true });
    this.renderer.outputColorSpace = "srgb-linear";
    this.renderer.localClippingEnabled = true;
    this.renderer.setClearColor(0xfdfdfd, 1);
    this.scene = new three3d.Scene();
    this.level = new three3d.Group(); // turns with the water when the boat is held still
    this.boat = new three3d.Group();
    this.marks = { weights: new three3d.Group(), holes: new three3d.Group() };
    this.marks.centres = new three3d.Group();
    this.marks.loads = new three3d.Group();
    this.labels = new Labels(labels, this);
    this.planes = AXES.map(() => new three3d.Plane());
    this.cuts = AXES.map(() => ({ at: null, other: false }));
    this.hidden = new Set();
    this.chosen = null;
    this.trial = null;
    this.still = false;
    this._fill();
    this._light();
    new ResizeObserver(() => this._resize()).observe(canvas.parentElement);
  }

  _fill() {
    this.bodies = this.data.bodies.map((body) => bodyOf(body, this.data));
    this.boat.add(...this.bodies, ...Object.values(this.marks));
    this.bounds = new three3d.Box3().setFromObject(this.boat);
    this.middle = this.bounds.getCenter(new three3d.Vector3());
    this.size = this.bounds.getSize(new three3d.Vector3()).length();
    if (this.data.outline.length) this._outline();
    this.water = waterOf(this.bounds.getSize(new three3d.Vector3()));
    this.level.add(this.boat, this.water);
    this.scene.add(this.level);
    this._mark();
  }

  _outline() {
    const ring = new three3d.BufferGeometry();
    const points = new Float32Array(this.data.outline.flat());
    ring.setAttribute("position", new three3d.BufferAttribute(points, 3));
    this.boat.add(new three3d.LineLoop(ring, new three3d.LineBasicMaterial({ color: 0x6c7a84 })));
    this.bounds.expandByObject(this.boat);
    this.bounds.getCenter(this.middle);
    this.size = this.bounds.getSize(new three3d.Vector3()).length();
  }

  _mark() {
    for (const weight of this.data.weights) {
      this.marks.weights.add(markOf("weight", weight.at));
      this.labels.add("weight", weight.number, weight.at, "weights");
    }
    for (const cavity of this.data.cavities) {
      this.labels.add("cavity", cavity.number, cavity.at, cavity.foam ? "cavities" : "empty", cavity.name);
      for (const hole of cavity.holes) {
        this.marks.holes.add(holeOf(hole, this.size));
        this.labels.add("hole", hole.name, hole.at, "holes", cavity.name);
      }
    }
  }

  _light() {
    this.camera = new three3d.OrthographicCamera(-1, 1, 1, -1, -10 * this.size, 10 * this.size);
    this.camera.up.set(0, 0, 1);
    this.controls = new three3d.OrbitControls(this.camera, this.canvas);
    this.controls.minZoom = 0.4;
    this.controls.maxZoom = 30;
    this.controls.addEventListener("change", () => this.draw());
  }

  _resize() {
    const { clientWidth: width, clientHeight: height } = this.canvas;
    if (!width || !height) return;
    const ratio = Math.min(window.devicePixelRatio || 1, 2);
    this.renderer.setPixelRatio(ratio);
    this.renderer.setSize(width, height, false);
    this._frame();
    if (!this.framed) this.look(WAYS[0][1]);
    this.framed = true;
    for (const body of this.bodies) body.userData.surface.material.uniforms.pixel.value = ratio;
    this.draw();
  }

  /** The camera sees a window into which the boat fits in any position. */
  _frame() {
    const { clientWidth: width, clientHeight: height } = this.canvas;
    const aspect = width / height;
    const half = 0.5 * this.size * Math.max(1, 1 / aspect);
    Object.assign(this.camera, { left: -half * aspect, right: half * aspect, top: half, bottom: -half });
    this.camera.updateProjectionMatrix();
  }

  /** Look from one of the ways; the whole boat comes into the picture. */
  look(direction) {
    const away = new three3d.Vector3(...direction).normalize().multiplyScalar(2 * this.size);
    const aim = this.middle.clone().applyMatrix4(this.boat.matrix).applyMatrix4(this.level.matrix);
    this.controls.target.copy(aim);
    this.camera.position.copy(aim).add(away);
    this.camera.zoom = 1;
    this.camera.updateProjectionMatrix();
    this.controls.update();
    this._fit();
    this.draw();
  }

  /** Zoom until the boat's box fills most of the picture. */
  _fit() {
    const { min, max } = this.bounds;
    const box = new three3d.Box3();
    this.level.updateMatrixWorld(true);
    this.camera.updateMatrixWorld(true);
    for (let corner = 0; corner < 8; corner += 1) {
      const [x, y, z] = AXES.map((axis, bit) => ((corner >> bit) & 1 ? max : min)[axis]);
      const at = new three3d.Vector3(x, y, z).applyMatrix4(this.boat.matrixWorld);
      box.expandByPoint(at.project(this.camera));
    }
    const reach = Math.max(-box.min.x, box.max.x, -box.min.y, box.max.y);
    this.camera.zoom = 0.9 / reach;
    this.camera.updateProjectionMatrix();
  }

  /** Turn by steps about the upright and towards it. */
  turn(round, over) {
    const away = this.camera.position.clone().sub(this.controls.target);
    const far = away.length();
    const along = Math.atan2(away.y, away.x) + round * TURN;
    const limit = Math.PI / 2 - 1e-3;
    const up = Math.max(-limit, Math.min(limit, Math.asin(away.z / far) + over * TURN));
    away.set(Math.cos(along) * Math.cos(up), Math.sin(along) * Math.cos(up), Math.sin(up));
    this.camera.position.copy(this.controls.target).addScaledVector(away, far);
    this.controls.update();
    this.draw();
  }

  zoom(factor) {
    this.camera.zoom = Math.max(0.4, Math.min(30, this.camera.zoom * factor));
    this.camera.updateProjectionMatrix();
    this.draw();
  }

  /** The boat as a test left it, or as it was drawn; and what that test put aboard. */
  lie(trial, still) {
    this.trial = trial;
    this.still = still;
    const lies = trial && trial.lies;
    const frame = new three3d.Matrix4();
    if (lies) {
      const [f, p, u] = [lies.forward, lies.port, lies.up];
      frame.set(...f, 0, ...p, 0, ...u, -lies.water, 0, 0, 0, 1);
    }
    place(this.boat, frame);
    place(this.level, still ? frame.clone().invert() : new three3d.Matrix4());
    for (const body of this.bodies) {
      const { wet, water } = body.userData.surface.material.uniforms;
      wet.value = Boolean(lies);
      if (lies) water.value.set(...lies.up, lies.water);
    }
    if (lies) this.water.position.copy(this.middle).applyMatrix4(frame).setZ(0);
    this._aboard(trial);
    this._aim();
    this.draw();
  }

  _aim() {
    const before = this.controls.target.clone();
    const aim = this.middle.clone().applyMatrix4(this.boat.matrix).applyMatrix4(this.level.matrix);
    this.controls.target.copy(aim);
    this.camera.position.add(aim.sub(before));
    this.controls.update();
  }

  _aboard(trial) {
    this.marks.loads.clear();
    this.marks.centres.clear();
    this.labels.drop("load");
    this.labels.drop("centre");
    for (const load of trial ? trial.loads : []) {
      this.marks.loads.add(markOf("load", load.at));
      this.labels.add("load", load.name, load.at, "loads");
    }
    for (const centre of trial && trial.lies ? trial.centres : this.data.centres) {
      const lifts = centre.letter === "B" || centre.letter === "L";
      this.marks.centres.add(markOf(lifts ? "lift" : "centre", centre.at));
      this.labels.add("centre", centre.letter, centre.at, "centres");
    }
  }

  /** Hide or show one of the layers. */
  show(layer, on) {
    if (on) this.hidden.delete(layer);
    else this.hidden.add(layer);
    this.draw();
  }

  choose(name) {
    this.chosen = name;
    for (const body of this.bodies) {
      const { kind, surface } = body.userData;
      if (kind !== "cavity" || body.userData.empty) continue;
      const other = name !== null && body.userData.name !== name;
      const { sheer, fade } = surface.material.uniforms;
      [sheer.value, fade.value] = other ? [0.3, 0.25] : [1, 0];
      Object.assign(surface.material, { transparent: other, depthWrite: !other });
    }
    this.draw();
  }

  /** Cut across an axis of the boat: `at` null is no cut; what lies beyond is taken away. */
  cut(axis, at, other) {
    this.cuts[axis] = { at, other };
    this.draw();
  }

  _cutting() {
    const where = this.boat.matrixWorld;
    const used = [];
    this.cuts.forEach(({ at, other }, axis) => {
      if (at === null) return;
      const sign = other ? 1 : -1;
      const normal = new three3d.Vector3().setComponent(axis, sign);
      used.push(this.planes[axis].set(normal, -sign * at).applyMatrix4(where));
    });
    return used;
  }

  draw() {
    if (!this.camera || !this.canvas.clientWidth) return;
    this.level.updateMatrixWorld(true);
    const planes = this._cutting();
    for (const body of this.bodies) {
      const { kind, empty, surface, edges } = body.userData;
      body.visible = !this.hidden.has(layerOf(kind, empty));
      surface.material.clippingPlanes = planes;
      edges.material.clippingPlanes = planes;
    }
    this._sizeMarks(planes);
    this.water.visible = Boolean(this.trial && this.trial.lies) && !this.hidden.has("water");
    this.renderer.render(this.scene, this.camera);
    this.labels.draw(planes);
  }

  /** Marks keep their size on the screen; weights and holes go with what a cut takes away. */
  _sizeMarks(planes) {
    const pixel = (this.camera.top - this.camera.bottom) / this.camera.zoom / this.canvas.clientHeight;
    const at = new three3d.Vector3();
    for (const [name, marks] of Object.entries(this.marks)) {
      marks.visible = !this.hidden.has(name);
      for (const mark of marks.children) {
        if (mark.userData.pixels) mark.scale.setScalar(mark.userData.pixels * pixel);
        if (name === "weights" || name === "holes") {
          at.copy(mark.position).applyMatrix4(this.boat.matrixWorld);
          mark.visible = planes.every((plane) => plane.distanceToPoint(at) >= -1e-6);
        }
      }
    }
  }

  /** Where the number of a cavity stands: its centre, moved onto a cut; null if all is cut away. */
  numberAt(name, at, planes) {
    const body = this.bodies.find((one) => one.userData.kind === "cavity" && one.userData.name === name);
    const { geometry } = body.userData.surface;
    if (!geometry.boundingBox) geometry.computeBoundingBox();
    const { min, max } = geometry.boundingBox;
    const gone = this.cuts.some(({ at: cut, other }, axis) => {
      if (cut === null) return false;
      return other ? max.getComponent(axis) <= cut : min.getComponent(axis) >= cut;
    });
    if (gone) return null;
    for (const plane of planes) {
      const beyond = plane.distanceToPoint(at);
      if (beyond < 0) at.addScaledVector(plane.normal, -beyond);
    }
    return at;
  }

  /** Name of the cavity under a pointer; null where there is none. */
  cavityAt(x, y) {
    const box = this.canvas.getBoundingClientRect();
    const at = new three3d.Vector2(
      (2 * (x - box.left)) / box.width - 1,
      1 - (2 * (y - box.top)) / box.height,
    );
    const ray = new three3d.Raycaster();
    ray.setFromCamera(at, this.camera);
    const planes = this._cutting();
    const seen = this.bodies.filter((body) => body.userData.kind === "cavity" && body.visible);
    const hits = ray.intersectObjects(seen.map((body) => body.userData.surface), false);
    const kept = hits.filter((hit) => planes.every((plane) => plane.distanceToPoint(hit.point) >= 0));
    const first = kept.find((hit) => !hit.object.parent.userData.empty) || kept[0];
    return first ? first.object.parent.userData.name : null;
  }
}

function place(group, matrix) {
  group.matrixAutoUpdate = false;
  group.matrix.copy(matrix);
  group.matrixWorldNeedsUpdate = true;
}

function layerOf(kind, empty) {
  if (kind === "cavity") return empty ? "empty" : "cavities";
  return { part: "parts", hull: "hull", out: "out", tank: "out", chamber: "chambers" }[kind];
}

/** Words over the picture; where two would cover each other the less important one is left out. */
class Labels {
  constructor(parent, view) {
    this.parent = parent;
    this.view = view;
    this.all = [];
  }

  add(kind, text, at, layer, cavity = null) {
    const sign = document.createElement("span");
    sign.className = `label ${kind}`;
    sign.textContent = text;
    this.parent.append(sign);
    this.all.push({ kind, sign, at: new three3d.Vector3(...at), layer, cavity });
  }

  drop(kind) {
    for (const one of this.all.filter((label) => label.kind === kind)) one.sign.remove();
    this.all = this.all.filter((label) => label.kind !== kind);
  }

  draw(planes) {
    const order = { centre: 0, cavity: 1, load: 2, hole: 3, weight: 4 };
    const { canvas, chosen, hidden } = this.view;
    const taken = [];
    for (const one of [...this.all].sort((a, b) => order[a.kind] - order[b.kind])) {
      const own = one.kind !== "hole" || one.cavity === chosen;
      const point = this._point(one, planes);
      one.sign.hidden = !own || !point || hidden.has(one.layer);
      if (one.sign.hidden) continue;
      point.project(this.view.camera);
      const x = (0.5 + 0.5 * point.x) * canvas.clientWidth;
      const y = (0.5 - 0.5 * point.y) * canvas.clientHeight;
      one.sign.classList.toggle("chosen", one.kind === "cavity" && one.cavity === chosen);
      const box = this._free(one, x, y, taken);
      one.sign.hidden = box === null;
      if (one.sign.hidden) continue;
      taken.push(box);
      const middle = [0.5 * (box[0] + box[2]), 0.5 * (box[1] + box[3])].map((v) => v.toFixed(1));
      one.sign.style.transform = `translate(${middle[0]}px, ${middle[1]}px) translate(-50%, -50%)`;
    }
  }

  /** Where a label points to; null where a cut took it away. */
  _point(one, planes) {
    const at = one.at.clone().applyMatrix4(this.view.boat.matrixWorld);
    if (one.kind === "cavity") return this.view.numberAt(one.cavity, at, planes);
    const goes = one.kind === "weight" || one.kind === "hole";
    return goes && planes.some((plane) => plane.distanceToPoint(at) < -1e-6) ? null : at;
  }

  /** The first place beside a point, left, top, right, bottom, that no other label has; or null. */
  _free(one, x, y, taken) {
    const [half, tall] = [0.5 * one.sign.offsetWidth + 1, 0.5 * one.sign.offsetHeight + 1];
    const [off, down] = [half + 7, tall + 6];
    const beside = [[0, -down], [0, down], [off, 0], [-off, 0]];
    const places = one.kind === "cavity" ? [[0, 0], ...beside] : beside;
    for (const [dx, dy] of places) {
      const box = [x + dx - half, y + dy - tall, x + dx + half, y + dy + tall];
      const covers = (other) =>
        box[0] < other[2] && other[0] < box[2] && box[1] < other[3] && other[1] < box[3];
      if (!taken.some(covers)) return box;
    }
    return null;
  }
}
