// The drawing board: what is drawn, from where, how large; and how it is moved by pointer, wheel and keys.

const board = {
  mode: "plan", dimension: 0, network: -1, part: -1, finding: -1, change: -1, then: null,
  scale: 8, left: 0, top: 0, width: 0, height: 0, density: 1,
  low: -Infinity, high: Infinity, layout: null, inks: null, pending: false,
  canvas: byId("paper-canvas"),

  get view() { return VIEWS[this.mode] || VIEWS.plan; },

  // Lay out what is chosen anew, and keep to a place if one is given.
  layOut() {
    const { dimension, network } = this;
    const chosen = network >= 0 ? members(network) : this.ofDimension(dimension);
    this.layout = new Layout(this.view, chosen, this.low, this.high);
    this.fillDepths(chosen);
    byId("depth-name").textContent = this.view.depth;
    this.canvas.setAttribute("aria-label", this.label());
  },

  ofDimension(dimension) {
    const cache = this.byDimension ||= new Map();
    if (!cache.has(dimension)) {
      const found = [];
      for (let part = 0; part < parts.count; part++) if (parts.dimension[part] === dimension) found.push(part);
      cache.set(dimension, Int32Array.from(found));
    }
    return cache.get(dimension);
  },

  label() {
    const what = this.network >= 0 ? `network ${networkId(this.network)}` : `dimension ${data.dimensions[this.dimension]?.name ?? "none"}`;
    return `${this.view.name} ${this.view.seen} of ${what}: ${count(this.layout.count, "part")}`;
  },

  fillDepths(chosen) {
    const depths = parts.xyz[this.view.towards[0]];
    let least = Infinity, most = -Infinity;
    for (const part of chosen) { least = Math.min(least, depths[part]); most = Math.max(most, depths[part]); }
    for (const [id, bound, all] of [["depth-low", this.low, least], ["depth-high", this.high, most]]) {
      byId(id).placeholder = Number.isFinite(all) ? all : "";
      byId(id).value = Number.isFinite(bound) ? bound : "";
    }
  },

  // Fit all; or what remains without the outermost, where a far-off hut makes all the rest a dot.
  fit(all = true) {
    const room = [Math.max(50, this.width - RULER.left), Math.max(50, this.height - RULER.top)];
    const scaleOf = ([left, top, right, bottom]) => Math.min(48, Math.max(1e-5, Math.min(room[0] / (right - left + 3), room[1] / (bottom - top + 3))));
    let box = this.layout.box || [0, 0, 15, 15];
    const middle = all ? null : this.layout.middle();
    if (middle && scaleOf(middle) > 2 * scaleOf(box)) box = middle;
    this.scale = scaleOf(box);
    this.left = (box[0] + box[2] + 1) / 2 - (RULER.left + room[0] / 2) / this.scale;
    this.top = (box[1] + box[3] + 1) / 2 - (RULER.top + room[1] / 2) / this.scale;
    this.redraw();
  },

  centre(place, scale) {
    const [u, v] = paperOf(this.view, place);
    this.scale = scale || this.scale;
    this.left = u + 0.5 - (RULER.left + this.width) / 2 / this.scale;
    this.top = v + 0.5 - this.eyeLine() / this.scale;
    this.redraw();
  },

  // What is looked at stands above the middle, since what is said about it stands below.
  eyeLine() { return RULER.top + (this.height - RULER.top) * 0.36; },

  zoom(factor, x = (RULER.left + this.width) / 2, y = (RULER.top + this.height) / 2) {
    const scale = Math.min(96, Math.max(1e-5, this.scale * factor));
    this.left += x / this.scale - x / scale;
    this.top += y / this.scale - y / scale;
    this.scale = scale;
    this.redraw();
  },

  pan(dx, dy) {
    this.left -= dx / this.scale;
    this.top -= dy / this.scale;
    this.redraw();
  },

  redraw() {
    if (this.pending || !this.layout || this.canvas.hidden) return;
    this.pending = true;
    requestAnimationFrame(() => { this.pending = false; this.paint(); });
  },

  paint() {
    if (!this.width) return;
    this.inks ||= readInks();
    this.states ||= Uint8Array.from({ length: parts.count }, (_, part) => lookState(part));
    const style = this.fonts ||= ["--number", "--label"].map((name) => getComputedStyle(document.documentElement).getPropertyValue(name));
    paintScene({
      paper: this.paper ||= this.canvas.getContext("2d"), inks: this.inks, layout: this.layout, view: this.view, states: this.states,
      scale: this.scale, left: this.left, top: this.top, width: this.width, height: this.height, density: this.density,
      dimension: this.dimension, network: this.network, part: this.part, finding: this.finding,
      numberFont: style[0], labelFont: style[1],
    });
    if (byId("listed").open) listParts();
  },

  resize() {
    const { clientWidth, clientHeight } = this.canvas;
    if (!clientWidth) return;
    const [was, tall] = [this.width, this.height];
    [this.width, this.height, this.density] = [clientWidth, clientHeight, Math.min(2, window.devicePixelRatio || 1)];
    this.canvas.width = Math.round(clientWidth * this.density);
    this.canvas.height = Math.round(clientHeight * this.density);
    if (!was) this.fit(false);
    // What stood in the middle stays there.
    else this.pan((clientWidth - was) / 2, (clientHeight - tall) / 2);
    this.pending = false;
    this.paint();
  },

  // Change what is drawn; true where it was something else before.
  choose({ mode = this.mode, dimension = this.dimension, network = this.network, depths = false }) {
    const changed = mode !== this.mode || dimension !== this.dimension || network !== this.network;
    if (changed && !depths) [this.low, this.high] = [-Infinity, Infinity];
    [this.mode, this.dimension, this.network] = [mode, dimension, network];
    if (mode !== "power") this.layOut();
    this.showMode();
    return changed;
  },

  showMode() {
    const power = this.mode === "power";
    for (const button of byId("views").children) button.setAttribute("aria-pressed", button.value === this.mode);
    byId("drawn-dimension").value = this.dimension;
    fillNetworks(this.dimension, this.network);
    this.canvas.hidden = power;
    byId("power").hidden = !power;
    byId("depths").hidden = byId("zooms").hidden = byId("board-help").hidden = byId("listed").hidden = power;
    if (power) {
      byId("readout").hidden = true;
      showPower(this.network);
    } else if (this.part >= 0) readOut(this.part);
  },

  showFinding(finding) {
    const network = this.network >= 0 && this.network === findings.network[finding] ? this.network : -1;
    this.choose({ mode: this.mode === "power" ? "plan" : this.mode, dimension: findings.dimension[finding], network });
    this.finding = finding;
    const at = findings.at[finding];
    this.part = typeof at === "number" ? at : -1;
    this.resize();
    this.centre(placeOf(at), Math.max(this.scale, 44));
    this.keepChain(finding);
    if (this.part >= 0) readOut(this.part);
    else byId("readout").hidden = true;
  },

  // Zoom out as far as a short witness needs to be seen whole.
  keepChain(finding) {
    const steps = Array.from(findings.steps.subarray(findings.start[finding], findings.start[finding + 1]), (part) => paperOf(this.view, placeOf(part)));
    if (steps.length < 2) return;
    const us = steps.map(([u]) => u), vs = steps.map(([, v]) => v);
    const [u0, u1, v0, v1] = [Math.min(...us), Math.max(...us), Math.min(...vs), Math.max(...vs)];
    const fits = Math.min((this.width - RULER.left) / (u1 - u0 + 5), (this.height - RULER.top) / (v1 - v0 + 5));
    if (fits < 4) return;
    this.scale = Math.min(this.scale, fits);
    this.left = (u0 + u1 + 1) / 2 - (RULER.left + this.width) / 2 / this.scale;
    this.top = (v0 + v1 + 1) / 2 - this.eyeLine() / this.scale;
    this.redraw();
  },

  showPart(part) {
    const network = this.network === parts.network[part] ? this.network : -1;
    this.choose({ mode: this.mode === "power" ? "plan" : this.mode, dimension: parts.dimension[part], network });
    if (!this.layout.inside[part]) {
      [this.low, this.high] = [-Infinity, Infinity];
      this.layOut();
    }
    this.resize();
    this.focusPart(part, Math.max(this.scale, 36));
  },

  focusPart(part, scale) {
    this.part = part;
    const x = toX(this, this.layout.u[part] + 0.5), y = toY(this, this.layout.v[part] + 0.5);
    const inSight = x > RULER.left + 20 && y > RULER.top + 20 && x < this.width - 20 && y < this.height - 20;
    if (!inSight || scale !== this.scale) this.centre(placeOf(part), scale);
    this.redraw();
    readOut(part);
  },

  showNetwork(network) {
    this.choose({ mode: this.mode === "power" ? "plan" : this.mode, dimension: networks.dimension[network], network });
    [this.part, this.finding] = [-1, -1];
    byId("readout").hidden = true;
    this.resize();
    this.fit();
  },

  showPower(network) {
    this.choose({ mode: "power", dimension: networks.dimension[network], network });
  },
};

function readOut(part, aside = 0) {
  const network = parts.network[part], dimension = parts.dimension[part];
  const about = findingsOf(network).filter((finding) => touches(finding, part));
  const line = teleportLine(dimension, placeText(part));
  const switched = parts.switched[part] < 0 ? null : make("p", {}, parts.switched[part] ? "its switch is on" : "its switch is off");
  byId("readout").replaceChildren(
    make("b", {}, blockOf(part)), make("span", { class: "small" }, ` ${looks[parts.look[part]].symbol}`),
    make("p", { class: "num" }, `${placeText(part)} in ${data.dimensions[dimension].name}`),
    make("p", {}, speedText(part)), make("p", {}, budgetText(part)), ...(switched ? [switched] : []),
    make("p", { class: "small" }, `network ${networkName(network)}`),
    ...about.map((finding) => make("p", {}, levelMark(findings.level[finding]), ` ${text(findings.rule[finding])}: ${text(findings.message[finding])}`)),
    ...(aside ? [make("p", { class: "small" }, `${count(aside, "more part")} behind it`)] : []),
    make("div", { class: "row" }, ...(line ? [copyButton(line)] : []),
      make("button", { type: "button", onclick: () => { board.showPower(network); showTools(); } }, "Power diagram"),
      make("button", { type: "button", onclick: () => { board.showNetwork(network); showTools(); } }, "This network alone")));
  byId("readout").hidden = false;
  say(`${blockOf(part)} at ${placeText(part)}: ${speedText(part)}; ${budgetText(part)}${about.length ? `; ${about.map((finding) => `${LEVELS[findings.level[finding]]} ${text(findings.rule[finding])}`).join(", ")}` : ""}`);
}

// What was below the drawing may have moved up when something else took its place.
const showTools = () => byId("views").scrollIntoView({ block: "nearest" });

function touches(finding, part) {
  if (findings.at[finding] === part || findings.also[finding].includes(part)) return true;
  return findings.steps.subarray(findings.start[finding], findings.start[finding + 1]).includes(part);
}
