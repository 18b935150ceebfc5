// Changes: what a remedy would do, laid over what the page has of the save, and marked on the drawing.

const changes = data.changes.map((change) => ({
  ...change, ...Object.fromEntries(["parts", "speed", "power", "state"].map((name) => [name, column(change[name])])),
}));
const asItIs = { speed: parts.speed, power: parts.power, networks: { ...networks } };
const GONE = -1;

const changesOf = (finding) => changes.flatMap((change, number) => change.finding === finding ? [number] : []);
const shownChange = () => board.change < 0 ? null : changes[board.change];
const isGone = (part) => board.then?.get(part) === GONE;
// What a part's network does, by the change that is shown.
const stateOf = (part) => {
  const then = board.then?.get(part);
  return then === undefined || then === GONE ? networks.state[parts.network[part]] : then;
};

// Findings about a network that is shown as changed are not those of its new state: words say what that is.
const isMended = (finding) => board.then !== null && findings.network[finding] >= 0 && board.touched.has(findings.network[finding]);

// Lay a change over the data; -1 takes it away again.
function layChange(number) {
  board.change = number;
  board.states = null;
  [parts.speed, parts.power] = [asItIs.speed, asItIs.power];
  for (const name of ["state", "capacity", "demand", "headroom"]) networks[name] = asItIs.networks[name];
  const change = shownChange();
  board.then = change ? new Map() : null;
  board.touched = change ? new Set([...change.budgets.map(([network]) => network), ...Array.from(change.parts, (part) => parts.network[part])]) : null;
  if (!change) return;
  [parts.speed, parts.power] = [parts.speed.slice(), parts.power.slice()];
  change.parts.forEach((part, row) => {
    parts.speed[part] = change.speed[row];
    parts.power[part] = change.power[row];
    board.then.set(part, change.state[row]);
  });
  for (const name of ["state", "capacity", "demand", "headroom"]) networks[name] = networks[name].slice();
  for (const [network, state, capacity, demand, headroom] of change.budgets) {
    Object.entries({ state, capacity, demand, headroom }).forEach(([name, value]) => { networks[name][network] = value; });
  }
}

// Where a change lies: its dimension, and the network that most of it is in.
function homeOf(change) {
  const spots = change.edits.flatMap(([, , at]) => at);
  const part = spots.find((spot) => typeof spot === "number") ?? change.parts[0];
  return part === undefined ? null : { dimension: parts.dimension[part], network: parts.network[part], spots };
}

function showChange(number) {
  layChange(number);
  fillChangeBar();
  const home = number < 0 ? null : homeOf(changes[number]);
  if (!home) {
    if (board.mode === "power") showPower(board.network);
    else board.redraw();
    return;
  }
  board.part = -1;
  board.finding = -1;
  byId("readout").hidden = true;
  const power = board.mode === "power";
  board.choose({ dimension: home.dimension, network: home.network });
  board.resize();
  if (!power) board.fit();
  say(`Shown as changed: ${changes[number].edits.map(([told]) => text(told)).join("; ")}`);
}

function fillChangeBar() {
  const change = shownChange(), bar = byId("change");
  bar.hidden = !change;
  if (!change) return;
  const number = board.change;
  bar.replaceChildren(
    make("p", {}, make("b", {}, "Shown as changed. "), ...editsInShort(change)),
    outcome(change),
    make("div", { class: "row" },
      make("button", { type: "button", onclick: () => { if (board.mode === "power") changeView("plan"); else changeView("power"); } }, "Plan or power diagram"),
      make("button", { type: "button", id: "as-it-is", onclick: () => { showChange(-1); byId("paper-canvas").focus({ preventScroll: true }); } }, "Show it as it is")));
  bar.dataset.change = number;
}

function editsInShort(change) {
  const told = change.edits.slice(0, 3).map(([one]) => text(one)).join("; ");
  const left = change.edits.length + change.more - 3;
  return [`${told}${left > 0 ? `; and ${count(left, "more edit")}` : ""}.`];
}

// What the networks do before and after, in words.
function outcome(change) {
  const list = (title, lines) => [make("dt", {}, title), make("dd", {}, ...lines.map((one) => make("div", {}, text(one))), ...(lines.length ? [] : ["no network there"]))];
  return make("dl", { class: "outcome" }, ...list("before", change.before), ...list("after", change.after));
}

// The ways to mend a finding, the cheapest first.
function remedyList(finding) {
  return make("ol", { class: "remedies" }, ...changesOf(finding).map(changeItem));
}

function changeItem(number) {
  const change = changes[number];
  const told = change.told.map(([term, said]) => `${text(term)}: ${text(said)}.`).join(" ");
  const edits = change.edits.map(([one]) => make("div", {}, text(one)));
  if (change.more) edits.push(make("div", {}, `and ${change.more.toLocaleString("en")} more like these`));
  return make("li", {}, ...edits, told && make("p", { class: "small" }, told),
    ...change.after.slice(0, 4).map((one) => make("p", { class: "small" }, `after: ${text(one)}`)),
    homeOf(change) && make("button", { type: "button", class: "onboard", onclick: () => { showChange(number); goTo("drawing"); } }, "Show the change"));
}

// Changes that mend no finding, such as one that was asked for.
function prepareChanges() {
  const others = changesOf(-1);
  byId("changes").hidden = byId("to-changes").hidden = !others.length;
  byId("change-list").append(...others.map(changeItem));
}

// Marks of the edits, and rings round what turns otherwise than before.
function paintChange(scene) {
  const change = shownChange(), home = change && homeOf(change);
  if (!home || home.dimension !== scene.dimension) return;
  const { paper, inks } = scene;
  paper.strokeStyle = inks.chosen;
  paper.lineWidth = 1.5;
  paper.setLineDash([3, 2]);
  const half = Math.max(3, scene.scale * 0.5);
  if (scene.scale >= PIXELS_BELOW) {
    for (const part of change.parts) {
      if (!scene.layout.inside[part]) continue;
      const [x, y] = middleOf(scene, part);
      if (x > -half && y > -half && x < scene.width + half && y < scene.height + half) paper.strokeRect(x - half, y - half, 2 * half, 2 * half);
    }
  }
  paper.setLineDash([]);
  const taken = [];
  for (const edit of change.edits) paintEdit(scene, edit, taken);
}

// Its words stand beside an edit, or above others that stand there.
function paintEdit(scene, [, mark, spots, factor], taken) {
  const { paper, inks } = scene;
  const places = spots.map((spot) => middleOf(scene, spot));
  const x = places.reduce((sum, [u]) => sum + u, 0) / places.length, y = places.reduce((sum, [, v]) => sum + v, 0) / places.length;
  const r = Math.max(8, Math.min(16, scene.scale * 0.4)), words = text(mark);
  for (const [ink, wide] of [[inks.sheet, 6], [inks.chosen, 3]]) {
    paper.strokeStyle = ink;
    paper.lineWidth = wide;
    paper.beginPath();
    if (words === "take away") { line(paper, [x - r, y - r], [x + r, y + r]); line(paper, [x - r, y + r], [x + r, y - r]); }
    else if (words === "uncouple") { line(paper, [x - r, y + r], [x, y - r]); line(paper, [x, y + r], [x + r, y - r]); }
    else { paper.moveTo(x + r, y); paper.arc(x, y, r, 0, 2 * Math.PI); }
    paper.stroke();
  }
  const told = text(factor) ? `${words}: × ${text(factor)}` : words;
  paper.font = `600 12px ${scene.labelFont}`;
  paper.textAlign = "left";
  paper.textBaseline = "middle";
  const wide = paper.measureText(told).width, left = x + r + 4 + wide < scene.width ? x + r + 4 : x - r - 4 - wide;
  let top = y - r;
  while (taken.some(([from, to, at]) => left < to && left + wide > from && Math.abs(top - at) < 15)) top -= 15;
  taken.push([left, left + wide, top]);
  paper.fillStyle = inks.chosen;
  labelText(paper, inks, told, left, top);
}
