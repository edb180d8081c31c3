// What lies over the print: safe area, folds, cuts and the like on press sheets, solids on request, and pins of findings.

// Every line that can be laid over a press sheet: what it is called, and what it is for.
const OVERLAYS = {
  safe: "safe area",
  careful: "careful margin: no heavy ink",
  track: "roller track",
  cuts: "cuts",
  folds: "folds",
  numbers: "page numbers",
};

class Overlay {
  constructor(stage, openCard) {
    this.stage = stage;
    this.openCard = openCard;
    this.svg = document.getElementById("overlay");
    this.pins = document.getElementById("pins");
    // Under the canvas: a shadow drawn by the canvas's own style would blur its pixels.
    this.shade = element("div", { className: "shade" });
    stage.box.prepend(this.shade);
    stage.listeners.push(() => this.draw());
  }

  // From the scene to CSS pixels from the upper left.
  toScreen() {
    const { canvas, density } = this.stage;
    return Affine.then(view.toPixels(canvas), [1 / density, 0, 0, -1 / density, 0, canvas.height / density]);
  }

  draw() {
    const { scene, box } = this.stage;
    this.map = this.toScreen();
    const [left, top, right, bottom] = Affine.box(this.map, [0, 0, scene.width, scene.height]);
    Object.assign(this.shade.style, { left: `${left}px`, top: `${top}px`, width: `${right - left}px`, height: `${bottom - top}px` });
    this.svg.setAttribute("viewBox", `0 0 ${box.clientWidth} ${box.clientHeight}`);
    this.svg.replaceChildren(
      ...scene.joints.map((x) => this.line("joint", x, 0, x, scene.height)),
      ...(scene.sheet ? this.sheet(scene) : []),
      ...(state.warnSolids ? this.solids(scene) : []),
    );
    rebuild(this.pins, ...this.pinsOf(scene));
  }

  shape(name, attributes, words) {
    const shape = document.createElementNS("http://www.w3.org/2000/svg", name);
    Object.entries(attributes).forEach(([key, value]) => shape.setAttribute(key, value));
    if (words) shape.textContent = words;
    return shape;
  }

  line(kind, x0, y0, x1, y1) {
    const [ax, ay] = Affine.apply(this.map, x0, y0);
    const [bx, by] = Affine.apply(this.map, x1, y1);
    return this.shape("line", { class: kind, x1: ax, y1: ay, x2: bx, y2: by });
  }

  box(kind, area) {
    const [left, top, right, bottom] = Affine.box(this.map, area);
    return this.shape("rect", { class: kind, x: left, y: top, width: right - left, height: bottom - top });
  }

  sheet({ sheet, face, width, height }) {
    const shapes = {
      track: () => (sheet.track ? [this.box("track", sheet.track)] : []),
      careful: () => {
        const edge = sheet.careful;
        return edge ? [this.box("careful", [edge, edge, width - edge, height - edge])] : [];
      },
      safe: () => [this.box("safe", sheet.safe)],
      folds: () => face.folds.map((fold) => this.line("fold", ...fold)),
      cuts: () => [
        ...face.cuts.x.map((x) => this.line("cut", x, 0, x, height)),
        ...face.cuts.y.map((y) => this.line("cut", 0, y, width, y)),
      ],
      numbers: () => face.art.flatMap((art) => this.number(art)),
    };
    const wanted = Object.keys(OVERLAYS).filter((kind) => state.overlays.has(kind));
    return [...wanted.flatMap((kind) => shapes[kind]()), this.lead(sheet)];
  }

  number([page, trim, rotation]) {
    const [x, y] = Affine.apply(this.map, (trim[0] + trim[2]) / 2, (trim[1] + trim[3]) / 2);
    const turned = { class: "number", x, y, transform: `rotate(${-rotation} ${x} ${y})` };
    return [this.shape("circle", { class: "badge", cx: x, cy: y, r: 17 }), this.shape("text", turned, `${page}`)];
  }

  // The edge that enters the machine first, named beside it.
  lead({ lead, size: [width, height] }) {
    const places = { left: [0, height / 2], right: [width, height / 2], bottom: [width / 2, 0], top: [width / 2, height] };
    const [x, y] = Affine.apply(this.map, ...places[lead]);
    const [dx, dy, angle] = { left: [-9, 0, -90], right: [9, 0, 90], bottom: [0, 16, 0], top: [0, -8, 0] }[lead];
    const turned = `rotate(${angle} ${x + dx} ${y + dy})`;
    return this.shape("text", { class: "lead", x: x + dx, y: y + dy, transform: turned }, "lead edge: enters first");
  }

  solids(scene) {
    return solidAreas(scene).map((area) => this.box("solid", area));
  }

  pinsOf(scene) {
    const found = [];
    job.findings.forEach((finding, index) => {
      const isWanted = { all: true, serious: finding.level !== "note", none: false }[state.pins];
      if (!isWanted && index !== state.selected) return;
      if (scene.sheet && finding.sheet === scene.sheet.number && (!finding.side || finding.side === scene.face.side)) {
        found.push([finding, index, finding.box ?? [0, scene.height - 12, 12, scene.height]]);
      } else if (finding.page !== null && finding.sheet === null) {
        placesOf(scene).filter(([page]) => page.page === finding.page).forEach(([page, toScene]) => {
          const [, height] = pageSize(page);
          found.push([finding, index, Affine.box(toScene, finding.box ?? [0, height - 12, 12, height])]);
        });
      }
    });
    const taken = [];
    return found.flatMap(([finding, index, area]) => this.pin(finding, index, area, taken));
  }

  pin(finding, index, area, taken) {
    const [left, top, right, bottom] = Affine.box(this.map, area);
    const place = [(left + right) / 2, (top + bottom) / 2];
    // Pins of one place stand side by side.
    while (taken.some(([x, y]) => Math.abs(x - place[0]) < 27 && Math.abs(y - place[1]) < 24)) place[0] += 28;
    taken.push(place);
    const pin = document.createElement("button");
    pin.type = "button";
    pin.dataset.finding = index;
    pin.className = `pin ${finding.level}`;
    if (index === state.selected) {
      pin.classList.add("selected");
      // The card stands where it does not cover what it is about.
      document.getElementById("card").classList.toggle("above", place[1] > this.stage.box.clientHeight / 2);
    }
    pin.textContent = index + 1;
    pin.setAttribute("aria-label", `Finding ${index + 1}: ${finding.level}, ${finding.message}`);
    pin.style.left = `${place[0]}px`;
    pin.style.top = `${place[1]}px`;
    pin.addEventListener("click", () => this.openCard(index));
    if (!finding.box) return [pin];
    const frame = document.createElement("i");
    frame.className = `place ${finding.level}`;
    Object.assign(frame.style, {
      left: `${left}px`, top: `${top}px`, width: `${right - left}px`, height: `${bottom - top}px`,
    });
    return [frame, pin];
  }
}

// Every place of a page in the scene: the map from the page's trim to the scene.
function placesOf(scene) {
  if (!scene.sheet) return scene.panels.map((panel) => [panel.page, panel.fromPage]);
  return scene.face.art.map(([number, trim, rotation]) => [pageByNumber.get(number), pageToSheet(rotation, trim)]);
}

// The large solids of the inks that are shown, as boxes in the scene.
function solidAreas(scene) {
  return placesOf(scene).flatMap(([page, toScene]) => page.inks
    .filter((ink) => isShown(job.parts[page.part].inks[ink]))
    .flatMap((ink) => Layers.solids(page, ink))
    .map(([x0, y0, x1, y1]) => Affine.box(toScene, [x0, y0, x1, y1])));
}

// The same frames, drawn into a picture of the scene.
function frameSolids(canvas, scene, perMm) {
  const context = canvas.getContext("2d");
  Object.assign(context, { strokeStyle: "#d3146b", lineWidth: 4 });
  context.setLineDash([10, 5]);
  solidAreas(scene).forEach(([x0, y0, x1, y1]) => {
    context.strokeRect(x0 * perMm, canvas.height - y1 * perMm, (x1 - x0) * perMm, (y1 - y0) * perMm);
  });
}
