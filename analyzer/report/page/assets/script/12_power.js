// The power diagram of one network: its shafts as boxes, laid out when it is opened. A shaft stands right of what
// it is reached from, counted from the movers.

const BOX = { width: 216, gap: 120, rise: 16, head: 40, line: 30 };
const MOST_BOXES = 160;

function showPower(network) {
  const panel = byId("power");
  panel.scrollTo(0, 0);
  if (network < 0) {
    panel.replaceChildren(make("p", { class: "plain" }, "A power diagram is drawn of one network: choose it above, or open a part's, a finding's or one from the table of networks."));
    return;
  }
  const whole = shaftsOf(network);
  const diagram = simplified(whole);
  place(diagram);
  const capacity = data.powers[networks.capacity[network]];
  panel.replaceChildren(
    make("h3", {}, shownChange() ? `Network ${networks.anchor[network].join(" ")}, as changed` : `Network ${networkName(network)}`),
    budgetBar(network, whole),
    make("p", { class: "small" }, told(whole, diagram)),
    drawDiagram(network, diagram, capacity[0]),
    powerTable(whole));
}

function told(whole, diagram) {
  const spliced = whole.shafts.length - diagram.shafts.length - diagram.dropped;
  const left = spliced ? ` ${count(spliced, "shaft")} that only ${spliced === 1 ? "carries" : "carry"} rotation ${spliced === 1 ? "is" : "are"} drawn as lines or left out.` : "";
  const cut = diagram.dropped ? ` ${count(diagram.dropped, "shaft")} with the least power ${diagram.dropped === 1 ? "is" : "are"} left out of the picture, not of the table.` : "";
  return `${count(whole.shafts.length, "group")} of parts that turn as one.${left}${cut}${diagram.edges.length ? " A ratio: turns of the right one a turn of the left one. " : " "}▶ drives, ■ uses power; bars are shares of capacity.`;
}

// Columns by distance from the movers, rows by where the neighbours on the left stand.
function place(diagram) {
  const { shafts, edges } = diagram;
  const near = shafts.map(() => []);
  for (const { from, to } of edges) {
    near[from].push(to);
    near[to].push(from);
  }
  const layer = new Array(shafts.length).fill(-1);
  let wave = shafts.map((_, row) => row).filter((row) => [...shafts[row].movers.values()].some((user) => user.known));
  for (let row = 0, depth = 0; ; depth = 0) {
    if (!wave.length) {
      while (row < shafts.length && layer[row] >= 0) row++;
      if (row >= shafts.length) break;
      wave = [row];
    }
    wave.forEach((one) => { layer[one] = 0; });
    while (wave.length) {
      depth++;
      const next = [];
      for (const one of wave) for (const other of near[one]) if (layer[other] < 0) { layer[other] = depth; next.push(other); }
      wave = next;
    }
  }
  const columns = [];
  layer.forEach((depth, row) => (columns[depth] ||= []).push(row));
  setHeights(diagram, columns.filter(Boolean), near, layer);
}

function setHeights(diagram, columns, near, layer) {
  const { shafts } = diagram;
  diagram.width = diagram.height = 0;
  for (const shaft of shafts) shaft.height = BOX.head + BOX.line * (shaft.movers.size + shaft.machines.size);
  const between = new Map();
  for (const edge of diagram.edges) {
    const key = pairKey(edge.from, edge.to);
    edge.beside = between.get(key) || 0;
    between.set(key, edge.beside + 1);
    for (const row of [edge.from, edge.to]) shafts[row].height = Math.max(shafts[row].height, 40 + 40 * edge.beside);
  }
  columns.forEach((column, depth) => {
    const wish = (row) => {
      const before = near[row].filter((other) => layer[other] < layer[row]);
      return before.length ? before.reduce((sum, other) => sum + shafts[other].y + shafts[other].height / 2, 0) / before.length : 0;
    };
    const wishes = new Map(column.map((row) => [row, depth ? wish(row) : 0]));
    column.sort((a, b) => wishes.get(a) - wishes.get(b) || a - b);
    let y = 8;
    for (const row of column) {
      const shaft = shafts[row];
      shaft.x = 2 + depth * (BOX.width + BOX.gap);
      shaft.y = Math.max(y, depth ? wishes.get(row) - shaft.height / 2 : y);
      y = shaft.y + shaft.height + BOX.rise;
      diagram.height = Math.max(diagram.height, y);
      diagram.width = Math.max(diagram.width, shaft.x + BOX.width + 2);
    }
  });
  // Room for curves between shafts of the last column.
  diagram.width += 90;
}

function drawDiagram(network, diagram, capacity) {
  const picture = draw("svg", { class: "diagram", width: diagram.width, height: diagram.height, viewBox: `0 0 ${diagram.width} ${diagram.height}`, role: "img", "aria-label": `Power diagram of network ${networkId(network)}; the table below says the same` });
  picture.append(...diagram.edges.map((edge) => wayOf(edge, diagram.shafts)));
  picture.append(...diagram.shafts.map((shaft) => boxOf(shaft, capacity)));
  picture.append(...diagram.edges.map((edge) => ratioLabel(edge)));
  return picture;
}

function wayOf(edge, shafts) {
  let [a, b] = [shafts[edge.from], shafts[edge.to]];
  edge.turned = a.x > b.x || (a.x === b.x && a.y > b.y);
  if (edge.turned) [a, b] = [b, a];
  // Several ways between the same two stand one below the other.
  const drop = 20 + 40 * edge.beside;
  const [ax, bx] = [a.x + BOX.width, a.x === b.x ? b.x + BOX.width : b.x], [ay, by] = [a.y + drop, b.y + drop];
  const bend = a.x === b.x ? 34 : Math.max(40, (bx - ax) / 2);
  edge.middle = a.x === b.x ? [ax + 25, (ay + by) / 2] : onWay(ax, ay, bx, by, bend);
  const kind = edge.clash ? "clash" : edge.governed ? "set" : "";
  return draw("path", { class: `way ${kind}`, d: `M${ax} ${ay}C${ax + bend} ${ay} ${a.x === b.x ? bx + bend : bx - bend} ${by} ${bx} ${by}` });
}

// Where a way is told: near its end, where ways that begin together have parted.
function onWay(ax, ay, bx, by, bend) {
  const between = (share, p, q, r, s) => (1 - share) ** 3 * p + 3 * (1 - share) ** 2 * share * q + 3 * (1 - share) * share ** 2 * r + share ** 3 * s;
  let [low, high] = [0, 1];
  while (high - low > 0.01) {
    const middle = (low + high) / 2;
    if (between(middle, ax, ax + bend, bx - bend, bx) < bx - 0.33 * BOX.gap) low = middle;
    else high = middle;
  }
  return [bx - 0.33 * BOX.gap, between(low, ay, ay, by, by)];
}

function ratioLabel(edge) {
  const ratio = edge.governed ? "sets" : !edge.turned ? edge.ratio.text : edge.ratio.above === undefined ? `1 : ${edge.ratio.text}` : fractionOf(edge.ratio.below, edge.ratio.above).text;
  const how = ["shaft", "mesh", "belt", "offset"][edge.kind];
  const lines = [edge.governed ? ratio : `× ${ratio}`];
  if (edge.change) lines.push(edge.change);
  else if (edge.clash) lines.push("in conflict");
  else if (edge.through) lines.push(`by ${count(edge.through, "shaft")}`);
  else if (how) lines.push(edge.count > 1 ? `${how}, ${edge.count} times` : how);
  const [x, y] = [edge.middle[0] - (edge.change ? 8 : 0), edge.middle[1]];
  // The ratio stands above its line, what kind it is below.
  return draw("g", { class: "ratio" }, ...lines.map((one, row) => draw("text", { class: row ? edge.change ? "changed" : edge.clash ? "over" : "soft" : "", x, y: y - 5 + 19 * row, "text-anchor": "middle" }, one)));
}

function boxOf(shaft, capacity) {
  const { first } = shaft, { x, y } = shaft;
  const rpm = (index) => index < 0 ? "no speed" : `${data.speeds[index][1]} rpm`;
  const [was, now] = [asItIs.speed[first], parts.speed[first]], gone = isGone(first), changed = gone || was !== now;
  const speed = gone ? `taken away: was ${rpm(was)}` : changed ? `${rpm(was)} → ${rpm(now)}` : rpm(now);
  const group = draw("g", { class: "node" },
    draw("title", {}, `Show ${placeText(first)} on the plan`),
    draw("rect", { class: `box${shaft.movers.size ? " lead" : ""}${gone ? " gone" : ""}`, x, y, width: BOX.width, height: shaft.height }),
    draw("text", { class: changed ? "head changed" : "head", x: x + 8, y: y + 17 }, `${speed}${gone ? "" : ` about ${AXES[parts.axis[first]]}`}`),
    draw("text", { class: "soft", x: x + 8, y: y + 32 }, `${count(shaft.parts, "part")} from ${placeText(first)}`));
  const users = [...[...shaft.movers.values()].map((user) => [user, true]), ...[...shaft.machines.values()].map((user) => [user, false])];
  users.forEach(([user, gives], row) => group.append(...userLine(user, gives, x, y + BOX.head + BOX.line * row, capacity)));
  group.addEventListener("click", () => board.showPart(first));
  return group;
}

function userLine(user, gives, x, y, capacity) {
  const power = powerText(user, gives), share = capacity ? Math.min(1, user.power / capacity) : 0, track = BOX.width - 16;
  const name = shorten(`${gives ? "▶" : "■"} ${user.count.toLocaleString("en")} × ${user.block.replace(/^[^:]*:/, "")}`, 32 - power.length);
  return [
    draw("text", { x: x + 8, y: y + 11 }, name), draw("text", { x: x + BOX.width - 8, y: y + 11, "text-anchor": "end" }, power),
    draw("rect", { class: "track", x: x + 8, y: y + 16, width: track, height: 6 }),
    draw("rect", { class: gives ? "gives" : "asks", x: x + 8, y: y + 16, width: share * track, height: 6 })];
}

const shorten = (name, most) => name.length > most ? `${name.slice(0, Math.max(4, most - 1))}…` : name;

function powerText(user, gives) {
  if (user.known) return `${user.known < user.count && !gives ? "over " : ""}${round(user.power)} ${data.unit}`;
  return gives ? "not driving" : "unknown";
}

const round = (number) => number.toLocaleString("en", { maximumFractionDigits: 2 });

// Where the budget goes: machines of one kind side by side, against what the movers give.
function budgetBar(network, { shafts }) {
  const [capacity, demand] = [data.powers[networks.capacity[network]], data.powers[networks.demand[network]]];
  const kinds = new Map();
  for (const shaft of shafts) {
    for (const user of shaft.machines.values()) {
      const kind = kinds.get(user.block) || { block: user.block, count: 0, power: 0, known: 0 };
      kind.count += user.count;
      kind.power += user.power;
      kind.known += user.known;
      kinds.set(user.block, kind);
    }
  }
  const asked = [...kinds.values()].sort((a, b) => b.power - a.power || (a.block < b.block ? -1 : 1));
  const most = Math.max(capacity[0] || 0, demand[0] || 0, 1e-9), width = 900;
  const bar = draw("svg", { class: "budget", viewBox: `0 0 ${width} 44`, role: "img", "aria-label": `Capacity ${capacity[1]} ${data.unit}, demand ${demand[1]} ${data.unit}` });
  bar.append(draw("rect", { class: "track", x: 0.5, y: 14.5, width: (capacity[0] || 0) / most * (width - 1), height: 16 }));
  let x = 0.5;
  asked.forEach((kind, row) => {
    const wide = kind.power / most * (width - 1);
    bar.append(draw("rect", { class: "asks", x, y: 14.5, width: wide, height: 16, "fill-opacity": row % 2 ? 0.45 : 1 }, draw("title", {}, `${kind.count} × ${kind.block}: ${round(kind.power)} ${data.unit}`)));
    if (wide > 90) bar.append(draw("text", { x: x + 5, y: 27 }, shorten(kind.block.replace(/^[^:]*:/, ""), wide / 7.5)));
    x += wide;
  });
  const end = (capacity[0] || 0) / most * (width - 1);
  bar.append(draw("path", { class: "way", d: `M${end} 8V38`, "stroke-width": 2 }), draw("text", { x: Math.min(end, width - 4) - 4, y: 10, "text-anchor": end > 200 ? "end" : "start" }, `capacity ${capacity[1]} ${data.unit}`));
  const short = demand[0] != null && demand[0] > capacity[0];
  const list = asked.slice(0, 8).map((kind) => `${kind.count.toLocaleString("en")} × ${kind.block} ${kind.known ? round(kind.power) : "unknown"}${kind.known && capacity[0] ? ` (${percent(kind.power / capacity[0])})` : ""}`);
  const headroom = data.powers[networks.headroom[network]];
  return make("div", {}, bar,
    make("p", {}, `The movers give ${capacity[1]} ${data.unit}; ${demand[0] == null ? "what the machines ask for is unknown" : `the machines ask for ${demand[1]} ${data.unit}`}: `, make("b", {}, short ? `${headroom[1].replace("-", "")} ${data.unit} too much, so the network stands still` : demand[0] == null ? "so is what is left" : `${headroom[1]} ${data.unit} left`), "."),
    list.length ? make("p", { class: "small" }, `Where it goes: ${list.join("; ")}${asked.length > 8 ? `; and ${asked.length - 8} more kinds` : ""}.`) : make("p", { class: "small" }, "No machine uses it."));
}

function powerTable({ shafts }) {
  const body = make("tbody", {});
  shafts.slice(0, 500).forEach((shaft) => {
    const users = (map, gives) => [...map.values()].map((user) => `${user.count.toLocaleString("en")} × ${user.block}: ${powerText(user, gives)}`).join("; ");
    body.append(make("tr", {}, make("td", {}, partButton(shaft.first)), make("td", { class: "num" }, shaft.parts.toLocaleString("en")), make("td", {}, speedText(shaft.first)), make("td", {}, users(shaft.movers, true)), make("td", {}, users(shaft.machines, false))));
  });
  const left = shafts.length - 500;
  return make("details", {}, make("summary", {}, "The shafts as a table"), make("div", { class: "scroll", tabindex: 0, role: "region", "aria-label": "Shafts" }, make("table", {},
    make("caption", {}, `${count(shafts.length, "shaft")}${left > 0 ? "; the first 500 by position" : ""}`),
    make("thead", {}, make("tr", {}, ...["from", "parts", "speed", "movers", "machines"].map((name) => make("th", { scope: "col" }, name)))), body)));
}
