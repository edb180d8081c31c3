// The stage: the canvas on which the scene is painted, and pictures painted aside for other uses.

// Device pixels a CSS pixel are taken up to this; finer costs time and shows nothing more.
const FINEST_DENSITY = 2;
const PLANE_ROOM = 96e6;

class Stage {
  constructor(box, isPlain) {
    this.box = box;
    this.scene = null;
    this.asked = false;
    this.listeners = [];
    this.start(isPlain || job.pages.some((page) => page.inks.length > SHADER_INKS));
    new ResizeObserver(() => this.redraw()).observe(box);
  }

  start(isPlain) {
    this.canvas?.remove();
    this.canvas = document.createElement("canvas");
    this.box.insertBefore(this.canvas, document.getElementById("overlay"));
    try {
      this.painter = isPlain ? new PlainPainter(this.canvas) : new ShaderPainter(this.canvas);
    } catch {
      return this.start(true);
    }
    this.isPlain = isPlain;
    this.store = new PlaneStore(this.painter, PLANE_ROOM);
    // A device that takes the shader away gets the plain way of the same colours.
    this.canvas.addEventListener("webglcontextlost", () => {
      this.start(true);
      this.redraw();
    });
    return undefined;
  }

  get density() {
    return Math.min(window.devicePixelRatio || 1, FINEST_DENSITY);
  }

  show(scene) {
    const isOther = !this.scene || this.scene.width !== scene.width || this.scene.height !== scene.height;
    if (isOther) view.whole = true;
    this.scene = scene;
    this.redraw();
  }

  // Paints with the next frame of the screen, once however often it is asked.
  redraw() {
    if (this.asked) return;
    this.asked = true;
    requestAnimationFrame(() => {
      this.asked = false;
      this.draw();
    });
  }

  draw() {
    if (!this.scene) return;
    const [width, height] = this.alignCanvas();
    if (!width || !height) return;
    if (view.whole) view.fit(this.scene, this.canvas, this.density);
    const toPixels = view.toPixels(this.canvas);
    this.painter.clear();
    const ready = this.scene.panels.map((panel) => this.paint(panel, toPixels, [0, 0, width, height]));
    this.isReady = ready.every(Boolean);
    if (this.isReady) this.box.querySelector(".first")?.remove();
    this.listeners.forEach((listener) => listener());
  }

  // Lays the canvas so that its pixels are the screen's: else the browser would soften them. Returns its size.
  alignCanvas() {
    const box = this.box.getBoundingClientRect();
    const [left, top] = [box.left, box.top].map((edge) => Math.ceil(edge * this.density - 0.001));
    const [right, bottom] = [box.right, box.bottom].map((edge) => Math.floor(edge * this.density + 0.001));
    const [width, height] = [right - left, bottom - top];
    if (this.canvas.width !== width || this.canvas.height !== height) {
      this.canvas.width = width;
      this.canvas.height = height;
    }
    Object.assign(this.canvas.style, {
      left: `${left / this.density - box.left}px`,
      top: `${top / this.density - box.top}px`,
      width: `${width / this.density}px`,
      height: `${height / this.density}px`,
    });
    return [width, height];
  }

  // Paints a panel; false if its planes are not there yet, and then bare paper is shown.
  paint(panel, toPixels, window, { draw, decimate } = {}) {
    const wanted = panel.source(draw);
    const isThere = !wanted.key || Boolean(this.store.get(wanted.key, wanted.load, () => this.redraw()));
    // Until a page's neighbours have come, it is shown without them.
    const source = isThere || !this.store.kept.has(panel.alone?.key) ? wanted : panel.alone;
    const planes = this.store.kept.get(source.key);
    const inks = planes ? source.inks(planes, draw).filter((ink) => isShown(ink.name)) : [];
    const toScene = Affine.inverse(toPixels);
    const box = Affine.box(toPixels, panel.box).map(Math.round);
    this.painter.paint({
      area: [
        Math.max(box[0], window[0]), Math.max(box[1], window[1]), Math.min(box[2], window[2]), Math.min(box[3], window[3]),
      ],
      planes,
      inks: inks.map((ink) => ({ layer: ink.layer, map: Affine.then(toScene, ink.map) })),
      look: lookOf(panel.part, inks.map((ink) => ink.name)),
      gray: state.alone !== null,
      warnFrom: state.warnTones ? job.limits.darkest / 100 - 0.5 / 255 : undefined,
      step: planes ? source.perMm(planes) / toPixels[0] : 1,
      decimate,
    });
    return isThere;
  }

  // The scale at which a pixel of the layers is a pixel of the screen, or 0 where nothing prints.
  printScale() {
    const sources = this.scene.panels.map((panel) => panel.source());
    const found = sources.find(({ key }) => key && this.store.kept.has(key));
    return found ? found.perMm(this.store.kept.get(found.key)) * Math.max(1, Math.floor(this.density)) : 0;
  }

  async load(scene, draw) {
    await Promise.all(scene.panels.map(async (panel) => {
      const source = panel.source(draw);
      while (source.key && !this.store.get(source.key, source.load, () => {})) {
        await this.store.loading.get(source.key);
      }
    }));
  }

  // Paints a scene aside: pixels row by row from the bottom, four bytes each.
  async picture(scene, perMm, options) {
    await this.load(scene, options?.draw);
    const [width, height] = [scene.width, scene.height].map((side) => Math.max(1, Math.round(side * perMm)));
    const toPixels = [width / scene.width, 0, 0, height / scene.height, 0, 0];
    const pixels = this.painter.aside(width, height, () => {
      scene.panels.forEach((panel) => this.paint(panel, toPixels, [0, 0, width, height], options));
    });
    return { pixels, width, height };
  }

  // A picture of a scene as a canvas of its own.
  async canvasOf(scene, perMm) {
    const { pixels, width, height } = await this.picture(scene, perMm);
    const canvas = document.createElement("canvas");
    canvas.width = width;
    canvas.height = height;
    const context = canvas.getContext("2d");
    const picture = context.createImageData(width, height);
    for (let row = 0; row < height; row += 1) {
      picture.data.set(pixels.subarray(4 * width * row, 4 * width * (row + 1)), 4 * width * (height - 1 - row));
    }
    context.putImageData(picture, 0, 0);
    return canvas;
  }
}
