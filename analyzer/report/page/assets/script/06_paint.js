// Painting one frame: grid, parts, arrows and numbers, findings. Each looks only at what is on the paper.

const RULER = { left: 46, top: 22 };
const PIXELS_BELOW = 7, ARROWS_FROM = 20, NUMBERS_FROM = 34;

// What a frame needs to know: the paper, its inks, the layout, and where on the world's paper it looks.
// scene = { paper, inks, layout, view, scale, left, top, width, height, density }

const toX = (scene, u) => (u - scene.left) * scene.scale;
const toY = (scene, v) => (v - scene.top) * scene.scale;
const onPaper = (scene) => [Math.floor(scene.left) - 1, Math.floor(scene.top) - 1, Math.ceil(scene.left + scene.width / scene.scale), Math.ceil(scene.top + scene.height / scene.scale)];

function paintScene(scene) {
  const { paper, inks } = scene;
  paper.setTransform(scene.density, 0, 0, scene.density, 0, 0);
  paper.fillStyle = inks.sheet;
  paper.fillRect(0, 0, scene.width, scene.height);
  if (scene.scale < PIXELS_BELOW) paintPixels(scene);
  paintGrid(scene);
  if (scene.scale >= PIXELS_BELOW) paintParts(scene);
  paintLinks(scene);
  paintFindings(scene);
  paintChange(scene);
  paintRulers(scene);
}

// Far away a part is a square of one colour, written straight into the picture.
function paintPixels(scene) {
  const { paper, layout, density } = scene;
  const w = Math.round(scene.width * density), h = Math.round(scene.height * density);
  const image = pictureOf(paper, w, h), pixels = new Uint32Array(image.data.buffer);
  pixels.fill(scene.inks.ground);
  const step = scene.scale * density, side = Math.max(density > 1 ? 3 : 2, Math.round(step * 0.82));
  for (const square of layout.squaresIn(onPaper(scene))) {
    for (const part of square.tops) {
      const x = Math.round((layout.u[part] - scene.left) * step), y = Math.round((layout.v[part] - scene.top) * step);
      const colour = scene.inks.pixels[scene.states[part]];
      const x0 = Math.max(0, x), x1 = Math.min(w, x + side), y1 = Math.min(h, y + side);
      if (x0 >= x1) continue;
      for (let row = Math.max(0, y); row < y1; row++) {
        // An idle part is hollow where there is room for it.
        if (side > 3 && scene.states[part] === IDLE && row > y && row < y + side - 1) {
          if (x >= 0) pixels[row * w + x] = colour;
          if (x + side - 1 < w) pixels[row * w + x + side - 1] = colour;
        } else for (let at = row * w + x0; at < row * w + x1; at++) pixels[at] = colour;
      }
    }
  }
  paper.putImageData(image, 0, 0);
}

// One picture serves every frame of the same size.
let picture = null;
const pictureOf = (paper, w, h) => picture && picture.width === w && picture.height === h ? picture : (picture = paper.createImageData(w, h));

function gridStep(scene) {
  return [1, 2, 4, 8, 16, 32, 64, 128, 256, 512, 1024, 2048, 4096, 8192, 16384, 65536, 262144, 1048576, 4194304].find((step) => step * scene.scale >= 58) || 16777216;
}

function paintGrid(scene) {
  const { paper, inks } = scene;
  const fine = Math.max(1, gridStep(scene) / 4);
  strokeGrid(scene, fine, inks.grid, 1);
  // Chunk lines; they stand only where there are chunks: not along the height.
  if (16 * scene.scale >= 20) strokeGrid(scene, 16, inks.chunk, 1, true);
  strokeGrid(scene, 512, inks.region, 1, true);
  paper.setLineDash([]);
}

function strokeGrid(scene, step, ink, wide, chunks = false) {
  if (step * scene.scale < 6) return;
  const { paper, view } = scene;
  paper.strokeStyle = ink;
  paper.lineWidth = wide;
  paper.beginPath();
  if (!chunks || view.right[0] !== 1) {
    for (let u = Math.ceil(scene.left / step) * step; toX(scene, u) < scene.width; u += step) line(paper, [Math.round(toX(scene, u)) + 0.5, 0], [Math.round(toX(scene, u)) + 0.5, scene.height]);
  }
  if (!chunks || view.down[0] !== 1) {
    for (let v = Math.ceil(scene.top / step) * step; toY(scene, v) < scene.height; v += step) line(paper, [0, Math.round(toY(scene, v)) + 0.5], [scene.width, Math.round(toY(scene, v)) + 0.5]);
  }
  paper.stroke();
}

// The scales along two edges, with coordinates of blocks.
function paintRulers(scene) {
  const { paper, inks, view } = scene;
  const step = gridStep(scene);
  paper.fillStyle = inks.sheet;
  paper.fillRect(0, 0, scene.width, RULER.top);
  paper.fillRect(0, 0, RULER.left, scene.height);
  paper.strokeStyle = inks.ink;
  paper.lineWidth = 1;
  paper.beginPath();
  line(paper, [RULER.left + 0.5, scene.height], [RULER.left + 0.5, RULER.top + 0.5], [scene.width, RULER.top + 0.5]);
  paper.font = `11px ${scene.numberFont}`;
  paper.fillStyle = inks.ink;
  paper.textBaseline = "middle";
  paper.textAlign = "center";
  // Single blocks are told in the middle of their cell, wider steps on the line at which their block begins.
  const single = step === 1, half = single ? 0.5 : 0;
  for (let u = Math.ceil(scene.left / step) * step; toX(scene, u) < scene.width; u += step) {
    const x = toX(scene, u + half);
    if (x < RULER.left + 14) continue;
    line(paper, [x, RULER.top - 4], [x, RULER.top]);
    paper.fillText(worldOf(view.right, u, single), x, RULER.top / 2 - 1);
  }
  paper.textAlign = "right";
  for (let v = Math.ceil(scene.top / step) * step; toY(scene, v) < scene.height; v += step) {
    const y = toY(scene, v + half);
    if (y < RULER.top + 8) continue;
    line(paper, [RULER.left - 4, y], [RULER.left, y]);
    paper.fillText(worldOf(view.down, v, single), RULER.left - 6, y);
  }
  paper.stroke();
  paper.textAlign = "center";
  paper.font = `600 11px ${scene.labelFont}`;
  paper.fillText(`${AXES[view.right[0]]} →  ${AXES[view.down[0]]} ${view.down[1] > 0 ? "↓" : "↑"}`, RULER.left / 2, RULER.top / 2 - 1);
}

// The block of a cell, or the coordinate of a line between cells; seen against an axis both run the other way.
const worldOf = ([, sense], cell, single) => String(sense > 0 ? cell : single ? -cell - 1 : 0 - cell);

function paintParts(scene) {
  const { paper, layout, view, scale, inks, density } = scene;
  const arrows = [];
  // Hatching stays as fine on a large part as on a small one.
  for (const { fill: ground } of inks.states) if (ground.setTransform) ground.setTransform(new DOMMatrix([1 / scale, 0, 0, 1 / scale, 0, 0]));
  paper.lineJoin = "round";
  for (const square of layout.squaresIn(onPaper(scene))) {
    square.tops.forEach((part, row) => {
      const x = toX(scene, layout.u[part] + 0.5), y = toY(scene, layout.v[part] + 0.5);
      if (x < -2 * scale || y < -2 * scale || x > scene.width + 2 * scale || y > scene.height + 2 * scale) return;
      const state = inks.states[scene.states[part]], lie = lieOf(view, parts.axis[part]);
      const { fillPath, strokePath } = symbolPath(looks[parts.look[part]].symbol, lie);
      paper.setTransform(density * scale, 0, 0, density * scale, density * x, density * y);
      paper.fillStyle = scale < 12 ? state.stroke : state.fill;
      paper.strokeStyle = state.stroke;
      paper.fill(fillPath);
      if (scale >= 12) {
        paper.lineWidth = (looks[parts.look[part]].role === "transmission" ? 1 : 1.8) / scale;
        paper.stroke(fillPath);
        paper.lineWidth = 0.8 / scale;
        paper.stroke(strokePath);
      }
      if (scale >= ARROWS_FROM) arrows.push([part, x, y, lie, square.below[row]]);
    });
  }
  paper.setTransform(density, 0, 0, density, 0, 0);
  for (const arrow of arrows) paintArrow(scene, ...arrow);
}

// The arrow shows which way the side that faces whoever looks moves; on an end it goes round.
function paintArrow(scene, part, x, y, lie, below) {
  const { paper, inks, scale, view } = scene;
  const index = parts.speed[part], speed = index < 0 ? null : data.speeds[index];
  const sign = speed ? Math.sign(speed[0]) : 0;
  paper.strokeStyle = paper.fillStyle = inks.ink;
  paper.lineWidth = Math.min(2, scale / 20);
  if (sign && scene.states[part] !== CONFLICTING) {
    // Where there is a number below it an arrow makes room for it.
    const [middle, reach] = scale < NUMBERS_FROM ? [y, 0.36 * scale] : [y - 0.1 * scale, 0.29 * scale];
    paper.beginPath();
    if (lie === "towards") roundArrow(paper, x, middle, 0.26 * scale, sign * view.towards[1] > 0);
    else straightArrow(paper, x, middle, surfaceMove(view, parts.axis[part], sign), reach);
    paper.stroke();
  }
  if (scale < NUMBERS_FROM) return;
  const size = Math.min(13, Math.max(9, scale / 4.2));
  paper.font = `${size}px ` + scene.numberFont;
  paper.textAlign = "center";
  paper.textBaseline = "alphabetic";
  const told = speed ? speed[1] : "–";
  const short = told.length * size * 0.6 > scale * 0.98 && speed && speed[0] != null ? Number(speed[0].toPrecision(3)).toString() : told;
  labelText(paper, inks, short, x, y + 0.49 * scale);
  if (below && scale >= 46) {
    paper.textAlign = "right";
    labelText(paper, inks, `+${below}`, x + 0.48 * scale, y - 0.34 * scale);
  }
}

function labelText(paper, inks, told, x, y) {
  paper.strokeStyle = inks.sheet;
  paper.lineWidth = 3;
  paper.strokeText(told, x, y);
  paper.fillText(told, x, y);
}

function straightArrow(paper, x, y, [right, down], reach) {
  const tip = [x + right * reach, y + down * reach], head = Math.max(3.5, reach * 0.42);
  line(paper, [x - right * reach, y - down * reach], tip);
  line(paper, [tip[0] - head * right - head * 0.6 * down, tip[1] - head * down - head * 0.6 * right], tip,
    [tip[0] - head * right + head * 0.6 * down, tip[1] - head * down + head * 0.6 * right]);
}

function roundArrow(paper, x, y, r, counterclockwise) {
  // On the paper angles grow clockwise, since y runs down.
  const from = counterclockwise ? -0.2 * Math.PI : -0.8 * Math.PI, to = counterclockwise ? -1.7 * Math.PI : 0.7 * Math.PI;
  paper.moveTo(x + r * Math.cos(from), y + r * Math.sin(from));
  paper.arc(x, y, r, from, to, counterclockwise);
  const tip = [x + r * Math.cos(to), y + r * Math.sin(to)], turn = counterclockwise ? -1 : 1;
  const way = [-Math.sin(to) * turn, Math.cos(to) * turn], head = Math.max(3, r * 0.45);
  line(paper, [tip[0] - head * (way[0] + 0.6 * way[1]), tip[1] - head * (way[1] - 0.6 * way[0])], tip, [tip[0] - head * (way[0] - 0.6 * way[1]), tip[1] - head * (way[1] + 0.6 * way[0])]);
}

// Belts and chains as lines between their wheels; meshes as a double stroke across the place where they meet.
function paintLinks(scene) {
  const { paper, layout, inks } = scene;
  if (scene.scale < 1.5) return;
  const near = onPaper(scene), meshes = scene.scale >= 14;
  const seen = (part) => layout.inside[part] && layout.u[part] >= near[0] && layout.u[part] <= near[2] && layout.v[part] >= near[1] && layout.v[part] <= near[3];
  for (const [kind, wide, dash] of [[LINK, 1.6, [7, 3]], [MESH, 1.4, []]]) {
    if (kind === MESH && !meshes) continue;
    paper.strokeStyle = inks.ink;
    paper.lineWidth = wide;
    paper.setLineDash(dash);
    paper.beginPath();
    for (const row of kind === LINK ? linkRows : meshRows) {
      const a = couplings.a[row], b = couplings.b[row];
      if (!seen(a) && !(kind === LINK && seen(b)) || !layout.inside[a] || !layout.inside[b]) continue;
      const from = [toX(scene, layout.u[a] + 0.5), toY(scene, layout.v[a] + 0.5)], to = [toX(scene, layout.u[b] + 0.5), toY(scene, layout.v[b] + 0.5)];
      if (kind === LINK) line(paper, from, to);
      else meshStroke(paper, from, to, scene.scale);
    }
    paper.stroke();
  }
  paper.setLineDash([]);
}

const linkRows = [], meshRows = [];
couplings.kind.forEach((kind, row) => { if (kind === LINK) linkRows.push(row); else if (kind !== SHAFT) meshRows.push(row); });

function meshStroke(paper, from, to, scale) {
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]], far = Math.hypot(dx, dy);
  if (far < 1) return;
  const [x, y] = [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2], [ux, uy] = [dx / far, dy / far];
  for (const off of [-2, 2]) {
    line(paper, [x + off * ux - 0.16 * scale * uy, y + off * uy + 0.16 * scale * ux], [x + off * ux + 0.16 * scale * uy, y + off * uy - 0.16 * scale * ux]);
  }
}
