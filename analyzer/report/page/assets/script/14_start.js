// Starting: everything that is shown is made from the data, the drawing last.

function prepareLegend() {
  const symbols = make("ul", {}), inks = readInks();
  for (const symbol of data.symbols) {
    const sample = make("canvas", { width: 68, height: 68, "aria-hidden": "true" }), paper = sample.getContext("2d");
    const { fillPath, strokePath } = symbolPath(symbol, "right");
    paper.setTransform(54, 0, 0, 54, 34, 34);
    paper.fillStyle = inks.states[TURNING].fill;
    paper.strokeStyle = inks.states[TURNING].stroke;
    paper.lineWidth = 2 / 54;
    paper.fill(fillPath);
    paper.stroke(fillPath);
    paper.lineWidth = 1.2 / 54;
    paper.stroke(strokePath);
    symbols.append(make("li", {}, sample, symbol));
  }
  const states = make("ul", {}, ...["turning: filled", "idle or at rest: hollow", "overloaded: hatched", "conflicting: cross-hatched"].map((name, state) => make("li", {}, stateSample(inks, state), name)));
  const marks = make("ul", {}, ...[3, 2, 1].map((level) => make("li", {}, levelMark(level), `a finding: ${LEVELS[level]}`)), make("li", {}, "dashed line: a loop that proves a finding; dotted: a path"), make("li", {}, "long dashes: a belt or chain; double stroke: a mesh"));
  byId("legend").append(make("div", {}, symbols, states, marks,
    make("p", { class: "small" }, "A straight arrow shows which way the side that faces you moves; a round one, which way a part turns whose axis points at you. Numbers are rpm about the positive axis; +2 stands where two more parts lie behind.")));
}

function stateSample(inks, state) {
  const sample = make("canvas", { width: 68, height: 68, "aria-hidden": "true" }), paper = sample.getContext("2d");
  paper.scale(2, 2);
  paper.fillStyle = inks.states[state].fill;
  paper.strokeStyle = inks.states[state].stroke;
  paper.lineWidth = 1.5;
  paper.fillRect(4, 9, 26, 16);
  paper.strokeRect(4, 9, 26, 16);
  return sample;
}

const PAPERS = ["as the system", "light", "dark"];

function setPaper(paper) {
  if (paper) document.documentElement.dataset.paper = paper;
  else delete document.documentElement.dataset.paper;
  board.inks = null;
  board.pending = false;
  if (!board.canvas.hidden && board.layout) board.paint();
}

function preparePapers() {
  let chosen = 0;
  byId("paper").addEventListener("click", () => {
    chosen = (chosen + 1) % PAPERS.length;
    byId("paper").textContent = `Paper: ${PAPERS[chosen]}`;
    setPaper(chosen ? PAPERS[chosen] : "");
  });
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => setPaper(chosen ? PAPERS[chosen] : ""));
  // Print is ink on white; what is chosen is printed opened, as far as a printed page serves anyone.
  let opened = [];
  addEventListener("beforeprint", () => {
    setPaper("light");
    showFindings(Math.min(findingList.chosen.length, 200));
    const closed = [...document.querySelectorAll("#finding-list details:not([open])")];
    for (const details of closed) details.open = true;
    opened.push(...closed);
    for (const details of document.querySelectorAll("#finding-list details")) {
      if (details.childElementCount === 1) details.append(insideOf(Number(details.dataset.finding), findings.network[Number(details.dataset.finding)]));
    }
    board.resize();
  });
  addEventListener("afterprint", () => {
    for (const details of opened) details.open = false;
    opened = [];
    setPaper(chosen ? PAPERS[chosen] : "");
    board.resize();
  });
}

// Links in the part of the page that needs no script.
function prepareLinks() {
  for (const link of document.querySelectorAll("a[data-network]")) link.addEventListener("click", () => board.showNetwork(Number(link.dataset.network)));
  for (const link of document.querySelectorAll("a[data-chunk]")) {
    link.addEventListener("click", () => {
      const [dimension, cx, cz] = link.dataset.chunk.split(" ").map(Number);
      board.choose({ mode: "plan", dimension, network: -1 });
      board.resize();
      board.centre([16 * cx + 8, 0, 16 * cz + 8], 22);
    });
  }
}

function mostParts() {
  const many = data.dimensions.map(() => 0);
  for (const dimension of parts.dimension) many[dimension]++;
  return Math.max(0, many.indexOf(Math.max(...many)));
}

prepareFilters();
preparePointers();
prepareKeys();
prepareTools();
prepareNetworks();
prepareChanges();
preparePapers();
prepareLinks();
board.choose({ dimension: mostParts() });
board.resize();
chooseFindings();
if (changes.length === 1 && changes[0].finding < 0) showChange(0);
byId("legend").addEventListener("toggle", () => { if (byId("legend").childElementCount === 1) prepareLegend(); });
if (location.hash.startsWith("#f-")) {
  const finding = findings.fingerprint.indexOf(location.hash.slice(3));
  if (finding >= 0) {
    byId("by-text").value = findings.fingerprint[finding];
    chooseFindings();
    byId("finding-list").querySelector("details").open = true;
  }
}
performance.mark("ready");
document.documentElement.dataset.ready = "";
