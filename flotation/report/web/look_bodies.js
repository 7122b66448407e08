"use strict";
// The bodies of the boat: from base64 to triangles, and how they are painted. Every foam has a
// colour and a hatch of its own, so that a print in black and white still tells them apart.

const FOAMS = [0x1f7a8c, 0xc7762b, 0x7856a8, 0x4f7f35, 0xb5445a, 0x3b5b9d];
const EMPTY = 0x8b9097;
const PAINT = { out: 0x5f6368, tank: 0x5f6368, part: 0x9aa7b0, hull: 0x9aa7b0, chamber: 0xb9a23c };
const SHEER = { out: 0.55, tank: 0.55, part: 0.11, hull: 0.11, chamber: 0.5 };
const CREASE = 30; // degrees between two faces, from which on their edge is drawn

const VERTEX = `
#include <common>
#include <clipping_planes_pars_vertex>
uniform vec4 water;
varying float height;
varying vec3 seen;
void main() {
  #include <begin_vertex>
  #include <project_vertex>
  #include <clipping_planes_vertex>
  seen = mvPosition.xyz;
  height = dot(water.xyz, position) - water.w;
}`;

// Back faces of a closed body are only seen through a cut, just where the cut goes through it: they
// are painted flat and hatched, as a section on a drawing.
const FRAGMENT = `
#include <common>
#include <clipping_planes_pars_fragment>
uniform vec3 paint;
uniform float sheer;
uniform float fade;
uniform int hatch;
uniform float pixel;
uniform bool closed;
uniform bool wet;
varying float height;
varying vec3 seen;
float stripe(float at, float every, float wide) {
  float away = abs(fract(at / every + 0.5) - 0.5) * every;
  return 1.0 - smoothstep(0.5 * wide - 0.5, 0.5 * wide + 0.5, away);
}
float pattern(vec2 at) {
  if (hatch == 0) return stripe((at.x + at.y) * 0.7071, 8.0, 1.6);
  if (hatch == 1) return stripe((at.x - at.y) * 0.7071, 8.0, 1.6);
  if (hatch == 2) return stripe(at.y, 7.0, 1.6);
  if (hatch == 3) return stripe(at.x, 7.0, 1.6);
  if (hatch == 4) return max(stripe(at.x + at.y, 12.0, 1.8), stripe(at.x - at.y, 12.0, 1.8));
  if (hatch == 5) return stripe(at.x, 7.0, 2.6) * stripe(at.y, 7.0, 2.6);
  return 0.0;
}
void main() {
  #include <clipping_planes_fragment>
  vec3 across = normalize(cross(dFdx(seen), dFdy(seen)));
  float light = 0.60 + 0.34 * abs(across.z) + 0.10 * across.y;
  bool inside = closed && !gl_FrontFacing;
  vec3 colour = inside ? mix(paint, vec3(1.0), 0.62) : paint * light;
  float lines = pattern(gl_FragCoord.xy / pixel);
  colour = mix(colour, inside ? paint * 0.55 : mix(colour, vec3(1.0), 0.55), lines);
  float clear = sheer;
  if (wet) {
    float line = 1.0 - smoothstep(0.6, 1.8, abs(height) / max(fwidth(height), 1e-6) / pixel);
    colour = mix(colour, vec3(0.02, 0.12, 0.35), line);
    clear = max(clear, 0.85 * line);
  }
  gl_FragColor = vec4(mix(colour, vec3(0.97), fade), clear);
}`;

function numbersOf(text, Kind) {
  const letters = atob(text);
  const bytes = new Uint8Array(letters.length);
  for (let i = 0; i < letters.length; i += 1) bytes[i] = letters.charCodeAt(i);
  return new Kind(bytes.buffer);
}

/** Corners in metres and triangles of one body. */
function decoded(body, low, step) {
  const steps = numbersOf(body.corners, Uint16Array);
  const corners = new Float32Array(steps.length);
  for (let i = 0; i < steps.length; i += 1) corners[i] = low[i % 3] + step * steps[i];
  return { corners, triangles: numbersOf(body.triangles, body.wide ? Uint32Array : Uint16Array) };
}

function painted(colour, sheer, hatch, closed) {
  const solid = sheer === 1;
  return new three3d.ShaderMaterial({
    vertexShader: VERTEX,
    fragmentShader: FRAGMENT,
    side: three3d.DoubleSide,
    transparent: !solid,
    depthWrite: solid,
    clipping: true,
    uniforms: {
      paint: { value: channels(colour) },
      sheer: { value: sheer },
      fade: { value: 0 },
      hatch: { value: hatch },
      pixel: { value: 1 },
      closed: { value: closed },
      wet: { value: false },
      water: { value: new three3d.Vector4(0, 0, 1, 0) },
    },
  });
}

/** Red, green and blue as they reach the screen: nothing here is converted on the way. */
function channels(colour) {
  return new three3d.Vector3(colour >> 16, (colour >> 8) & 255, colour & 255).divideScalar(255);
}

/** One body of the page: its surface and its edges. */
function bodyOf(body, data) {
  const { corners, triangles } = decoded(body, data.low, data.step);
  const shape = new three3d.BufferGeometry();
  shape.setAttribute("position", new three3d.BufferAttribute(corners, 3));
  shape.setIndex(new three3d.BufferAttribute(triangles, 1));
  const cavity = body.kind === "cavity";
  const empty = cavity && body.foam < 0;
  const colour = empty ? EMPTY : cavity ? FOAMS[body.foam % FOAMS.length] : PAINT[body.kind];
  const sheer = empty ? 0.3 : cavity ? 1 : SHEER[body.kind];
  const hatch = cavity && !empty ? hatchOf(body.foam) : -1;
  const surface = new three3d.Mesh(shape, painted(colour, sheer, hatch, sheer === 1));
  const faint = body.kind === "part" || body.kind === "hull";
  const edges = new three3d.LineSegments(
    new three3d.EdgesGeometry(shape, CREASE),
    new three3d.LineBasicMaterial({
      color: faint ? 0x6c7a84 : 0x1c2329,
      transparent: true,
      opacity: faint ? 0.55 : 0.9,
    }),
  );
  surface.renderOrder = { hull: 4, part: 3, out: 2, tank: 2, chamber: 2 }[body.kind] || (empty ? 1 : 0);
  const both = new three3d.Group();
  both.add(surface, edges);
  both.userData = { kind: body.kind, name: body.name, empty, surface, edges };
  return both;
}

/** A seventh foam shares a colour with the first and has the next hatch. */
function hatchOf(foam) {
  return (foam + Math.floor(foam / FOAMS.length)) % FOAMS.length;
}

function plainPaint(colour) {
  return painted(colour, 1, -1, false);
}

/** A hole to its own diameter: a filled disc where foam goes in, a ring for air alone. */
function holeOf(hole, size) {
  const group = new three3d.Group();
  const radius = Math.max(hole.radius, 0.0016 * size);
  const rim = new three3d.Mesh(
    new three3d.CylinderGeometry(radius, radius, 0.004 * size, 20).rotateX(Math.PI / 2),
    plainPaint(0x14181c),
  );
  group.add(rim);
  if (hole.kind === "vent") {
    const eye = new three3d.CylinderGeometry(0.6 * radius, 0.6 * radius, 0.0048 * size, 20);
    group.add(new three3d.Mesh(eye.rotateX(Math.PI / 2), plainPaint(0xffffff)));
  }
  group.position.fromArray(hole.at);
  return group;
}

/** Shown through whatever lies before it: a centre lies inside foam. */
function onTop(mark) {
  mark.material.depthTest = false;
  mark.material.transparent = true;
  mark.renderOrder = 20;
}

/** A mark of so many pixels, whose form tells what it is: weights are boxes, loads balls. */
const MARKS = {
  weight: { form: () => new three3d.BoxGeometry(1, 1, 1), pixels: 9, colour: 0x2a2f35 },
  load: { form: () => new three3d.SphereGeometry(0.5, 20, 12), pixels: 15, colour: 0xd8412f },
  lift: { form: () => new three3d.OctahedronGeometry(0.5), pixels: 17, colour: 0x0f6fd1 },
  centre: { form: () => new three3d.OctahedronGeometry(0.5), pixels: 17, colour: 0x111111 },
};

function markOf(kind, at) {
  const { form, pixels, colour } = MARKS[kind];
  const mark = new three3d.Mesh(form(), plainPaint(colour));
  mark.userData = { pixels };
  if (kind !== "weight") onTop(mark);
  mark.position.fromArray(at);
  return mark;
}

/** The water surface around a boat of some length and beam, level and ruled every half metre. */
function waterOf({ x: length, y: beam }) {
  const surface = new three3d.Mesh(
    new three3d.PlaneGeometry(Math.ceil(1.15 * length + 0.5), Math.ceil(1.7 * beam + 0.5)),
    new three3d.ShaderMaterial({
      side: three3d.DoubleSide,
      transparent: true,
      depthWrite: false,
      vertexShader: `varying vec2 at;
void main() { at = position.xy; gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0); }`,
      fragmentShader: `varying vec2 at;
void main() {
  vec2 away = abs(fract(at / 0.5 + 0.5) - 0.5) * 0.5 / max(fwidth(at), vec2(1e-6));
  float line = 1.0 - smoothstep(0.3, 1.2, min(away.x, away.y));
  gl_FragColor = vec4(mix(vec3(0.16, 0.45, 0.78), vec3(0.05, 0.2, 0.45), line), mix(0.17, 0.42, line));
}`,
    }),
  );
  surface.renderOrder = 10;
  return surface;
}
