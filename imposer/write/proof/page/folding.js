// A sheet cut into its pieces, every piece folded crease by crease, the folded pieces nested: leaves of paper in three
// dimensions, at any moment between the flat sheet and the booklet. Places are mm on the front of the sheet, y up.

// Space drawn between the leaves of a stack, mm; paper is thinner, but then nothing would be seen.
const LEAF_GAP = 0.7;

class FoldingBench {
  constructor(stage, box) {
    this.stage = stage;
    this.box = box;
    this.plane = element("div", { className: "plane" });
    this.told = element("p", { className: "step", "aria-live": "polite" });
    this.slider = element("input", {
      type: "range", min: 0, step: 0.01, value: 0, "aria-label": "From sheet to booklet", id: "moment",
      oninput: () => { this.stop(); this.set(Number(this.slider.value)); },
    });
    this.player = button("Play", () => (this.playing ? this.stop() : this.play()), { id: "play", className: "main" });
    const step = (by) => () => this.glide(Math.min(Math.max(Math.round(this.time) + by, 0), this.steps.length));
    box.append(element("div", { className: "space" }, this.plane), this.told, element("div", { className: "row playing" },
      this.player, button("‹ Step", step(-1)), this.slider, button("Step ›", step(1))));
    new ResizeObserver(() => this.place()).observe(box);
  }

  // Shows a sheet as everything is chosen now; if more is chosen while its picture is made, that comes next.
  async show(sheet) {
    this.wanted = sheet;
    if (this.isPainting) return;
    this.isPainting = true;
    try {
      while (this.key !== pictureKey(this.wanted)) await this.paint(this.wanted);
    } finally {
      this.isPainting = false;
    }
  }

  async paint(sheet) {
    this.key = pictureKey(sheet);
    if (sheet !== this.sheet) this.stop();
    const index = job.sheets.indexOf(sheet);
    const perMm = 1200 / Math.max(...sheet.size);
    const urls = [];
    const scenes = [sheetScene(index, "front", 0), sheetScene(index, "back", 0)];
    // What a slit sheet becomes is no stack of leaves: its cover is shown instead.
    if (job.parts[sheet.part].slit) scenes.push(bookletScene(0));
    for (const scene of scenes) {
      const canvas = await this.stage.canvasOf(scene, perMm);
      if (state.warnSolids) frameSolids(canvas, scene, perMm);
      const url = URL.createObjectURL(await new Promise((done) => canvas.toBlob(done)));
      urls.push(url);
      // Else leaves would be bare until it is unpacked.
      await element("img", { src: url }).decode();
    }
    (this.urls ?? []).forEach((url) => URL.revokeObjectURL(url));
    this.urls = urls;
    this.build(sheet, sheet === this.sheet ? this.time : 0);
  }

  build(sheet, time) {
    this.sheet = sheet;
    const part = job.parts[sheet.part];
    this.pieces = sheet.pieces.map((slot) => new FoldedPiece(slot, sheet, part));
    this.steps = bookletSteps(sheet, part, this.pieces);
    this.farther = arrangeNests(this.pieces);
    this.waste = element("div", { className: "waste" });
    this.waste.style.backgroundImage = `url(${this.urls[0]})`;
    this.finished = element("div", { className: "finished", hidden: !part.slit });
    if (part.slit) {
      const [width, height] = pageSize(pageByNumber.get(job.openings[0].find((page) => page !== null)));
      this.finished.style.backgroundImage = `url(${this.urls[2]})`;
      Object.assign(this.finished.style, { width: `calc(${width} * var(--mm))`, height: `calc(${height} * var(--mm))` });
    }
    this.plane.replaceChildren(this.finished, this.waste, ...this.pieces.flatMap((piece) => piece.leaves.map((leaf) => this.leafElement(leaf))));
    this.slider.max = this.steps.length;
    this.time = time;
    this.place();
  }

  leafElement(leaf) {
    const [width, height] = this.sheet.size;
    const [x0, y0, x1, y1] = leaf.box;
    const flipsX = ["left", "right"].includes(this.sheet.lead) === (this.sheet.flip === "tumble");
    const back = flipsX ? [width - x1, height - y1] : [x0, y0];
    const face = (kind, url, [left, top]) => {
      const made = element("div", { className: `face ${kind}` });
      Object.assign(made.style, {
        backgroundImage: `url(${url})`,
        backgroundSize: `calc(${width} * var(--mm)) calc(${height} * var(--mm))`,
        backgroundPosition: `calc(${-left} * var(--mm)) calc(${-top} * var(--mm))`,
        transform: kind === "front" ? "" : flipsX ? "rotateY(180deg)" : "rotateX(180deg)",
      });
      return made;
    };
    leaf.element = element("div", { className: "leaf" }, face("front", this.urls[0], [x0, height - y1]), face("back", this.urls[1], back));
    Object.assign(leaf.element.style, { width: `calc(${x1 - x0} * var(--mm))`, height: `calc(${y1 - y0} * var(--mm))` });
    return leaf.element;
  }

  // Sizes the table to the window.
  place() {
    if (!this.sheet || !this.box.clientWidth) return;
    const [width, height] = this.sheet.size;
    const space = this.plane.parentElement;
    this.mm = Math.min((space.clientWidth - 40) / width, (space.clientHeight - 40) / height) * 0.86;
    this.plane.style.setProperty("--mm", `${this.mm}px`);
    Object.assign(this.plane.style, { width: `${width * this.mm}px`, height: `${height * this.mm}px` });
    this.set(this.time);
  }

  set(time) {
    this.time = time;
    this.slider.value = time;
    const number = Math.min(Math.floor(time + 1e-6), this.steps.length - 1);
    const words = time <= 1e-6 ? `The sheet as printed, front up: ${sheetWords(this.sheet)}` : this.steps[Math.min(Math.ceil(time - 1e-6) - 1, number)].words;
    if (this.told.textContent !== words) this.told.textContent = words;
    this.slider.setAttribute("aria-valuetext", words);
    const folding = this.steps.findIndex((step) => step.kind === "fold");
    const lean = folding < 0 ? 0 : Math.min(Math.max(time - folding + 0.6, 0), 1) * Math.min(Math.max(this.steps.length - time, 0), 1);
    const row = this.steps.findIndex((step) => step.kind === "upright");
    const away = 1 - (1 - this.farther) * Math.min(Math.max(time - row, 0), 1, Math.max(this.steps.length - time, 0));
    this.plane.style.transform = `scale(${away}) rotateX(${lean * 42}deg) rotateZ(${lean * -8}deg)`;
    this.waste.style.opacity = 1 - ease(Math.min(time, 1));
    this.finished.style.opacity = ease(Math.max(time - this.steps.length + 1, 0));
    this.pieces.forEach((piece) => piece.leaves.forEach((leaf) => this.lay(piece, leaf, time)));
  }

  lay(piece, leaf, time) {
    const [, height] = this.sheet.size;
    let matrix = new DOMMatrix();
    let level = 0;
    this.steps.forEach((step, index) => {
      const done = ease(Math.min(Math.max(time - index, 0), 1));
      if (done === 0) return;
      const turn = step.kind === "fold" ? piece.folds[step.fold].movers.get(leaf) : null;
      if (turn) matrix = foldMatrix(piece.folds[step.fold], done, this.mm, height).multiply(matrix);
      if (step.kind === "fold") level += (piece.folds[step.fold].levels.get(leaf) - level) * done;
      if (step.kind === "nest") level += (leaf.nested - level) * Math.min(done * 2, 1);
    });
    const isWaste = !piece.number;
    const gone = isWaste ? Math.min(time, 1) : job.parts[this.sheet.part].slit ? Math.max(time - this.steps.length + 1, 0) : 0;
    leaf.element.style.opacity = 1 - ease(gone);
    const where = piece.where(this.steps, time, this.mm, height);
    const [x0, , , y1] = leaf.box;
    const whole = new DOMMatrix().translate(0, 0, level * LEAF_GAP * this.mm).multiply(where).multiply(matrix)
      .translate(x0 * this.mm, (height - y1) * this.mm);
    leaf.element.style.transform = whole.toString();
  }

  play() {
    if (this.time >= this.steps.length) this.set(0);
    this.glide(this.steps.length);
  }

  // Moves on to a moment, a step in about a second and a half.
  glide(target) {
    this.stop();
    this.playing = true;
    this.player.textContent = "Stop";
    if (matchMedia("(prefers-reduced-motion: reduce)").matches) {
      this.set(target);
      this.stop();
      return;
    }
    let before = performance.now();
    const tick = (now) => {
      if (!this.playing) return;
      const way = (now - before) / 1500;
      before = now;
      const left = target - this.time;
      this.set(Math.abs(left) <= way ? target : this.time + Math.sign(left) * way);
      if (this.time === target) this.stop();
      else requestAnimationFrame(tick);
    };
    requestAnimationFrame(tick);
  }

  stop() {
    this.playing = false;
    this.player.textContent = "Play";
  }
}

// All that the picture of a sheet depends on.
function pictureKey(sheet) {
  const { off, alone, whitePaper, swapped, warnTones, warnSolids } = state;
  return JSON.stringify([sheet.number, [...off], alone, whitePaper, [...swapped], warnTones, warnSolids, register.draw, [...register.hand]]);
}

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
    const folded = this.foldedMiddle(mm, upright);
    const end = [0, 1].map((i) => at[i] + (middle[i] + this.pile[i] * mm - folded[i] - at[i]) * nest);
    const angle = (this.turn === 270 ? -90 : this.turn) * upright;
    return new DOMMatrix().translate(end[0], end[1]).rotate(0, 0, angle).translate(-x, -y);
  }

  // From the piece's middle to the middle of the stack it is folded to, after its turn.
  foldedMiddle(mm, upright) {
    const [x, y] = [0, 1].map((along) => {
      const leaves = foldsOf(this.part).length ? this.stack : this.leaves;
      const edges = leaves.flatMap(({ box, laid: { [along]: [sign, shift] } }) => [sign * box[along] + shift, sign * box[along + 2] + shift]);
      const middle = (Math.min(...edges) + Math.max(...edges)) / 2 - (this.box[along] + this.box[along + 2]) / 2;
      return (along ? -middle : middle) * mm;
    });
    const angle = ((this.turn === 270 ? -90 : this.turn) * upright * Math.PI) / 180;
    return [x * Math.cos(angle) - y * Math.sin(angle), x * Math.sin(angle) + y * Math.cos(angle)];
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

function foldMatrix({ side, over, line, along }, done, mm, height) {
  const towardUs = over ? 1 : -1;
  const sign = side === "left" || side === "bottom" ? 1 : -1;
  const angle = 180 * done * towardUs * sign;
  const [x, y] = along ? [0, (height - line) * mm] : [line * mm, 0];
  return new DOMMatrix().translate(x, y).rotate(along ? angle : 0, along ? 0 : angle, 0).translate(-x, -y);
}

function bookletSteps(sheet, part, pieces) {
  const real = pieces.filter((piece) => piece.number);
  const steps = [];
  if (pieces.length > 1) steps.push({ kind: "cut", words: `Cut: ${pieces.length} pieces` });
  else if (!part.untrimmed) steps.push({ kind: "cut", words: "Cut: the waste comes off" });
  steps.push({ kind: "upright", words: real.length > 1 ? "Each piece is turned upright" : "The piece is turned upright" });
  const parts = { left: "left", right: "right", bottom: "lower", top: "upper" };
  foldsOf(part).forEach(([moving, , way], fold) => {
    steps.push({ kind: "fold", fold, words: `Fold ${fold + 1}: the ${parts[moving]} part goes ${way} the rest` });
  });
  if (real.length) steps.push({ kind: "nest", words: nestWords(part, real) });
  return steps;
}

function nestWords(part, real) {
  const numbers = [...new Set(real.map((piece) => piece.number))].sort((a, b) => a - b);
  const others = part.pieces - numbers.length;
  const rest = others ? `; the other ${others} of ${part.pieces} pieces come from other sheets` : "";
  if (part.joined) return `In a stack: joined end to end and folded as one strip, as the guide shows${rest}`;
  if (!part.folds.length) return `In a stack${rest}`;
  if (part.slit) return "Opened again, slit along the middle fold and pushed into a ring: the guide shows it step by step";
  if (numbers.length < 2) return part.pieces > 1 ? `Piece ${numbers[0]} of ${part.pieces}, folded${rest}` : "Folded";
  const ways = { saddle: "Nested", gathered: "Nested and gathered" };
  const order = part.style in ways ? ", the first outermost" : "";
  return `${ways[part.style] ?? "Folded"}: pieces ${numbers.join(", ")}${order}${rest}`;
}

function sheetWords(sheet) {
  const numbers = [...new Set(sheet.pieces.map((slot) => slot.piece).filter(Boolean))];
  return numbers.length > 1 ? `pieces ${numbers.join(", ")}` : `piece ${numbers[0] ?? "–"}`;
}

// Where pieces stand in a row to be folded, on which pile they end, and at what level every leaf lies in its nest.
// Returns how much smaller the table must be seen for all to be in sight.
function arrangeNests(pieces) {
  const copies = [...new Set(pieces.map((piece) => piece.copy))];
  const widthOf = (piece) => (piece.turn % 180 ? piece.box[3] - piece.box[1] : piece.box[2] - piece.box[0]);
  const total = pieces.reduce((sum, piece) => sum + widthOf(piece) + 8, -8);
  const [width] = pieces[0].sheet.size;
  const squeeze = Math.min(1, (width * 1.15) / total);
  let at = -total / 2;
  pieces.forEach((piece, i) => {
    piece.row = squeeze < 0.75 ? gridPlace(i, pieces) : [at + widthOf(piece) / 2, 0];
    at += widthOf(piece) + 8;
    piece.pile = [(copies.indexOf(piece.copy) - (copies.length - 1) / 2) * (width / copies.length) * 0.9, 0];
  });
  copies.forEach((copy) => {
    const mine = pieces.filter((piece) => piece.copy === copy && piece.number).sort((a, b) => a.number - b.number);
    const groups = [...new Set(mine.map((piece) => piece.signature))];
    const order = groups.flatMap((signature) => mine.filter((piece) => piece.signature === signature)
      .reduceRight((inside, piece) => {
        const middle = piece.stack.length / 2;
        return [...piece.stack.slice(0, middle), ...inside, ...piece.stack.slice(middle)];
      }, []));
    order.forEach((leaf, i) => { leaf.nested = order.length - 1 - i; });
  });
  return squeeze < 0.75 ? 0.8 : Math.min(1, width / total);
}

// Too many for a row: pieces stay where they were cut.
function gridPlace(index, pieces) {
  const { box, sheet } = pieces[index];
  return [((box[0] + box[2]) / 2 - sheet.size[0] / 2) * 1.12, -((box[1] + box[3]) / 2 - sheet.size[1] / 2) * 1.12];
}

function ease(share) {
  return share * share * (3 - 2 * share);
}
