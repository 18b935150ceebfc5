// Views: how the world's axes lie on the paper. Right, up and towards form a right-handed frame.

const VIEWS = {
  plan: { name: "Plan", seen: "from above", right: [0, 1], down: [2, 1], towards: [1, 1], depth: "Heights y" },
  south: { name: "Elevation", seen: "from the south", right: [0, 1], down: [1, -1], towards: [2, 1], depth: "Depths z" },
  east: { name: "Elevation", seen: "from the east", right: [2, -1], down: [1, -1], towards: [0, 1], depth: "Depths x" },
};

// The cell on the paper of a block's coordinate: it reaches from there to one more.
const cellOf = ([, sense], coordinate) => sense > 0 ? coordinate : -coordinate - 1;

function paperOf(view, place) {
  return [cellOf(view.right, place[view.right[0]]), cellOf(view.down, place[view.down[0]])];
}

// How a part's axis lies on the paper: along it to the right, down it, or towards whoever looks.
function lieOf(view, axis) {
  return axis === view.towards[0] ? "towards" : axis === view.right[0] ? "right" : "down";
}

// Which way the side that faces whoever looks moves on the paper, as [right, down]: a point at r from the
// axis moves with speed × axis × r, and r points at whoever looks.
function surfaceMove(view, axis, sign) {
  const [towards, sense] = view.towards;
  const third = 3 - axis - towards;
  const turn = sign * sense * ((axis + 1) % 3 === towards ? 1 : -1);
  return third === view.right[0] ? [turn * view.right[1], 0] : [0, turn * view.down[1]];
}

// What of a dimension or network is drawn, put in order so that a frame looks only at what is on the paper:
// by square of 16 × 16 cells, in each the farthest first. Only the nearest part of a cell is drawn.
class Layout {
  constructor(view, chosen, low, high) {
    this.view = view;
    const [depthAxis, depthSense] = view.towards;
    const depths = parts.xyz[depthAxis];
    let inside = chosen.filter((part) => depths[part] >= low && depths[part] <= high);
    inside = byDepth(inside, depths, depthSense);
    this.u = new Int32Array(parts.count);
    this.v = new Int32Array(parts.count);
    // By column, then by row: a number that held both could not hold every one exactly.
    this.columns = new Map();
    this.squares = [];
    this.box = null;
    const across = parts.xyz[view.right[0]], along = parts.xyz[view.down[0]];
    for (const part of inside) {
      const u = cellOf(view.right, across[part]), v = cellOf(view.down, along[part]);
      this.u[part] = u;
      this.v[part] = v;
      (this.squareAt(u >> 4, v >> 4) || this.addSquare(u >> 4, v >> 4)).members.push(part);
      this.box = this.box ? [Math.min(this.box[0], u), Math.min(this.box[1], v), Math.max(this.box[2], u), Math.max(this.box[3], v)] : [u, v, u, v];
    }
    this.count = inside.length;
    this.inside = new Uint8Array(parts.count);
    for (const part of inside) this.inside[part] = 1;
    for (const square of this.squares) this.findTops(square);
  }

  squareAt(u, v) {
    return this.columns.get(u)?.get(v);
  }

  addSquare(u, v) {
    const square = { u, v, members: [], tops: [], below: [] };
    if (!this.columns.has(u)) this.columns.set(u, new Map());
    this.columns.get(u).set(v, square);
    this.squares.push(square);
    return square;
  }

  // The box of all but the outermost twentieth on each side.
  middle() {
    if (!this.box) return null;
    const sorted = [this.u, this.v].map((cells) => cells.filter((_, part) => this.inside[part]).sort());
    const cut = Math.floor(this.count / 20), [us, vs] = sorted;
    return [us[cut], vs[cut], us[this.count - 1 - cut], vs[this.count - 1 - cut]];
  }

  findTops(square) {
    const seen = new Int16Array(256).fill(-1);
    for (let row = square.members.length - 1; row >= 0; row--) {
      const part = square.members[row], cell = (this.v[part] & 15) * 16 + (this.u[part] & 15);
      if (seen[cell] < 0) {
        seen[cell] = square.tops.length;
        square.tops.push(part);
        square.below.push(0);
      } else square.below[seen[cell]]++;
    }
  }

  // Squares that meet a rectangle of the paper, in a fixed order.
  *squaresIn([left, top, right, bottom]) {
    const [u0, v0, u1, v1] = [left >> 4, top >> 4, right >> 4, bottom >> 4];
    if ((u1 - u0 + 1) * (v1 - v0 + 1) > this.squares.length) {
      for (const square of this.squares) {
        if (square.u >= u0 && square.u <= u1 && square.v >= v0 && square.v <= v1) yield square;
      }
      return;
    }
    for (let v = v0; v <= v1; v++) {
      for (let u = u0; u <= u1; u++) {
        const square = this.squareAt(u, v);
        if (square) yield square;
      }
    }
  }

  // The parts of one cell, the nearest first.
  columnAt(u, v) {
    const square = this.squareAt(u >> 4, v >> 4);
    return square ? square.members.filter((part) => this.u[part] === u && this.v[part] === v).reverse() : [];
  }
}

function byDepth(chosen, depths, sense) {
  let low = Infinity, high = -Infinity;
  for (const part of chosen) {
    if (depths[part] < low) low = depths[part];
    if (depths[part] > high) high = depths[part];
  }
  const span = high - low + 1;
  if (!(span <= 1 << 20)) return chosen.slice().sort((a, b) => sense * (depths[a] - depths[b]) || a - b);
  const start = new Int32Array(span + 1), place = (part) => sense > 0 ? depths[part] - low : high - depths[part];
  for (const part of chosen) start[place(part) + 1]++;
  for (let depth = 0; depth < span; depth++) start[depth + 1] += start[depth];
  const ordered = new Int32Array(chosen.length);
  for (const part of chosen) ordered[start[place(part)]++] = part;
  return ordered;
}
