// Fingers, mouse and keys on the stage: turning, zooming, moving about, and pushing an ink out of register.

class Gestures {
  constructor(stage, { turn, push }) {
    this.stage = stage;
    this.turn = turn;
    this.push = push;
    // Whether dragging moves the ink and not the view.
    this.pushing = false;
    this.pointers = new Map();
    const box = stage.box;
    box.addEventListener("pointerdown", (event) => this.down(event));
    box.addEventListener("pointermove", (event) => this.moved(event));
    ["pointerup", "pointercancel"].forEach((kind) => box.addEventListener(kind, (event) => this.up(event)));
    box.addEventListener("wheel", (event) => this.wheel(event), { passive: false });
    box.addEventListener("dblclick", (event) => this.twice(event));
    document.addEventListener("keydown", (event) => this.key(event));
  }

  // The pointer in device pixels from the lower left.
  at(event) {
    const box = this.stage.canvas.getBoundingClientRect();
    const density = this.stage.density;
    return [(event.clientX - box.left) * density, (box.bottom - event.clientY) * density];
  }

  down(event) {
    if (event.target.closest("button, .card")) return;
    this.stage.box.setPointerCapture(event.pointerId);
    this.pointers.set(event.pointerId, this.at(event));
    this.start = this.at(event);
  }

  moved(event) {
    const before = this.pointers.get(event.pointerId);
    if (!before) return;
    const now = this.at(event);
    const others = [...this.pointers].filter(([id]) => id !== event.pointerId).map(([, place]) => place);
    this.pointers.set(event.pointerId, now);
    const [dx, dy] = [now[0] - before[0], now[1] - before[1]];
    if (others.length) {
      const spread = (place) => Math.hypot(place[0] - others[0][0], place[1] - others[0][1]);
      this.zoom(spread(now) / Math.max(spread(before), 1), [(now[0] + others[0][0]) / 2, (now[1] + others[0][1]) / 2]);
      this.pinched = true;
    } else if (this.pushing) {
      this.push(dx / view.scale, dy / view.scale, Affine.apply(Affine.inverse(view.toPixels(this.stage.canvas)), ...now));
    } else if (!view.whole) {
      view.move(dx, dy, this.stage.scene);
      this.stage.redraw();
    }
  }

  up(event) {
    const end = this.pointers.get(event.pointerId);
    this.pointers.delete(event.pointerId);
    if (!end || this.pointers.size) return;
    const [dx, dy] = [end[0] - this.start[0], end[1] - this.start[1]];
    const swiped = Math.abs(dx) > 40 * this.stage.density && Math.abs(dx) > 2 * Math.abs(dy);
    if (swiped && view.whole && !this.pushing && !this.pinched) this.turn(dx < 0 ? "right" : "left");
    this.pinched = false;
  }

  wheel(event) {
    event.preventDefault();
    this.zoom(Math.exp(-event.deltaY / 400), this.at(event));
  }

  twice(event) {
    if (event.target.closest("button, .card")) return;
    if (view.whole) this.pixels(this.at(event));
    else this.whole();
  }

  limits() {
    const { canvas, scene } = this.stage;
    const fit = Math.min(canvas.width / scene.width, canvas.height / scene.height);
    return [fit * 0.5, Math.max((this.stage.printScale() || fit) * 12, fit * 4)];
  }

  zoom(factor, place = [this.stage.canvas.width / 2, this.stage.canvas.height / 2]) {
    view.zoom(factor, place, this.stage.canvas, this.limits());
    this.stage.redraw();
  }

  whole() {
    view.whole = true;
    this.stage.redraw();
  }

  pixels(place) {
    const scale = this.stage.printScale();
    if (scale) this.zoom(scale / view.scale, place);
  }

  key(event) {
    if (event.target.closest("input, select, textarea") || event.ctrlKey || event.metaKey || event.altKey) return;
    const { canvas } = this.stage;
    // Near to, arrows move the view about by an eighth of what is seen.
    const pan = (x, y) => {
      view.move(x * canvas.width / 8, y * canvas.height / 8, this.stage.scene);
      this.stage.redraw();
    };
    const arrows = view.whole
      ? { ArrowLeft: () => this.turn("left"), ArrowRight: () => this.turn("right") }
      : { ArrowLeft: () => pan(1, 0), ArrowRight: () => pan(-1, 0), ArrowUp: () => pan(0, -1), ArrowDown: () => pan(0, 1) };
    const keys = {
      ...arrows,
      PageUp: () => this.turn("back"),
      PageDown: () => this.turn("forward"),
      Home: () => this.turn("first"),
      End: () => this.turn("last"),
      "+": () => this.zoom(1.4),
      "=": () => this.zoom(1.4),
      "-": () => this.zoom(1 / 1.4),
      0: () => this.whole(),
      1: () => this.pixels(),
    };
    if (!keys[event.key]) return;
    event.preventDefault();
    keys[event.key]();
  }
}
