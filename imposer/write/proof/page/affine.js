// Affine maps [a, b, c, d, e, f]: x' = a x + c y + e, y' = b x + d y + f, as in the PDF standard. Lengths in mm, y up.

const Affine = {
  identity: [1, 0, 0, 1, 0, 0],

  // The map that does m first and n second.
  then(m, n) {
    return [
      m[0] * n[0] + m[1] * n[2],
      m[0] * n[1] + m[1] * n[3],
      m[2] * n[0] + m[3] * n[2],
      m[2] * n[1] + m[3] * n[3],
      m[4] * n[0] + m[5] * n[2] + n[4],
      m[4] * n[1] + m[5] * n[3] + n[5],
    ];
  },

  chain(...maps) {
    return maps.reduce(Affine.then);
  },

  inverse([a, b, c, d, e, f]) {
    const det = a * d - b * c;
    const [p, q, r, s] = [d / det, -b / det, -c / det, a / det];
    return [p, q, r, s, -(e * p + f * r), -(e * q + f * s)];
  },

  apply([a, b, c, d, e, f], x, y) {
    return [a * x + c * y + e, b * x + d * y + f];
  },

  shift(x, y) {
    return [1, 0, 0, 1, x, y];
  },

  scale(x, y) {
    return [x, 0, 0, y, 0, 0];
  },

  // Counter-clockwise about a point; radians.
  turn(angle, x, y) {
    const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
    return Affine.chain(Affine.shift(-x, -y), [cos, sin, -sin, cos, 0, 0], Affine.shift(x, y));
  },

  // A quarter turn of a box of width × height, laid back on the origin.
  quarter(degrees, width, height) {
    switch (degrees) {
      case 90: return [0, 1, -1, 0, height, 0];
      case 180: return [-1, 0, 0, -1, width, height];
      case 270: return [0, -1, 1, 0, 0, width];
      default: return Affine.identity;
    }
  },

  // The upright box around the image of a box [x0, y0, x1, y1].
  box(map, [x0, y0, x1, y1]) {
    const corners = [[x0, y0], [x1, y0], [x0, y1], [x1, y1]].map(([x, y]) => Affine.apply(map, x, y));
    const xs = corners.map((corner) => corner[0]);
    const ys = corners.map((corner) => corner[1]);
    return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
  },
};
