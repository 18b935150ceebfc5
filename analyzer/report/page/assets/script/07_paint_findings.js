// Findings on the drawing: shapes at their places, names where there is room, chains of witnesses.

function paintFindings(scene) {
  const here = findingsHere(scene).filter((finding) => !isMended(finding));
  const near = onPaper(scene);
  let chains = 0;
  for (const finding of here) {
    if (finding !== scene.finding && findings.length[finding] > 1 && scene.scale >= 3 && chains < 60 && chainOnPaper(scene, finding, near)) {
      paintChain(scene, finding, false);
      chains++;
    }
  }
  if (scene.finding >= 0 && findings.dimension[scene.finding] === scene.dimension) paintChosen(scene);
  paintMarks(scene, here, near);
  if (scene.part >= 0 && scene.layout.inside[scene.part]) paintFocus(scene, scene.part);
}

// The chosen findings of what is drawn, the gravest first; the same from frame to frame.
let drawn = {};

function findingsHere({ dimension, network }) {
  if (drawn.from !== findingList.chosen || drawn.dimension !== dimension || drawn.network !== network) {
    const here = findingList.chosen.filter((finding) => findings.dimension[finding] === dimension && (network < 0 || findings.network[finding] === network));
    drawn = { from: findingList.chosen, dimension, network, here: here.sort((a, b) => findings.level[b] - findings.level[a] || a - b) };
  }
  return drawn.here;
}

function chainOnPaper(scene, finding, near) {
  const { layout } = scene;
  for (let step = findings.start[finding]; step < findings.start[finding + 1]; step++) {
    const part = findings.steps[step];
    if (layout.inside[part] && layout.u[part] >= near[0] && layout.u[part] <= near[2] && layout.v[part] >= near[1] && layout.v[part] <= near[3]) return true;
  }
  return false;
}

const middleOf = (scene, spot) => {
  const [u, v] = paperOf(scene.view, placeOf(spot));
  return [toX(scene, u + 0.5), toY(scene, v + 0.5)];
};

// A witness: a white road with a line of beads on it, dashed in a loop, so that its shape alone tells it.
function paintChain(scene, finding, chosen) {
  const { paper, inks } = scene;
  const points = Array.from(findings.steps.subarray(findings.start[finding], findings.start[finding + 1]), (part) => middleOf(scene, part));
  if (findings.closed[finding]) points.push(points[0]);
  const corners = points.filter(([x, y], at) => at === 0 || at === points.length - 1 || !inLine(points[at - 1], [x, y], points[at + 1]));
  paper.lineJoin = paper.lineCap = "round";
  for (const [ink, wide, dash] of [[inks.sheet, chosen ? 8 : 5, []], [chosen ? inks.chosen : inks.levels[findings.level[finding]], chosen ? 4 : 2.2, findings.closed[finding] ? [9, 6] : [2, 5]]]) {
    paper.strokeStyle = ink;
    paper.lineWidth = wide;
    paper.setLineDash(dash);
    paper.beginPath();
    line(paper, ...corners);
    paper.stroke();
  }
  paper.setLineDash([]);
  paper.lineCap = "butt";
  if (!chosen || scene.scale < 9 || points.length > 60) return;
  paper.font = `600 11px ${scene.numberFont}`;
  paper.textAlign = "center";
  paper.textBaseline = "middle";
  points.slice(0, findings.length[finding]).forEach(([x, y], step) => {
    paper.beginPath();
    paper.arc(x, y, 8, 0, 2 * Math.PI);
    paper.fillStyle = inks.chosen;
    paper.fill();
    paper.fillStyle = inks.sheet;
    paper.fillText(step + 1, x, y + 0.5);
  });
}

const inLine = (a, b, c) => Math.abs((b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])) < 0.01 && (b[0] - a[0]) * (c[0] - b[0]) + (b[1] - a[1]) * (c[1] - b[1]) > 0;

function paintChosen(scene) {
  const { paper, inks, finding } = scene;
  if (findings.length[finding] > 1) paintChain(scene, finding, true);
  paper.strokeStyle = inks.chosen;
  paper.lineWidth = 2.5;
  const half = Math.max(7, scene.scale * 0.48);
  // The parts of a chain are shown by the chain.
  for (const spot of findings.length[finding] > 1 ? [] : [findings.at[finding], ...findings.also[finding]]) {
    if (spot == null || findings.at[finding] == null) continue;
    const [x, y] = middleOf(scene, spot);
    paper.strokeRect(x - half, y - half, 2 * half, 2 * half);
  }
}

// The chosen part: a cross of hairs and a circle.
function paintFocus(scene, part) {
  const { paper, inks } = scene;
  const [x, y] = middleOf(scene, part), r = Math.max(9, scene.scale * 0.7);
  for (const [ink, wide] of [[inks.sheet, 5], [inks.chosen, 2]]) {
    paper.strokeStyle = ink;
    paper.lineWidth = wide;
    paper.beginPath();
    paper.arc(x, y, r, 0, 2 * Math.PI);
    for (const [dx, dy] of [[1, 0], [-1, 0], [0, 1], [0, -1]]) line(paper, [x + dx * r, y + dy * r], [x + dx * (r + 10), y + dy * (r + 10)]);
    paper.stroke();
  }
}

// Marks: where several fall on one place the gravest is drawn; names are left out where they would overlap.
function paintMarks(scene, here, near) {
  const { paper } = scene;
  const taken = new Set(), named = [];
  const size = Math.min(11, Math.max(scene.scale < 2 ? 4.5 : 6, scene.scale * 0.3));
  const ordered = scene.finding >= 0 && here.includes(scene.finding) ? [scene.finding, ...here.filter((finding) => finding !== scene.finding)] : here;
  for (const finding of ordered) {
    const at = findings.at[finding];
    if (at == null) continue;
    const [u, v] = paperOf(scene.view, placeOf(at));
    if (u < near[0] || u > near[2] || v < near[1] || v > near[3]) continue;
    const x = toX(scene, u + 0.5) + 0.36 * scene.scale, y = toY(scene, v + 0.5) - 0.36 * scene.scale;
    const key = `${Math.round(x / (1.6 * size))} ${Math.round(y / (1.6 * size))}`;
    if (taken.has(key)) continue;
    taken.add(key);
    paintMark(scene, findings.level[finding], x, y, finding === scene.finding ? size * 1.4 : size);
    named.push([finding, x + size + 3, y]);
  }
  paper.font = `600 12px ${scene.labelFont}`;
  paper.textAlign = "left";
  paper.textBaseline = "middle";
  // Names keep clear of marks and of each other.
  const rows = new Map();
  const take = (row, from, to) => rows.set(row, [...(rows.get(row) || []), [from, to]]);
  for (const [, x, y] of named) take(Math.round(y / 15), x - 2 * size - 3, x - 4);
  for (const [finding, right, y] of named) {
    const name = findings.closed[finding] ? `${text(findings.rule[finding])}, ${text(findings.proof[finding])}` : text(findings.rule[finding]);
    const wide = paper.measureText(name).width, row = Math.round(y / 15);
    // At the right edge a name stands left of its mark.
    const x = right + wide < scene.width ? right : right - 2 * size - 6 - wide;
    const clash = [row - 1, row, row + 1].some((one) => (rows.get(one) || []).some(([from, to]) => x < to && x + wide > from));
    if (clash && finding !== scene.finding || named.length > 400) continue;
    take(row, x - 14, x + wide + 4);
    paper.fillStyle = scene.inks.levels[findings.level[finding]];
    labelText(paper, scene.inks, name, x, y);
  }
}

function paintMark({ paper, inks }, level, x, y, r) {
  paper.beginPath();
  if (level === 3) for (let corner = 0; corner < 8; corner++) paper[corner ? "lineTo" : "moveTo"](x + r * Math.cos((corner + 0.5) * Math.PI / 4), y + r * Math.sin((corner + 0.5) * Math.PI / 4));
  else if (level === 2) line(paper, [x, y - r], [x + r, y + 0.8 * r], [x - r, y + 0.8 * r]);
  else paper.arc(x, y, 0.85 * r, 0, 2 * Math.PI);
  paper.closePath();
  paper.lineWidth = 2.5;
  paper.strokeStyle = inks.sheet;
  paper.stroke();
  paper.fillStyle = inks.levels[level];
  paper.fill();
  paper.lineWidth = Math.max(1.4, r / 5);
  paper.beginPath();
  if (level === 3) { line(paper, [x - 0.4 * r, y - 0.4 * r], [x + 0.4 * r, y + 0.4 * r]); line(paper, [x - 0.4 * r, y + 0.4 * r], [x + 0.4 * r, y - 0.4 * r]); }
  else if (level === 2) { line(paper, [x, y - 0.35 * r], [x, y + 0.25 * r]); line(paper, [x, y + 0.5 * r], [x, y + 0.62 * r]); }
  else { line(paper, [x, y - 0.1 * r], [x, y + 0.5 * r]); line(paper, [x, y - 0.5 * r], [x, y - 0.38 * r]); }
  paper.stroke();
}
