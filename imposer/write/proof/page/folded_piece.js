// A piece on its way: its leaves, its folds, and where it lies as a whole.
class FoldedPiece {
  constructor(slot, sheet, part) {
    this.box = slot.box;
    this.number = slot.piece;
    this.signature = slot.signature;
    this.copy = slot.copy;
    this.sheet = sheet;
    this.part = part;
    this.turn = part.pieceTurn;
    const [x0, y0, x1, y1] = slot.box;
    const folds = sheet.front.folds;
    const inside = (at, low, high) => at > low + 0.5 && at < high - 0.5;
    const upright = folds.filter((f) => f[0] === f[2] && inside(f[0], x0, x1) && inside((f[1] + f[3]) / 2, y0, y1)).map((f) => f[0]);
    const level = folds.filter((f) => f[1] === f[3] && inside(f[1], y0, y1) && inside((f[0] + f[2]) / 2, x0, x1)).map((f) => f[1]);
    const [across, up] = part.pieceTurn % 180 ? [part.grid[1], part.grid[0]] : part.grid;
    this.xs = [x0, ...foldLines(upright, across - 1), x1];
    this.ys = [y0, ...foldLines(level, up - 1), y1];
    this.leaves = [];
    this.stacks = new Map();
    for (let column = 0; column + 1 < this.xs.length; column += 1) {
      for (let row = 0; row + 1 < this.ys.length; row += 1) {
        const box = [this.xs[column], this.ys[row], this.xs[column + 1], this.ys[row + 1]];
        // `laid` says for x and for y where the leaf's places have come to lie: sign × place + shift.
        const leaf = { box, cell: [column, row], laid: [[1, 0], [1, 0]], nested: 0 };
        this.leaves.push(leaf);
        this.stacks.set(`${column} ${row}`, [leaf]);
      }
    }
    this.low = [0, 0];
    this.high = [this.xs.length - 2, this.ys.length - 2];
    // How far the middle of the piece lies from where it was when flat: before any fold, and after each.
    this.middles = [[0, 0]];
    this.folds = this.number ? foldsOf(part).map((fold) => this.fold(fold)) : [];
    // From the top of the folded piece to its bottom.
    this.stack = [...this.stacks.values()][0];
  }

  // One fold of the whole stack: which leaves turn about which line, and at what level every leaf then lies. Places are
  // counted as the piece lies now, which may reach beyond where the flat piece lay.
  fold([moving, cells, way]) {
    const side = turnedSide(moving, this.turn);
    const over = way === "over";
    const along = side === "left" || side === "right" ? 0 : 1;
    const fromLow = side === "left" || side === "bottom";
    const crease = fromLow ? this.low[along] + cells : this.high[along] - cells + 1;
    const moves = (place) => (fromLow ? place[along] < crease : place[along] >= crease);
    const line = this.lineOf(crease, along);
    const movers = new Map();
    const stacks = new Map();
    const entries = [...this.stacks].map(([key, stack]) => [key.split(" ").map(Number), stack]);
    entries.filter(([place]) => !moves(place)).forEach(([place, stack]) => stacks.set(place.join(" "), stack));
    entries.filter(([place]) => moves(place)).forEach(([place, stack]) => {
      stack.forEach((leaf) => {
        const [sign, shift] = leaf.laid[along];
        leaf.laid[along] = [-sign, 2 * line - shift];
        movers.set(leaf, true);
      });
      const target = place.map((at, i) => (i === along ? 2 * crease - 1 - at : at)).join(" ");
      const rest = stacks.get(target) ?? [];
      stacks.set(target, over ? [...[...stack].reverse(), ...rest] : [...rest, ...[...stack].reverse()]);
    });
    this.stacks = stacks;
    const places = [...stacks.keys()].map((key) => Number(key.split(" ")[along]));
    this.low[along] = Math.min(...places);
    this.high[along] = Math.max(...places);
    this.middles.push(this.extents().map(([low, high], i) => (low + high - this.box[i] - this.box[i + 2]) / 2));
    const levels = new Map();
    const highest = Math.max(...[...stacks.values()].map((stack) => stack.length));
    stacks.forEach((stack) => stack.forEach((leaf, i) => levels.set(leaf, highest - 1 - i)));
    return { side, over, movers, levels, line, along };
  }

  // Where a crease lies now, mm on the sheet: at the border of two leaves that hang together across it. Leaves are not
  // all of one width, so it cannot be told from the flat piece once anything is folded.
  lineOf(crease, along) {
    const at = (place) => [...this.stacks].filter(([key]) => Number(key.split(" ")[along]) === place).flatMap(([, stack]) => stack);
    const beyond = at(crease);
    for (const leaf of at(crease - 1)) {
      const next = beyond.find(({ cell }) => Math.abs(cell[along] - leaf.cell[along]) === 1 && cell[1 - along] === leaf.cell[1 - along]);
      if (next) {
        const [sign, shift] = leaf.laid[along];
        return sign * leaf.box[next.cell[along] > leaf.cell[along] ? along + 2 : along] + shift;
      }
    }
    throw new Error("a fold where no two leaves hang together");
  }

  // Where the piece lies as a whole: apart after the cut, upright and in a row for the folds, in the middle at the end.
  where(steps, time, mm, height) {
    const part = (kind) => {
      const index = steps.findIndex((step) => step.kind === kind);
      return index < 0 ? 0 : ease(Math.min(Math.max(time - index, 0), 1));
    };
    const [cut, upright, nest] = ["cut", "upright", "nest"].map(part);
    const [x, y] = [((this.box[0] + this.box[2]) / 2) * mm, (height - (this.box[1] + this.box[3]) / 2) * mm];
    const middle = [(this.sheet.size[0] / 2) * mm, (height / 2) * mm];
    const apart = [x + (x - middle[0]) * 0.12 * cut, y + (y - middle[1]) * 0.12 * cut];
    const at = [0, 1].map((i) => apart[i] + (this.row[i] * mm + middle[i] - apart[i]) * upright);
    const angle = (this.turn === 270 ? -90 : this.turn) * upright;
    const drift = this.drift(steps, time, mm, (angle * Math.PI) / 180);
    const end = [0, 1].map((i) => at[i] + (middle[i] + this.pile[i] * mm - at[i]) * nest - drift[i]);
    return new DOMMatrix().translate(end[0], end[1]).rotate(0, 0, angle).translate(-x, -y);
  }

  // From where the piece's middle would lie to where folding has taken it, on the screen.
  drift(steps, time, mm, angle) {
    let [x, y] = [0, 0];
    steps.forEach((step, index) => {
      if (step.kind !== "fold" || !this.folds.length) return;
      const done = ease(Math.min(Math.max(time - index, 0), 1));
      const [before, after] = [this.middles[step.fold], this.middles[step.fold + 1]];
      x += (after[0] - before[0]) * done * mm;
      y -= (after[1] - before[1]) * done * mm;
    });
    return [x * Math.cos(angle) - y * Math.sin(angle), x * Math.sin(angle) + y * Math.cos(angle)];
  }

  // From where to where the leaves reach, mm on the sheet: [low, high] across and up.
  extents() {
    return [0, 1].map((along) => {
      const edges = this.leaves.flatMap(({ box, laid }) => {
        const [sign, shift] = laid[along];
        return [sign * box[along] + shift, sign * box[along + 2] + shift];
      });
      return [Math.min(...edges), Math.max(...edges)];
    });
  }

  // Width and height of the piece as it stands upright, as far as it is folded.
  size() {
    const [width, height] = this.extents().map(([low, high]) => high - low);
    return this.turn % 180 ? [height, width] : [width, height];
  }

  flatSize() {
    const [width, height] = [this.box[2] - this.box[0], this.box[3] - this.box[1]];
    return this.turn % 180 ? [height, width] : [width, height];
  }
}

// As many lines as a piece is folded along. Where it has more, they stand for one fold, as on the two edges of a cover's
// spine, or for none, as scores do.
function foldLines(lines, wanted) {
  const places = [...new Set(lines)].sort((a, b) => a - b);
  if (places.length <= wanted) return places;
  return wanted ? [places.reduce((sum, place) => sum + place, 0) / places.length] : [];
}

// The folds that are shown. A strip that is joined from several pieces is folded only when it is whole.
function foldsOf(part) {
  return part.joined ? [] : part.folds;
}

// A side of the upright piece as it lies on the sheet, where the piece is turned counter-clockwise.
function turnedSide(side, turn) {
  const around = ["left", "bottom", "right", "top"];
  return around[(around.indexOf(side) + turn / 90) % 4];
}
