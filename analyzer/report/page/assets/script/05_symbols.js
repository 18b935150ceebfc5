// Symbols of parts, drawn in a unit cell: (0, 0) its middle, 1 its side, the axis to the right unless it points
// at whoever looks. A far gear reaches into the ring of cells round its own.

const box = (paper, w, h) => paper.rect(-w / 2, -h / 2, w, h);
const ring = (paper, r) => { paper.moveTo(r, 0); paper.arc(0, 0, r, 0, 2 * Math.PI); };
const line = (paper, ...points) => points.forEach(([x, y], at) => at ? paper.lineTo(x, y) : paper.moveTo(x, y));

// For each symbol: what is filled and what is stroked over it, seen from the side and end on.
const SYMBOLS = {
  shaft: {
    side: [(p) => box(p, 1, 0.26), (p) => line(p, [-0.5, 0], [0.5, 0])],
    end: [(p) => ring(p, 0.2), (p) => { ring(p, 0.05); line(p, [-0.3, 0], [0.3, 0]); line(p, [0, -0.3], [0, 0.3]); }],
  },
  "near gear": {
    side: [(p) => box(p, 0.3, 0.96), (p) => { line(p, [-0.5, 0], [0.5, 0]); [-0.36, -0.24, -0.12, 0.12, 0.24, 0.36].forEach((y) => line(p, [-0.15, y], [0.15, y])); }],
    end: [(p) => teeth(p, 12, 0.42, 0.5), (p) => { ring(p, 0.34); ring(p, 0.08); }],
  },
  "far gear": {
    side: [(p) => box(p, 0.24, 0.96), (p) => { line(p, [-0.5, 0], [0.5, 0]); box(p, 0.12, 2.5); }],
    end: [(p) => teeth(p, 16, 0.44, 0.5), (p) => { ring(p, 0.3); ring(p, 0.08); ring(p, 1.25); }],
  },
  "bevel box": {
    side: [(p) => box(p, 0.78, 0.78), (p) => { line(p, [-0.39, -0.39], [0.39, 0.39]); line(p, [-0.39, 0.39], [0.39, -0.39]); line(p, [-0.5, 0], [0.5, 0]); }],
    end: [(p) => box(p, 0.78, 0.78), (p) => { line(p, [-0.39, -0.39], [0.39, 0.39]); line(p, [-0.39, 0.39], [0.39, -0.39]); ring(p, 0.14); }],
  },
  pulley: {
    side: [(p) => box(p, 0.34, 0.9), (p) => { line(p, [-0.5, 0], [0.5, 0]); line(p, [-0.06, -0.45], [-0.06, 0.45]); line(p, [0.06, -0.45], [0.06, 0.45]); }],
    end: [(p) => ring(p, 0.45), (p) => { ring(p, 0.36); ring(p, 0.09); }],
  },
  clutch: {
    side: [(p) => { p.rect(-0.3, -0.32, 0.22, 0.64); p.rect(0.08, -0.32, 0.22, 0.64); }, (p) => { line(p, [-0.5, 0], [-0.08, 0]); line(p, [0.08, 0], [0.5, 0]); }],
    end: [(p) => ring(p, 0.36), (p) => { line(p, [-0.36, 0], [0.36, 0]); ring(p, 0.12); }],
  },
  reverser: {
    side: [(p) => box(p, 0.66, 0.6), (p) => { line(p, [-0.5, 0], [-0.2, 0], [0.2, -0.2]); line(p, [0.5, 0], [0.2, 0], [-0.2, -0.2]); }],
    end: [(p) => box(p, 0.6, 0.6), (p) => { ring(p, 0.2); line(p, [-0.2, -0.2], [0.2, 0.2]); }],
  },
  governor: {
    side: [(p) => box(p, 0.5, 0.5), (p) => { line(p, [-0.5, 0], [0.5, 0]); line(p, [-0.3, -0.42], [0, 0], [0.3, -0.42]); ring2(p, -0.3, -0.42, 0.08); ring2(p, 0.3, -0.42, 0.08); }],
    end: [(p) => ring(p, 0.3), (p) => { line(p, [-0.42, 0], [0.42, 0]); ring2(p, -0.42, 0, 0.08); ring2(p, 0.42, 0, 0.08); }],
  },
  mover: {
    side: [(p) => ring(p, 0.46), (p) => { line(p, [-0.2, -0.28], [0.34, 0], [-0.2, 0.28], [-0.2, -0.28]); line(p, [-0.5, 0], [0.5, 0]); }],
    end: [(p) => ring(p, 0.46), (p) => { line(p, [-0.28, 0.2], [0, -0.34], [0.28, 0.2], [-0.28, 0.2]); ring(p, 0.08); }],
  },
  machine: {
    side: [(p) => box(p, 0.86, 0.86), (p) => { box(p, 0.6, 0.6); line(p, [-0.5, 0], [0.5, 0]); }],
    end: [(p) => box(p, 0.86, 0.86), (p) => { box(p, 0.6, 0.6); ring(p, 0.1); }],
  },
};

function ring2(paper, x, y, r) {
  paper.moveTo(x + r, y);
  paper.arc(x, y, r, 0, 2 * Math.PI);
}

function teeth(paper, many, inner, outer) {
  for (let tooth = 0; tooth < 2 * many; tooth++) {
    const r = tooth % 2 ? inner : outer, wide = Math.PI / many;
    for (const at of [tooth * wide - wide / 2, tooth * wide + wide / 2]) {
      const point = [r * Math.cos(at), r * Math.sin(at)];
      if (tooth === 0 && at < 0) paper.moveTo(...point);
      else paper.lineTo(...point);
    }
  }
  paper.closePath();
}

// Paths are made once for each symbol and lie; a canvas scales them.
const symbolPath = (() => {
  const made = new Map();
  return (symbol, lie) => {
    const key = `${symbol} ${lie}`;
    if (!made.has(key)) {
      const [fillPath, strokePath] = SYMBOLS[symbol][lie === "towards" ? "end" : "side"].map((trace) => {
        const plain = new Path2D();
        trace(plain);
        if (lie !== "down") return plain;
        const turned = new Path2D();
        turned.addPath(plain, new DOMMatrix([0, 1, -1, 0, 0, 0]));
        return turned;
      });
      made.set(key, { fillPath, strokePath });
    }
    return made.get(key);
  };
})();

// Colours as the style sheet has them at the moment, and hatchings: what a network does is told by both.
function readInks() {
  const style = getComputedStyle(document.documentElement);
  const get = (name) => style.getPropertyValue(`--${name}`).trim();
  const inks = Object.fromEntries(["paper", "sheet", "ink", "soft", "line", "grid", "chunk", "region", "accent", "turn", "rest", "over", "clash", "error", "warning", "note", "chosen"].map((name) => [name, get(name)]));
  inks.states = [
    { stroke: inks.turn, fill: get("turn-fill") },
    { stroke: inks.rest, fill: inks.sheet },
    { stroke: inks.over, fill: hatch(get("over-fill"), inks.over, false) },
    { stroke: inks.clash, fill: hatch(get("clash-fill"), inks.clash, true) },
  ];
  inks.ground = pixelOf(inks.sheet);
  inks.pixels = [inks.turn, inks.rest, inks.over, inks.clash].map(pixelOf);
  inks.levels = [null, inks.note, inks.warning, inks.error];
  return inks;
}

function hatch(ground, ink, crossed) {
  const tile = make("canvas", { width: 8, height: 8 }), paper = tile.getContext("2d");
  paper.fillStyle = ground;
  paper.fillRect(0, 0, 8, 8);
  paper.strokeStyle = ink;
  paper.beginPath();
  line(paper, [-2, 10], [10, -2]);
  line(paper, [-2, 2], [2, -2]);
  line(paper, [6, 10], [10, 6]);
  if (crossed) line(paper, [-2, -2], [10, 10]);
  paper.stroke();
  return paper.createPattern(tile, "repeat");
}

function pixelOf(colour) {
  const one = make("canvas", { width: 1, height: 1 }).getContext("2d", { willReadFrequently: true });
  one.fillStyle = colour;
  one.fillRect(0, 0, 1, 1);
  return new Uint32Array(one.getImageData(0, 0, 1, 1).data.buffer)[0];
}

// What hatching and colour a part is drawn with: its network's state, or at rest.
function lookState(part) {
  const state = stateOf(part);
  if (isGone(part)) return IDLE;
  if (state === TURNING && (parts.speed[part] < 0 || data.speeds[parts.speed[part]][0] === 0)) return IDLE;
  return state;
}
