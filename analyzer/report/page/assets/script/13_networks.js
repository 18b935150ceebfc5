// The table of networks: sorted by any column, searched, with demand against capacity as a bar.

const NETWORKS_A_TIME = 40;
const networkTable = { order: "parts", sense: -1, shown: 0, chosen: [] };
const number = (index) => index < 0 || data.powers[index][0] == null ? -Infinity : data.powers[index][0];
const NETWORK_COLUMNS = [
  ["network", "network", (a, b) => networks.dimension[a] - networks.dimension[b] || a - b, 1],
  ["state", "state", (a, b) => asItIs.networks.state[a] - asItIs.networks.state[b], -1],
  ["use", "demand of capacity", (a, b) => useOf(a) - useOf(b) || 0, -1],
  ["capacity", "capacity", (a, b) => number(asItIs.networks.capacity[a]) - number(asItIs.networks.capacity[b]) || 0, -1],
  ["demand", "demand", (a, b) => number(asItIs.networks.demand[a]) - number(asItIs.networks.demand[b]) || 0, -1],
  ["headroom", "headroom", (a, b) => number(asItIs.networks.headroom[a]) - number(asItIs.networks.headroom[b]) || 0, 1],
  ["parts", "parts", (a, b) => networks.parts[a] - networks.parts[b], -1],
  ["chunks", "chunks", (a, b) => networks.chunks[a] - networks.chunks[b], -1],
  ["movers", "movers driving", (a, b) => networks.active[a] - networks.active[b], -1],
  ["machines", "machines", (a, b) => networks.machines[a] - networks.machines[b], -1],
];

function useOf(network) {
  const [capacity, demand] = [number(asItIs.networks.capacity[network]), number(asItIs.networks.demand[network])];
  return demand === -Infinity ? -1 : capacity > 0 ? demand / capacity : demand > 0 ? Infinity : 0;
}

function prepareNetworks() {
  const table = byId("network-table");
  const heads = NETWORK_COLUMNS.map(([key, name, , first]) => make("th", { scope: "col", class: /network|state|use/.test(key) ? null : "num", "data-key": key },
    make("button", { type: "button", onclick: () => orderNetworks(key, first) }, name)));
  table.append(make("caption", { class: "unseen" }, `Networks, power in ${data.unit}`), make("thead", {}, make("tr", {}, ...heads, make("th", { scope: "col", class: "onboard" }, "see"))), make("tbody", {}));
  byId("network-text").addEventListener("input", chooseNetworks);
  byId("more-networks").addEventListener("click", () => showNetworks(networkTable.shown + NETWORKS_A_TIME));
  chooseNetworks();
}

function orderNetworks(key, first) {
  networkTable.sense = networkTable.order === key ? -networkTable.sense : first;
  networkTable.order = key;
  chooseNetworks();
}

function chooseNetworks() {
  const words = byId("network-text").value.toLowerCase().split(/\s+/).filter(Boolean);
  const { order, sense } = networkTable;
  const compare = NETWORK_COLUMNS.find(([key]) => key === order)[2];
  const all = Array.from({ length: networks.count }, (_, row) => row);
  networkTable.chosen = all.filter((row) => words.every((word) => `${networkId(row)} ${networks.anchor[row].join(" ")} ${text(networks.told[row])}`.toLowerCase().includes(word)))
    .sort((a, b) => sense * compare(a, b) || a - b);
  for (const head of document.querySelectorAll("#network-table th[data-key]")) {
    if (head.dataset.key === order) head.setAttribute("aria-sort", sense > 0 ? "ascending" : "descending");
    else head.removeAttribute("aria-sort");
  }
  byId("networks-found").textContent = networkTable.chosen.length === networks.count ? `All ${count(networks.count, "network")}; power in ${data.unit}.` : `${networkTable.chosen.length.toLocaleString("en")} of ${count(networks.count, "network")}; power in ${data.unit}.`;
  document.querySelector("#network-table tbody").replaceChildren();
  networkTable.shown = 0;
  showNetworks(NETWORKS_A_TIME);
}

function showNetworks(upTo) {
  const until = Math.min(upTo, networkTable.chosen.length);
  document.querySelector("#network-table tbody").append(...networkTable.chosen.slice(networkTable.shown, until).map(networkRow));
  networkTable.shown = until;
  const left = networkTable.chosen.length - until;
  byId("more-networks").hidden = left <= 0;
  byId("more-networks").textContent = `Show ${Math.min(left, NETWORKS_A_TIME)} more of ${left.toLocaleString("en")}`;
}

function networkRow(network) {
  const cell = (value) => make("td", { class: "num" }, typeof value === "number" ? value.toLocaleString("en") : value);
  const power = (index) => cell(data.powers[index][1]);
  return make("tr", {},
    make("td", {}, make("span", { class: "small" }, `${data.dimensions[networks.dimension[network]].name} `), make("span", { class: "num" }, networks.anchor[network].join(" "))),
    make("td", {}, make("span", { class: `state s${asItIs.networks.state[network]}` }, text(networks.told[network]))),
    make("td", {}, useBar(network)), power(asItIs.networks.capacity[network]), power(asItIs.networks.demand[network]), power(asItIs.networks.headroom[network]),
    cell(networks.parts[network]), cell(networks.chunks[network]),
    cell(networks.active[network] === networks.movers[network] ? networks.movers[network] : `${networks.active[network]} of ${networks.movers[network]}`),
    cell(networks.machines[network]),
    make("td", { class: "onboard see" }, make("button", { type: "button", onclick: () => { board.showNetwork(network); goTo("drawing"); } }, "drawing"), " ",
      make("button", { type: "button", onclick: () => { board.showPower(network); goTo("drawing"); } }, "power")));
}

// The whole width stands for 125 % of capacity; a line stands at 100 %.
function useBar(network) {
  const use = useOf(network), width = 144, full = 0.8 * width;
  if (use < 0) return make("span", { class: "small" }, "unknown");
  if (use === Infinity) return make("span", { class: "small" }, "nothing drives");
  const asked = Math.min(use, 1.25) * full;
  return draw("svg", { class: "bar", viewBox: `0 0 ${width + 52} 17`, role: "img", "aria-label": `${percent(use)} of capacity` },
    draw("rect", { class: "track", x: 0.5, y: 3.5, width: full, height: 10 }),
    draw("rect", { class: use > 1 ? "asked over" : "asked", x: 0.5, y: 3.5, width: asked, height: 10 }),
    draw("path", { class: "full", d: `M${full} 0V17` }),
    draw("text", { x: width + 6, y: 13, "aria-hidden": "true" }, use > 1 ? `${percent(use)}` : ""));
}
