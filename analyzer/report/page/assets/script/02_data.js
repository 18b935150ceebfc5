// The data of the page: its columns are written as docs/report-page.md says.

const data = JSON.parse(byId("data").textContent);
const TURNING = 0, IDLE = 1, OVERLOADED = 2, CONFLICTING = 3;
const SHAFT = 0, MESH = 1, LINK = 2, OFFSET = 3;
const AXES = ["x", "y", "z"];

function column(coded) {
  const bytes = atob(coded.data);
  let size = 0;
  const all = new Float64Array(bytes.length);
  for (let at = 0; at < bytes.length; ) {
    let value = 0, place = 1, digit;
    do {
      digit = bytes.charCodeAt(at++);
      value += (digit & 127) * place;
      place *= 128;
    } while (digit > 127);
    all[size++] = value % 2 ? -(value + 1) / 2 : value / 2;
  }
  const numbers = all.subarray(0, size);
  if (coded.code === "plain") return Int32Array.from(numbers);
  if (coded.code === "delta") {
    const found = new Int32Array(numbers.length);
    let value = 0;
    for (let row = 0; row < numbers.length; row++) found[row] = value += numbers[row];
    return found;
  }
  let length = 0;
  for (let run = 1; run < numbers.length; run += 2) length += numbers[run];
  const found = new Int32Array(length);
  for (let run = 0, row = 0; run < numbers.length; run += 2) {
    found.fill(numbers[run], row, (row += numbers[run + 1]));
  }
  return found;
}

const columns = (table) => Object.fromEntries(
  Object.entries(table).map(([name, coded]) => [name, name === "count" ? coded : column(coded)]));

const parts = columns(data.parts);
parts.xyz = [parts.x, parts.y, parts.z];
const couplings = columns(data.couplings);
couplings.b = couplings.a.map((a, row) => a + couplings.step[row]);
const networks = data.networks;
networks.count = networks.state.length;
const findings = data.findings;
findings.count = findings.level.length;
findings.steps = column(findings.steps);
findings.turns = column(findings.turns);
findings.start = [0];
for (const length of findings.length) findings.start.push(findings.start[findings.start.length - 1] + length);

const text = (number) => data.texts[number];
const looks = data.looks.map(([block, role, symbol]) => ({ block, role, symbol: data.symbols[symbol] }));

// Members of each network, as a start and an order, for power diagrams and for fitting.
const members = (() => {
  const start = new Int32Array(networks.count + 1);
  for (const network of parts.network) start[network + 1]++;
  for (let network = 0; network < networks.count; network++) start[network + 1] += start[network];
  const next = start.slice(), order = new Int32Array(parts.count);
  parts.network.forEach((network, part) => { order[next[network]++] = part; });
  return (network) => order.subarray(start[network], start[network + 1]);
})();

// Findings about each network.
const findingsOf = (() => {
  const found = new Map();
  findings.network.forEach((network, finding) => {
    if (!found.has(network)) found.set(network, []);
    found.get(network).push(finding);
  });
  return (network) => found.get(network) || [];
})();

const placeOf = (spot) => typeof spot === "number" ? [parts.x[spot], parts.y[spot], parts.z[spot]] : spot;
const placeText = (spot) => placeOf(spot).join(" ");
const networkId = (network) => `${data.dimensions[networks.dimension[network]].name}:${networks.anchor[network].join(",")}`;
const networkName = (network) => `${networks.anchor[network].join(" ")} (${count(networks.parts[network], "part")}, ${text(networks.told[network])})`;
const blockOf = (part) => looks[parts.look[part]].block;
const quantity = (table, index) => index < 0 ? "unknown" : table[index].length > 2 && table[index][2] ? `${table[index][1]} (${table[index][2]})` : table[index][1];

function teleportLine(dimension, place) {
  const way = dimension < 0 ? null : data.dimensions[dimension].teleport;
  return way == null ? null : `${way}${place}`;
}

function speedText(part) {
  const index = parts.speed[part], state = stateOf(part);
  if (isGone(part)) return "taken away";
  if (index < 0) return state === IDLE ? "at rest: nothing drives it" : "no speed: its network cannot turn";
  const [number] = data.speeds[index];
  if (number === 0) return "at rest";
  const would = state === OVERLOADED ? "would turn at " : state === CONFLICTING ? "no speed: " : "";
  return `${would}${quantity(data.speeds, index)} rpm about ${AXES[parts.axis[part]]}${wasText(part)}`;
}

// What it turned at, where the change that is shown makes it turn otherwise.
function wasText(part) {
  const was = asItIs.speed[part];
  if (was === parts.speed[part]) return "";
  return was < 0 ? " (had no speed)" : ` (was ${data.speeds[was][1]} rpm)`;
}

// What a part has to do with its network's budget.
function budgetText(part) {
  if (isGone(part)) return "no longer there";
  const network = parts.network[part], role = looks[parts.look[part]].role;
  if (role === "transmission") return "carries rotation; uses no power";
  const verb = role === "mover" ? "gives" : "asks for";
  if (parts.power[part] < 0) return role === "mover" ? "does not drive" : `${verb} an unknown amount`;
  const power = data.powers[parts.power[part]], capacity = data.powers[networks.capacity[network]];
  const share = capacity[0] ? `, ${percent(power[0] / capacity[0])} of the network's ${capacity[1]}` : "";
  return `${verb} ${quantity(data.powers, parts.power[part])} ${data.unit}${share}`;
}

function percent(share) {
  if (!Number.isFinite(share)) return "?";
  const value = 100 * share;
  if (value > 0 && value < 0.1) return "less than 0.1 %";
  return `${value >= 10 ? Math.round(value) : Math.round(10 * value) / 10} %`;
}
