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
    [this.earlier, this.later] = [button("‹ Step", step(-1)), button("Step ›", step(1))];
    box.append(element("div", { className: "space" }, this.plane), this.told, element("div", { className: "row playing" },
      this.player, this.earlier, this.slider, this.later));
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
    disable(this.earlier, time <= 0, this.slider);
    disable(this.later, time >= this.steps.length, this.slider);
    const folding = this.steps.findIndex((step) => step.kind === "fold");
    const lean = folding < 0 ? 0 : Math.min(Math.max(time - folding + 0.6, 0), 1) * Math.min(Math.max(this.steps.length - time, 0), 1);
    const since = (kind) => Math.min(Math.max(time - this.steps.findIndex((step) => step.kind === kind), 0), 1);
    const [row, piles] = [since("upright"), this.steps.at(-1).kind === "nest" ? since("nest") : 0];
    const away = 1 + (this.farther.row - 1) * row + (this.farther.piles - this.farther.row) * piles;
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
      // A place that holds no piece has gone by then and is not folded.
      const fold = step.kind === "fold" ? piece.folds[step.fold] : undefined;
      if (fold?.movers.has(leaf)) matrix = foldMatrix(fold, done, this.mm, height).multiply(matrix);
      if (fold) level += (fold.levels.get(leaf) - level) * done;
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
  const told = `pieces ${numbers.join(", ")}`;
  if (part.style !== "saddle" && part.style !== "gathered") return `Folded: ${told}${rest}`;
  if (!part.nests) return `Gathered: ${told}, the first on top${rest}`;
  const signatures = [...new Set(real.map((piece) => piece.signature))].sort((a, b) => a - b);
  if (signatures.length > 1) return `Nested and gathered: ${told} in signatures ${signatures.join(", ")}, the first on top${rest}`;
  return `${part.style === "saddle" ? "Nested" : "Nested and gathered"}: ${told}, the first outermost${rest}`;
}

function sheetWords(sheet) {
  const numbers = [...new Set(sheet.pieces.map((slot) => slot.piece).filter(Boolean))];
  return numbers.length > 1 ? `pieces ${numbers.join(", ")}` : `piece ${numbers[0] ?? "–"}`;
}

// Where pieces stand to be folded, on which pile they end, and at what level every leaf lies in its nest. Returns how
// much smaller the table must be seen for all to be in sight, before and after.
function arrangeNests(pieces) {
  const copies = [...new Set(pieces.map((piece) => piece.copy))];
  const row = rows(pieces.map((piece) => piece.flatSize()), pieces[0].sheet.size);
  const real = pieces.filter((piece) => piece.number);
  const largest = [0, 1].map((i) => Math.max(...(real.length ? real : pieces).map((piece) => piece.size()[i])));
  const piles = rows(copies.map(() => largest), pieces[0].sheet.size);
  // As they lie on the sheet, so that as few as can be cross one another's ways.
  const inOrder = [...pieces].sort((a, b) => (Math.abs(a.box[1] - b.box[1]) > 1 ? b.box[1] - a.box[1] : a.box[0] - b.box[0]));
  inOrder.forEach((piece, i) => {
    piece.row = row.places[i];
    piece.pile = piles.places[copies.indexOf(piece.copy)];
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
  return { row: row.scale, piles: piles.scale };
}

// Lays things of some sizes in rows, side by side, about the middle of a table, so that they are seen as large as can
// be. Returns their middles, and how much smaller the table must be seen for all to lie within it.
function rows(sizes, [width, height]) {
  const [wide, high] = [0, 1].map((i) => Math.max(...sizes.map((size) => size[i])) + 8);
  const ways = sizes.map((_, i) => {
    const across = i + 1;
    const down = Math.ceil(sizes.length / across);
    return { across, down, scale: Math.min(1, width / (across * wide), height / (down * high)) };
  });
  const { down, scale } = ways.reduce((best, way) => (way.scale >= best.scale ? way : best));
  const across = Math.ceil(sizes.length / down);
  const places = sizes.map((_, i) => [((i % across) - (across - 1) / 2) * wide, (Math.floor(i / across) - (down - 1) / 2) * high]);
  return { places, scale };
}

function ease(share) {
  return share * share * (3 - 2 * share);
}
