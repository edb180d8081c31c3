// The window onto the scene: how many device pixels a millimetre is, and which millimetre lies in the middle.

const view = {
  scale: 1,
  x: 0,
  y: 0,
  // Whether the whole scene is to be seen, whatever the size of the window.
  whole: true,

  fit(scene, canvas, density) {
    const edge = Math.min(28 * density, canvas.width * 0.06);
    const across = (canvas.width - 2 * edge) / scene.width;
    const up = (canvas.height - 2 * edge) / scene.height;
    this.scale = Math.max(Math.min(across, up), 0.01);
    this.x = scene.width / 2;
    this.y = scene.height / 2;
    this.whole = true;
  },

  // From the scene to device pixels from the lower left; whole numbers keep print pixels on screen pixels.
  toPixels(canvas) {
    const x = Math.round(canvas.width / 2 - this.x * this.scale);
    const y = Math.round(canvas.height / 2 - this.y * this.scale);
    return [this.scale, 0, 0, this.scale, x, y];
  },

  // Zooms about a point of the canvas, which stays where it is.
  zoom(factor, [px, py], canvas, limits) {
    const [x, y] = Affine.apply(Affine.inverse(this.toPixels(canvas)), px, py);
    const scale = Math.min(Math.max(this.scale * factor, limits[0]), limits[1]);
    this.x = x - (px - canvas.width / 2) / scale;
    this.y = y - (py - canvas.height / 2) / scale;
    this.scale = scale;
    this.whole = false;
  },

  move(dx, dy, scene) {
    this.x = Math.min(Math.max(this.x - dx / this.scale, 0), scene.width);
    this.y = Math.min(Math.max(this.y - dy / this.scale, 0), scene.height);
    this.whole = false;
  },
};
