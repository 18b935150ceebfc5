// The list of findings: chosen, ordered, opened.

const FINDINGS_A_TIME = 40;
const findingList = { chosen: [], shown: 0 };

function prepareFilters() {
  const levels = document.querySelector("#filters .levels");
  for (const level of [3, 2, 1]) {
    const many = findings.level.filter((one) => one === level).length;
    levels.append(make("label", {}, make("input", { type: "checkbox", value: level, checked: true }), levelMark(level), `${LEVELS[level]} (${many.toLocaleString("en")})`));
  }
  const rules = [...new Set(findings.rule.map(text))].sort();
  const places = [...new Set(findings.where.map(text))].sort();
  byId("by-rule").append(make("option", { value: "" }, "any"), ...rules.map((rule) => make("option", { value: rule }, rule)));
  byId("by-dimension").append(make("option", { value: "*" }, "any"), ...places.map((name) => make("option", { value: name }, name || "the save as a whole")));
  byId("filters").addEventListener("input", chooseFindings);
  byId("filters").addEventListener("submit", (event) => event.preventDefault());
  byId("filters").addEventListener("reset", () => setTimeout(chooseFindings));
  byId("by-network").addEventListener("focus", () => {
    const listed = byId("network-ids");
    if (listed.childElementCount) return;
    const found = [...new Set(findings.network)].filter((network) => network >= 0).slice(0, 500);
    listed.append(...found.map((network) => make("option", { value: networkId(network) })));
  }, { once: true });
  byId("more-findings").addEventListener("click", () => showFindings(findingList.shown + FINDINGS_A_TIME));
}

// What a search for words looks at: made once, when it is first asked for.
function searchable(finding) {
  const cache = findingList.words ||= [];
  if (cache[finding] == null) {
    const spots = [findings.at[finding], ...findings.also[finding]].filter((spot) => spot != null);
    const steps = Array.from(findings.steps.subarray(findings.start[finding], findings.start[finding + 1]));
    const told = [...spots, ...steps].map((spot) => `${typeof spot === "number" ? blockOf(spot) : ""} ${placeText(spot)}`);
    const network = findings.network[finding];
    cache[finding] = [text(findings.rule[finding]), text(findings.message[finding]), text(findings.next[finding]), text(findings.where[finding]),
      network < 0 ? "" : networkId(network), findings.fingerprint[finding], ...told].join("\n").toLowerCase();
  }
  return cache[finding];
}

function chooseFindings() {
  const levels = new Set([...document.querySelectorAll("#filters .levels input:checked")].map((box) => Number(box.value)));
  const rule = byId("by-rule").value, dimension = byId("by-dimension").value;
  const network = byId("by-network").value.trim().toLowerCase();
  const words = byId("by-text").value.toLowerCase().split(/\s+/).filter(Boolean);
  const chosen = [];
  for (let one = 0; one < findings.count; one++) {
    if (!levels.has(findings.level[one]) || (rule && text(findings.rule[one]) !== rule)) continue;
    if (dimension !== "*" && text(findings.where[one]) !== dimension) continue;
    if (network && !(findings.network[one] >= 0 && networkId(findings.network[one]).toLowerCase().includes(network))) continue;
    if (words.length && !words.every((word) => searchable(one).includes(word))) continue;
    chosen.push(one);
  }
  findingList.chosen = chosen.sort(ORDERS[byId("order").value]);
  const all = chosen.length === findings.count;
  byId("found").textContent = findings.count === 0 ? "There is no finding." : all ? `All ${count(chosen.length, "finding")}.` : `${chosen.length.toLocaleString("en")} of ${count(findings.count, "finding")}.`;
  byId("finding-list").replaceChildren();
  findingList.shown = 0;
  showFindings(FINDINGS_A_TIME);
  board.redraw();
}

const LAST = [Infinity, Infinity, Infinity];
const comparePlaces = (a, b) => {
  const [p, q] = [a, b].map((one) => findings.at[one] == null ? LAST : placeOf(findings.at[one]));
  return p[0] - q[0] || p[1] - q[1] || p[2] - q[2] || 0;
};
const ORDERS = {
  level: (a, b) => findings.level[b] - findings.level[a] || a - b,
  rule: (a, b) => text(findings.rule[a]).localeCompare(text(findings.rule[b]), "en") || a - b,
  network: (a, b) => findings.network[a] - findings.network[b] || a - b,
  place: (a, b) => findings.dimension[a] - findings.dimension[b] || comparePlaces(a, b) || a - b,
  count: (a, b) => findings.places[b] - findings.places[a] || a - b,
};

function showFindings(upTo) {
  const until = Math.min(upTo, findingList.chosen.length);
  byId("finding-list").append(...findingList.chosen.slice(findingList.shown, until).map(findingItem));
  findingList.shown = until;
  const left = findingList.chosen.length - until;
  byId("more-findings").hidden = left <= 0;
  byId("more-findings").textContent = `Show ${Math.min(left, FINDINGS_A_TIME)} more of ${left.toLocaleString("en")}`;
}

function findingItem(finding) {
  const at = findings.at[finding], network = findings.network[finding];
  const where = [text(findings.where[finding]) || "the save as a whole"];
  if (at != null) where.unshift(`${typeof at === "number" ? `${blockOf(at)} at ` : "at "}${placeText(at)} in`);
  const certain = text(findings.certain[finding]);
  const summary = make("summary", {},
    levelMark(findings.level[finding]),
    make("span", { class: "what" }, text(findings.rule[finding]), make("em", {}, certain === "yes" ? "" : `, ${certain}`)),
    make("span", { class: "says" }, text(findings.message[finding])),
    make("span", { class: "where" }, where.join(" ")));
  const details = make("details", { "data-finding": finding }, summary);
  details.addEventListener("toggle", () => {
    if (details.open && details.childElementCount === 1) details.append(insideOf(finding, network));
  });
  return make("li", { id: `f-${findings.fingerprint[finding]}` }, details);
}

function insideOf(finding, network) {
  const list = make("dl", {});
  const add = (term, ...told) => list.append(make("dt", {}, term), make("dd", {}, ...told));
  const at = findings.at[finding], dimension = findings.dimension[finding];
  if (at != null) {
    const line = teleportLine(dimension, placeText(at));
    add("where", `${typeof at === "number" ? `${blockOf(at)} at ` : ""}${placeText(at)}`, ...(line ? [make("br"), copyButton(line)] : []));
  }
  add("do", text(findings.next[finding]), ...(findings.command[finding] < 0 ? [] : [make("br"), copyButton(text(findings.command[finding]))]));
  if (changesOf(finding).length) add("mend", remedyList(finding));
  if (findings.length[finding]) add("proof", text(findings.proof[finding]), chainList(finding));
  if (findings.also[finding].length) add(at == null ? "chunks" : "also", alsoList(finding, at == null));
  if (network >= 0) add("network", `${networkName(network)}`);
  const links = [];
  if (at != null && dimension >= 0) links.push(make("a", { href: "#drawing", onclick: () => board.showFinding(finding) }, "Show it on the drawing"));
  if (network >= 0) links.push(make("a", { href: "#drawing", onclick: () => board.showPower(network) }, "Power diagram"));
  if (links.length) add("see", make("span", { class: "row onboard" }, ...links));
  return make("div", { class: "inside" }, list);
}

const MOST_STEPS = 40;

function chainList(finding) {
  const from = findings.start[finding], length = findings.length[finding];
  const items = [];
  for (let step = 0; step < length; step++) {
    if (length > MOST_STEPS && step === MOST_STEPS / 2) {
      step = length - MOST_STEPS / 2;
      items.push(make("li", { class: "turn" }, `… ${count(length - MOST_STEPS, "more part")} …`));
    }
    const part = findings.steps[from + step], turns = text(findings.turns[from + step]);
    items.push(make("li", {}, `${step + 1}. `, partButton(part), ` ${blockOf(part)}`));
    if (turns) items.push(make("li", { class: "turn" }, `↓ ${turnsText(turns)}`));
  }
  if (findings.closed[finding]) items.push(make("li", { class: "turn" }, "↺ and so on to the first"));
  return make("ol", { class: "chain" }, ...items);
}

function turnsText(turns) {
  if (turns.startsWith("sets ")) return `${turns} of the next`;
  const other = turns.startsWith("-"), times = turns.replace("-", "");
  return `turns the next ${times === "1" ? "as fast" : `${times} times as fast`}${other ? ", the other way" : ""}`;
}

const partButton = (part) => make("button", { type: "button", title: "Show it on the drawing", onclick: () => { board.showPart(part); goTo("drawing"); } }, placeText(part));

function alsoList(finding, chunks) {
  const dimension = findings.dimension[finding];
  const told = findings.also[finding].map((spot) => {
    if (!chunks) return typeof spot === "number" ? partButton(spot) : make("span", { class: "num" }, placeText(spot));
    const [x, , z] = placeOf(spot), line = teleportLine(dimension, `${x} ~ ${z}`);
    return make("span", {}, `${x >> 4} ${z >> 4} `, line ? copyButton(line) : null);
  });
  const left = findings.places[finding] - told.length - (chunks ? 0 : 1);
  if (left > 0) told.push(make("span", {}, `and ${left.toLocaleString("en")} more`));
  return make("span", { class: "row" }, ...told);
}

function goTo(id) {
  const section = byId(id);
  section.scrollIntoView();
  section.focus({ preventScroll: true });
}
