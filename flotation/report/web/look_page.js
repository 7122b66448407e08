"use strict";
// Controls, keys and what they tell. Whatever comes from the boat file is set as text.

const LAYERS = [
  ["cavities", "Cavities with foam", "box foam h0"],
  ["empty", "Cavities without foam, flooded", "box empty"],
  ["out", "Tanks and what a cavity leaves out", "box out"],
  ["chambers", "Air chambers", "box chamber"],
  ["parts", "Laminate", "box thin"],
  ["hull", "Watertight hull", "box thin"],
  ["holes", "Holes: filled disc for foam, ring for air", "dot"],
  ["weights", "Weights", "square"],
  ["loads", "Load of the test", "ball"],
  ["centres", "Centres", "diamond"],
  ["water", "Water", "box water"],
];
const CUTS = [
  ["Length", "aft of", "forward of"],
  ["Breadth", "starboard of", "port of"],
  ["Height", "below", "above"],
];
const FOOT = 0.3048;

class Page {
  constructor(data) {
    this.data = data;
    this.view = null;
    this.chosen = null;
    this.more = false;
  }

  write() {
    const { data } = this;
    document.title = `${data.boat}: look inside`;
    byId("boat-name").textContent = data.boat;
    byId("remember").hidden = !data.remember;
    byId("remember").textContent = data.remember;
    byId("made").textContent = this._made();
    const head = document.querySelector("header").offsetHeight;
    document.documentElement.style.setProperty("--head", `${head}px`);
    this._tables();
    this._trials();
    this._cavities();
    this._layers();
  }

  _made() {
    const { data } = this;
    const gone = data.vanished.length ? ` Too small to draw so: ${data.vanished.join(", ")}.` : "";
    const hull = data.outline.length
      ? " The boat file draws no hull: the line on the baseline shows length and beam alone."
      : "";
    return (
      `Drawn to within ${data.within}; the numbers are those of the calculation, not of the ` +
      `picture.${gone}${hull} x forward from the transom, y to port, z up from the baseline, in m. ` +
      `flotation ${data.version}.`
    );
  }

  _tables() {
    const { data } = this;
    const choose = (cavity) => {
      const button = made("button", cavity.name);
      button.type = "button";
      button.addEventListener("click", () => {
        this.choose(cavity.name);
        byId("picture").scrollIntoView({ block: "nearest" });
      });
      return button;
    };
    byId("tables").append(
      table(
        "Cavities",
        ["No.", "Cavity", "Foam", "Volume", "Foam fills", "Foam mass", "Net lift under water", "Centre x, y, z"],
        data.cavities.map((c) => [
          c.number,
          choose(c),
          withSwatch(data.foams.indexOf(c.foam), c.foam || "none, flooded"),
          c.volume,
          c.filled,
          c.mass,
          c.lift,
          c.centre,
        ]),
      ),
      table(
        "Tests in the water",
        ["Test", "Outcome", "Heel", "Trim", "Depth forward", "Depth aft", "Limits", "Assumed"],
        data.trials.map((t) => [
          t.name,
          t.outcome,
          t.heel,
          t.trim,
          t.forward,
          t.aft,
          limitsOf(t),
          t.assumed,
        ]),
      ),
      table(
        "Centres by the general method",
        ["Mark", "What acts there", "Amount", "x, y, z"],
        data.centres.map((c) => [c.letter, c.name, c.amount, c.where]),
      ),
      table(
        "Weights",
        ["No.", "Item", "Role", "Material", "Mass", "Centre x, y, z"],
        data.weights.map((w) => [w.number, w.name, w.role, w.material, w.mass, w.where]),
      ),
      table(
        "Holes",
        ["Hole", "Kind", "Cavity", "Diameter", "x, y, z"],
        data.cavities.flatMap((c) =>
          c.holes.map((hole) => [hole.name, hole.kind, c.name, hole.diameter, hole.where]),
        ),
      ),
      table(
        "Files that were read",
        ["File", "SHA-256"],
        data.files.map((file) => [file.name, file.hash]),
      ),
    );
  }

  _trials() {
    const slider = byId("trial");
    slider.max = String(this.data.trials.length);
    slider.disabled = !this.data.trials.length;
    const lie = () => this.lie();
    slider.addEventListener("input", lie);
    byId("still").addEventListener("change", lie);
  }

  /** Show the test that the slider stands at. */
  lie() {
    const at = Number(byId("trial").value);
    const trial = at ? this.data.trials[at - 1] : null;
    const name = trial ? trial.name : "as drawn, no water";
    byId("trial").setAttribute("aria-valuetext", name);
    byId("trial-place").textContent = `${at} of ${this.data.trials.length}`;
    const lying = trial && trial.lies ? `, heel ${trial.heel}, trim ${trial.trim}` : "";
    const told = trial ? `${trial.name}: ${trial.outcome}${lying}` : "As drawn, no water";
    byId("state").textContent = told;
    const facts = byId("trial-facts");
    facts.replaceChildren();
    if (trial) facts.append(...this._told(trial));
    else facts.append(made("p", this._asDrawn()));
    if (this.view) this.view.lie(trial, byId("still").checked);
  }

  _asDrawn() {
    return this.data.trials.length
      ? "As drawn, no water. Move the slider to see how the boat lies in each test."
      : "No test in the water was simulated: the boat file lacks what they need.";
  }

  _told(trial) {
    const aboard = trial.loads.map((load) => [load.name, `${load.mass} at ${load.where}`]);
    const centres = trial.lies
      ? trial.centres.map((c) => [`${c.letter}, ${c.name.toLowerCase()}`, c.where])
      : [];
    const more = made("details");
    more.open = this.more;
    more.addEventListener("toggle", () => {
      this.more = more.open;
    });
    more.append(made("summary", "Attitude, load, assumptions"));
    more.append(pairs([...trial.facts, ...aboard, ...centres]));
    more.append(...trial.notes.map((note) => made("p", note)));
    const found = [limitsOf(trial), more];
    if (!trial.lies) found.unshift(made("p", "It sinks and comes to rest nowhere: drawn as built."));
    return found;
  }

  _cavities() {
    const list = byId("chosen");
    const none = made("option", "none");
    none.value = "";
    list.append(none);
    for (const cavity of this.data.cavities) {
      const option = made("option", `${cavity.number} ${cavity.name}`);
      option.value = cavity.number;
      list.append(option);
    }
    list.addEventListener("change", () => {
      const found = this.data.cavities.find((cavity) => cavity.number === list.value);
      this.choose(found ? found.name : null);
    });
  }

  /** Tell the numbers of a cavity and set it off in the picture; null for none. */
  choose(name) {
    this.chosen = name;
    const cavity = this.data.cavities.find((one) => one.name === name);
    byId("chosen").value = cavity ? cavity.number : "";
    const facts = byId("chosen-facts");
    facts.replaceChildren();
    if (cavity) facts.append(...this._cavityFacts(cavity));
    else facts.append(made("p", "Click a cavity, or choose it here."));
    if (this.view) this.view.choose(name);
  }

  _cavityFacts(cavity) {
    const title = made("p", "", "title");
    title.append(withSwatch(this.data.foams.indexOf(cavity.foam), `${cavity.number} ${cavity.name}`));
    const foamed = [
      ["Foam", cavity.foam],
      ["Foam fills", cavity.filled],
      ["Foam mass", cavity.mass],
      ["Density in place", cavity.density],
      ["Net lift, wholly under water", cavity.lift],
      ["A and B to pour", `${cavity.a}; ${cavity.b}`],
    ];
    const rows = [
      ["Volume", cavity.volume],
      ...(cavity.foam ? foamed : [["Foam", "none: it floods when the boat is swamped"]]),
      ["Volume before anything was taken out", cavity.gross],
      ["Centre x, y, z", cavity.centre],
      ["Held down with", cavity.hold_down],
      ["Holes", cavity.holes.map((hole) => `${hole.name} (${hole.kind})`).join(", ") || "none"],
    ];
    return [title, pairs(rows)];
  }

  /** The cavity after the chosen one, or before it, round and round. */
  step(way) {
    const names = this.data.cavities.map((cavity) => cavity.name);
    if (!names.length) return;
    const at = names.indexOf(this.chosen);
    const next = at < 0 ? (way > 0 ? 0 : names.length - 1) : (at + way + names.length) % names.length;
    this.choose(names[next]);
  }

  _layers() {
    const there = new Set(this.data.bodies.map((body) => layerOf(body.kind, body.foam < 0)));
    for (const name of ["holes", "weights", "loads", "centres", "water"]) there.add(name);
    for (const [name, words, sign] of LAYERS.filter(([layer]) => there.has(layer))) {
      const label = made("label", "", "choice");
      const box = made("input");
      box.type = "checkbox";
      box.checked = name !== "hull" || !there.has("parts");
      box.id = `show-${name}`;
      box.addEventListener("change", () => this.view && this.view.show(name, box.checked));
      label.append(box, made("i", "", `sign ${sign}`), made("span", words));
      byId("layers").append(label);
    }
    const foams = made("div", "", "foams");
    this.data.foams.forEach((foam, place) => foams.append(withSwatch(place, foam)));
    byId("layers").append(foams);
  }

  /** Join the picture to the controls; without WebGL the tables stand alone. */
  draw() {
    try {
      this.view = new View(this.data, byId("canvas"), byId("labels"));
    } catch (error) {
      byId("fault").hidden = false;
      byId("fault").textContent = `No picture: this browser gives no WebGL (${error.message}). The tables below hold the same numbers.`;
      byId("picture").classList.add("blind");
      return;
    }
    for (const [name] of LAYERS) {
      const box = byId(`show-${name}`);
      if (box && !box.checked) this.view.show(name, false);
    }
    this._ways();
    this._cuts();
    this._pointer();
    this._keys();
  }

  _ways() {
    byId("ways").append(made("span", "Look from"));
    for (const [name, direction] of WAYS) {
      const button = made("button", name);
      button.type = "button";
      button.addEventListener("click", () => this.view.look(direction));
      byId("ways").append(button);
    }
  }

  _cuts() {
    const { min, max } = this.view.bounds;
    CUTS.forEach(([name, kept, other], axis) => {
      const [low, high] = [min.getComponent(axis), max.getComponent(axis)];
      const row = made("div", "", "row");
      const label = made("label", `${name} ${AXES[axis]}`);
      const shown = made("output", "no cut");
      const slider = made("input");
      Object.assign(slider, { type: "range", id: `cut-${AXES[axis]}`, min: 0, max: 200, value: 200 });
      label.htmlFor = slider.id;
      const flip = made("input");
      Object.assign(flip, { type: "checkbox", id: `flip-${AXES[axis]}` });
      const turned = made("label", "", "choice");
      turned.append(flip, made("span", `keep what is ${other} the cut`));
      const cut = () => {
        const whole = Number(slider.value) === 200 && !flip.checked;
        const at = low + ((high - low) * Number(slider.value)) / 200;
        const words = whole
          ? "no cut"
          : `${flip.checked ? other : kept} ${at.toFixed(3)} m (${(at / FOOT).toFixed(2)} ft)`;
        shown.textContent = words;
        slider.setAttribute("aria-valuetext", words);
        this.view.cut(axis, whole ? null : at, flip.checked);
      };
      slider.addEventListener("input", cut);
      flip.addEventListener("change", () => {
        if (flip.checked && Number(slider.value) === 200) slider.value = 0;
        else if (!flip.checked && Number(slider.value) === 0) slider.value = 200;
        cut();
      });
      row.append(label, shown);
      byId("cuts").append(row, slider, turned);
      cut();
    });
  }

  _pointer() {
    const canvas = byId("canvas");
    let from = null;
    canvas.addEventListener("pointerdown", (event) => {
      from = [event.clientX, event.clientY];
    });
    canvas.addEventListener("click", (event) => {
      const moved = from ? Math.hypot(event.clientX - from[0], event.clientY - from[1]) : 0;
      if (moved < 5) this.choose(this.view.cavityAt(event.clientX, event.clientY));
    });
  }

  _keys() {
    const does = {
      ArrowLeft: () => this.view.turn(-1, 0),
      ArrowRight: () => this.view.turn(1, 0),
      ArrowUp: () => this.view.turn(0, 1),
      ArrowDown: () => this.view.turn(0, -1),
      "+": () => this.view.zoom(1.2),
      "=": () => this.view.zoom(1.2),
      "-": () => this.view.zoom(1 / 1.2),
      ",": () => this.step(-1),
      ".": () => this.step(1),
      0: () => this.view.look(WAYS[0][1]),
      Escape: () => this.choose(null),
    };
    byId("canvas").addEventListener("keydown", (event) => {
      if (event.ctrlKey || event.metaKey || event.altKey || !does[event.key]) return;
      event.preventDefault();
      does[event.key]();
    });
  }
}

const page = new Page(JSON.parse(byId("data").textContent));
page.write();
page.draw();
page.choose(null);
page.lie();
