// Moving the drawing: pointers (one pans, two pinch), wheel, keys, and the tools above it.

function partsUnder(event) {
  const { left, top } = board.canvas.getBoundingClientRect();
  const u = Math.floor(board.left + (event.clientX - left) / board.scale), v = Math.floor(board.top + (event.clientY - top) / board.scale);
  return event.clientX - left < RULER.left || event.clientY - top < RULER.top ? [] : board.layout.columnAt(u, v);
}

// Far away a cell is smaller than a finger: then the nearest cell with a part counts.
function partsNear(event) {
  const exact = partsUnder(event);
  if (exact.length || board.scale >= 10) return exact;
  const reach = Math.min(12, Math.ceil(8 / board.scale));
  let best = [], least = Infinity;
  for (let dv = -reach; dv <= reach; dv++) {
    for (let du = -reach; du <= reach; du++) {
      const far = du * du + dv * dv;
      if (far >= least) continue;
      const found = partsUnder({ clientX: event.clientX + du * board.scale, clientY: event.clientY + dv * board.scale });
      if (found.length) [best, least] = [found, far];
    }
  }
  return best;
}

function preparePointers() {
  const { canvas } = board;
  const down = new Map();
  let moved = 0;
  canvas.addEventListener("pointerdown", (event) => {
    canvas.setPointerCapture(event.pointerId);
    down.set(event.pointerId, [event.clientX, event.clientY]);
    if (down.size === 1) moved = 0;
  });
  canvas.addEventListener("pointermove", (event) => {
    const was = down.get(event.pointerId);
    if (!was) {
      hover(event);
      return;
    }
    const [dx, dy] = [event.clientX - was[0], event.clientY - was[1]];
    moved += Math.abs(dx) + Math.abs(dy);
    if (down.size === 2) pinch(down, event, was);
    else if (moved > 3) board.pan(dx, dy);
    if (moved > 3) canvas.classList.add("dragged");
    down.set(event.pointerId, [event.clientX, event.clientY]);
  });
  const lift = (event) => {
    if (down.delete(event.pointerId) && event.type === "pointerup" && moved <= 3) pick(event);
    if (!down.size) canvas.classList.remove("dragged");
  };
  canvas.addEventListener("pointerup", lift);
  canvas.addEventListener("pointercancel", lift);
  canvas.addEventListener("wheel", (event) => {
    // A page that is scrolled past the drawing is not caught by it.
    if (document.activeElement !== canvas && !event.ctrlKey) return;
    event.preventDefault();
    const { left, top } = canvas.getBoundingClientRect();
    board.zoom(Math.exp(-event.deltaY * (event.deltaMode ? 0.05 : 0.0016)), event.clientX - left, event.clientY - top);
  }, { passive: false });
}

function pinch(down, event, was) {
  const other = [...down].find(([id]) => id !== event.pointerId)[1];
  const { left, top } = board.canvas.getBoundingClientRect();
  const before = Math.hypot(was[0] - other[0], was[1] - other[1]), after = Math.hypot(event.clientX - other[0], event.clientY - other[1]);
  board.pan((event.clientX - was[0]) / 2, (event.clientY - was[1]) / 2);
  if (before > 4) board.zoom(after / before, (event.clientX + other[0]) / 2 - left, (event.clientY + other[1]) / 2 - top);
}

let hovered = -1;

function hover(event) {
  if (event.pointerType === "touch") return;
  const [part = -1, ...behind] = partsNear(event);
  if (part === hovered) return;
  hovered = part;
  if (part >= 0) readOut(part, behind.length);
  else if (board.part >= 0) readOut(board.part);
  else byId("readout").hidden = true;
}

// Choosing a cell again goes on to the part behind.
function pick(event) {
  board.canvas.focus({ preventScroll: true });
  const found = partsNear(event);
  if (!found.length) {
    board.part = board.finding = -1;
    byId("readout").hidden = true;
  } else {
    board.part = found[(found.indexOf(board.part) + 1) % found.length];
    readOut(board.part, found.length - 1);
  }
  board.redraw();
}

function prepareKeys() {
  const step = 60;
  const keys = {
    ArrowLeft: () => board.pan(step, 0), ArrowRight: () => board.pan(-step, 0), ArrowUp: () => board.pan(0, step), ArrowDown: () => board.pan(0, -step),
    "+": () => board.zoom(1.4), "=": () => board.zoom(1.4), "-": () => board.zoom(1 / 1.4), 0: () => board.fit(),
    n: () => stepPart(1), p: () => stepPart(-1), f: stepFinding,
    Escape: () => { board.part = board.finding = -1; byId("readout").hidden = true; board.redraw(); },
  };
  board.canvas.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    const act = keys[event.key.length === 1 ? event.key.toLowerCase() : event.key];
    if (!act) return;
    event.preventDefault();
    act();
  });
}

// The next or former of the drawn parts, by position.
function stepPart(by) {
  const { inside, count: drawn } = board.layout;
  if (!drawn) return;
  let part = board.part < 0 ? (by > 0 ? -1 : 0) : board.part;
  do part = (part + by + parts.count) % parts.count; while (!inside[part]);
  board.focusPart(part, board.scale);
}

function stepFinding() {
  const here = findingList.chosen.filter((finding) => findings.at[finding] != null && findings.dimension[finding] === board.dimension && (board.network < 0 || findings.network[finding] === board.network));
  if (here.length) board.showFinding(here[(here.indexOf(board.finding) + 1) % here.length]);
}

function fillNetworks(dimension, network) {
  const select = byId("drawn-network");
  if (select.dataset.dimension !== String(dimension)) {
    const found = [];
    networks.dimension.forEach((one, row) => { if (one === dimension) found.push(row); });
    found.sort((a, b) => networks.parts[b] - networks.parts[a] || a - b);
    select.replaceChildren(make("option", { value: -1 }, `all ${found.length.toLocaleString("en")}`), ...found.map((row) => make("option", { value: row }, networkName(row))));
    select.dataset.dimension = dimension;
  }
  select.value = network;
}

function prepareTools() {
  byId("views").append(...[["plan", "Plan"], ["south", "From south"], ["east", "From east"], ["power", "Power"]].map(([value, name]) =>
    make("button", { type: "button", value, "aria-pressed": "false", onclick: () => changeView(value) }, name)));
  byId("drawn-dimension").append(...data.dimensions.map((one, row) => make("option", { value: row }, one.name)));
  byId("drawn-dimension").addEventListener("change", (event) => { board.choose({ dimension: Number(event.target.value), network: -1 }); afresh(); });
  byId("drawn-network").addEventListener("change", (event) => { board.choose({ network: Number(event.target.value) }); afresh(); });
  byId("zoom-in").addEventListener("click", () => board.zoom(1.5));
  byId("zoom-out").addEventListener("click", () => board.zoom(1 / 1.5));
  byId("zoom-fit").addEventListener("click", () => board.fit());
  for (const id of ["depth-low", "depth-high"]) byId(id).addEventListener("change", changeDepths);
  byId("listed").addEventListener("toggle", () => { if (byId("listed").open) listParts(); });
  new ResizeObserver(() => board.resize()).observe(board.canvas);
}

function afresh() {
  [board.part, board.finding] = [-1, -1];
  byId("readout").hidden = true;
  if (board.mode !== "power") board.fit();
}

function changeView(mode) {
  const keep = board.part;
  if (mode === "power" && board.network < 0 && keep >= 0) board.choose({ mode, network: parts.network[keep] });
  else board.choose({ mode });
  if (mode === "power") return;
  board.resize();
  if (keep >= 0 && board.layout.inside[keep]) board.centre(placeOf(keep));
  else board.fit();
}

function changeDepths() {
  const read = (id, none) => byId(id).value === "" ? none : Number(byId(id).value);
  [board.low, board.high] = [read("depth-low", -Infinity), read("depth-high", Infinity)];
  board.layOut();
  board.redraw();
}

// The drawing as a table, for whoever does not see it: the parts in view, the nearest to the middle first.
const MOST_LISTED = 200;

function listParts() {
  const near = onPaper(board), found = [];
  for (const square of board.layout.squaresIn(near)) {
    for (const part of square.members) {
      const u = board.layout.u[part], v = board.layout.v[part];
      if (u >= near[0] && u <= near[2] && v >= near[1] && v <= near[3]) found.push(part);
    }
  }
  found.sort((a, b) => a - b);
  const rows = found.slice(0, MOST_LISTED).map((part) => make("tr", {},
    make("td", {}, make("button", { type: "button", onclick: () => board.focusPart(part, board.scale) }, placeText(part))),
    make("td", {}, blockOf(part)), make("td", {}, speedText(part)), make("td", {}, budgetText(part)),
    make("td", {}, findingsOf(parts.network[part]).filter((finding) => touches(finding, part)).map((finding) => `${LEVELS[findings.level[finding]]}: ${text(findings.rule[finding])}`).join(", "))));
  const left = found.length - rows.length;
  byId("listed").lastElementChild.replaceChildren(
    make("div", { class: "scroll", tabindex: 0, role: "region", "aria-label": "Parts in view" }, make("table", {},
      make("caption", {}, `${count(found.length, "part")} in view${left > 0 ? `; the first ${MOST_LISTED} by position. Zoom in to list the others` : ""}`),
      make("thead", {}, make("tr", {}, ...["place", "part", "speed", "power", "findings"].map((name) => make("th", { scope: "col" }, name)))),
      make("tbody", {}, ...rows))));
}
