// One network as shafts: parts joined end to end that turn as one, and what couples one shaft to another.

// Shafts of a network: their parts, and what couples them.
function shaftsOf(network) {
  const own = members(network), number = new Map(), shafts = [];
  for (const part of own) {
    let shaft = number.get(shaftKey(part));
    if (shaft === undefined) {
      number.set(shaftKey(part), shaft = shafts.length);
      shafts.push({ first: part, parts: 0, movers: new Map(), machines: new Map(), power: 0, edges: [] });
    }
    const one = shafts[shaft], role = looks[parts.look[part]].role;
    one.parts++;
    if (role !== "transmission" && !isGone(part)) addUser(role === "mover" ? one.movers : one.machines, part, one);
  }
  return { shafts, edges: edgesOf(own, number, shafts) };
}

// A change may part a shaft, or take away some of it.
const shaftKey = (part) => board.then ? `${parts.shaft[part]} ${isGone(part) ? "gone" : parts.speed[part]}` : parts.shaft[part];

function addUser(users, part, shaft) {
  const known = parts.power[part] >= 0;
  const user = users.get(parts.look[part]) || { block: blockOf(part), first: part, count: 0, power: 0, known: 0 };
  user.count++;
  if (known) {
    user.power += data.powers[parts.power[part]][0];
    user.known++;
    shaft.power += data.powers[parts.power[part]][0];
  }
  users.set(parts.look[part], user);
}

function edgesOf(own, number, shafts) {
  const clashing = new Set();
  for (const finding of findingsOf(parts.network[own[0]]).filter((one) => !isMended(one))) {
    const steps = findings.steps.subarray(findings.start[finding], findings.start[finding + 1]);
    const length = findings.closed[finding] ? steps.length : steps.length - 1;
    for (let step = 0; step < length; step++) clashing.add(pairKey(steps[step], steps[(step + 1) % steps.length]));
  }
  const merged = new Map(), changed = changedPairs();
  for (const part of own) {
    for (let row = couplingStart(part); row < couplings.count && couplings.a[row] === part; row++) {
      const other = couplings.b[row], a = number.get(shaftKey(part)), b = number.get(shaftKey(other));
      if (a === b) continue;
      const governed = couplings.ratio[row] < 0;
      const [from, to] = governed || a < b ? [a, b] : [b, a];
      const key = `${from} ${to} ${couplings.kind[row]} ${couplings.ratio[row]} ${from === a}`;
      const edge = merged.get(key) || { from, to, kind: couplings.kind[row], governed, ratio: governed ? null : ratioOf(couplings.ratio[row], from === a), count: 0, clash: false, through: 0 };
      edge.count++;
      edge.clash ||= clashing.has(pairKey(part, other));
      edge.change ||= changed.get(pairKey(part, other));
      merged.set(key, edge);
    }
  }
  const edges = [...merged.values()];
  for (const edge of edges) {
    shafts[edge.from].edges.push(edge);
    if (edge.to !== edge.from) shafts[edge.to].edges.push(edge);
  }
  return edges;
}

// What the change that is shown does to couplings, in words, by the two parts.
function changedPairs() {
  const pairs = (shownChange()?.edits || []).filter(([, , at]) => at.length === 2);
  return new Map(pairs.map(([, mark, [a, b], factor]) => [pairKey(a, b), text(factor) ? `${text(mark)}: × ${text(factor)}` : text(mark)]));
}

const pairKey = (a, b) => a < b ? `${a} ${b}` : `${b} ${a}`;

// Couplings are sorted by a: the first row of a part by bisection.
function couplingStart(part) {
  let low = 0, high = couplings.count;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (couplings.a[middle] < part) low = middle + 1;
    else high = middle;
  }
  return low;
}

// Ratios as exact fractions of big integers, so that lines that stand for several shafts are exact too.
function ratioOf(index, forwards) {
  const match = /^(-?\d+)(?:\/(\d+))?$/.exec(data.ratios[index][0]);
  if (!match) return { text: data.ratios[index][0] };
  const fraction = [BigInt(match[1]), BigInt(match[2] || 1)];
  return forwards ? fractionOf(...fraction) : fractionOf(fraction[1], fraction[0]);
}

function fractionOf(above, below) {
  if (below < 0n) [above, below] = [-above, -below];
  let [a, b] = [above < 0n ? -above : above, below];
  while (b) [a, b] = [b, a % b];
  [above, below] = [above / a, below / a];
  const written = below === 1n ? `${above}` : `${above}/${below}`;
  return { above, below, text: written.length > 24 ? `about ${Number(above) / Number(below)}` : written };
}

// Leave out shafts that only carry: dead ends go, and one between two others becomes a line with the product
// of its ratios. What drives, uses power, is set by a governor or is in contradiction stays.
function simplified(whole) {
  const kept = whole.shafts.map((shaft) => ({ ...shaft, edges: new Set(shaft.edges) }));
  const gone = new Set();
  const carries = (row) => !kept[row].movers.size && !kept[row].machines.size && !isGone(kept[row].first)
    && [...kept[row].edges].every((edge) => !edge.clash && !edge.governed && !edge.change);
  const waiting = kept.map((_, row) => row);
  let left = kept.length;
  while (waiting.length) {
    const row = waiting.pop(), edges = gone.has(row) ? [] : [...kept[row].edges];
    if (gone.has(row) || left <= 1 || edges.length > 2 || !carries(row)) continue;
    const others = edges.map((edge) => edge.from === row ? edge.to : edge.from);
    if (edges.length === 2 && (others[0] === others[1] || !edges.every((edge) => edge.ratio.above !== undefined))) continue;
    gone.add(row);
    left--;
    edges.forEach((edge, at) => kept[others[at]].edges.delete(edge));
    if (edges.length === 2) {
      const [first, second] = edges.map((edge) => edge.from === row ? [edge.ratio.below, edge.ratio.above] : [edge.ratio.above, edge.ratio.below]);
      const edge = { from: others[0], to: others[1], kind: -1, governed: false, ratio: fractionOf(first[0] * second[1], first[1] * second[0]), count: 1, clash: false, through: 1 + edges[0].through + edges[1].through };
      others.forEach((other) => kept[other].edges.add(edge));
    }
    waiting.push(...others);
  }
  return chooseBoxes(kept, gone);
}

function chooseBoxes(kept, gone) {
  let rows = kept.map((_, row) => row).filter((row) => !gone.has(row));
  const dropped = Math.max(0, rows.length - MOST_BOXES);
  if (dropped) rows = rows.sort((a, b) => kept[b].power - kept[a].power || a - b).slice(0, MOST_BOXES).sort((a, b) => a - b);
  const place = new Map(rows.map((row, at) => [row, at]));
  const edges = new Set(rows.flatMap((row) => [...kept[row].edges]).filter((edge) => place.has(edge.from) && place.has(edge.to)));
  return { shafts: rows.map((row) => kept[row]), edges: [...edges].map((edge) => ({ ...edge, from: place.get(edge.from), to: place.get(edge.to) })), dropped };
}
