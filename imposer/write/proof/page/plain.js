// The painter for browsers without WebGL2: the very same overprint, pixel by pixel.

const CODE_STEPS = 16384;

class PlainPainter {
  constructor(canvas) {
    this.canvas = canvas;
    this.context = canvas.getContext("2d", { willReadFrequently: true });
    this.codes = Uint8Array.from({ length: CODE_STEPS + 1 }, (_, i) =>
      Math.floor(Overprint.encode((i / CODE_STEPS) ** 2) * 255 + 0.5));
  }

  planes(pictures) {
    const [{ width, height }] = pictures;
    const scratch = document.createElement("canvas");
    scratch.width = width;
    scratch.height = height;
    const context = scratch.getContext("2d", { willReadFrequently: true });
    const layers = pictures.map((picture) => {
      context.drawImage(picture, 0, 0);
      picture.close?.();
      const pixels = context.getImageData(0, 0, width, height).data;
      return [halvings(Uint8Array.from({ length: width * height }, (_, i) => 255 - pixels[4 * i]), width, height)];
    }).flat();
    return { layers, width, height, bytes: width * height * pictures.length * 1.34 };
  }

  drop() {}

  clear() {
    this.context.clearRect(0, 0, this.canvas.width, this.canvas.height);
  }

  // As for the shader's painter.
  paint({ area, planes, inks, look, gray, warnFrom, step, decimate }) {
    const left = Math.max(area[0], 0);
    const right = Math.min(area[2], this.canvas.width);
    const bottom = Math.max(area[1], 0);
    const top = Math.min(area[3], this.canvas.height);
    if (right <= left || top <= bottom) return;
    const picture = this.context.createImageData(right - left, top - bottom);
    const samplers = inks.map(({ layer, map }) => sampler(planes.layers[layer], map, step, decimate));
    const mixer = gray ? null : this.mixer(look);
    const tones = new Float32Array(inks.length);
    let at = 0;
    for (let row = top - 1; row >= bottom; row -= 1) {
      samplers.forEach((sample) => sample.start(left + 0.5, row + 0.5));
      for (let column = left; column < right; column += 1) {
        let darkest = 0;
        for (let ink = 0; ink < samplers.length; ink += 1) {
          tones[ink] = samplers[ink].next();
          darkest = Math.max(darkest, tones[ink]);
        }
        if (gray) picture.data.fill(Math.round(255 * (1 - (tones[0] ?? 0))), at, at + 3);
        else mixer(tones, picture.data, at);
        if (warnFrom !== undefined && darkest >= warnFrom) this.tint(picture.data, at, column + row);
        picture.data[at + 3] = 255;
        at += 4;
      }
    }
    this.context.putImageData(picture, left, this.canvas.height - top);
  }

  // A function that writes the colour of some tones into pixels.
  mixer(look) {
    const sets = look.roots.length;
    const roots = Float32Array.from(look.roots.flat());
    const work = new Float32Array(roots.length);
    const paper = Overprint.srgb8(Overprint.predict(look, look.gains.map(() => 0)), look.toSrgb);
    const matrix = look.toSrgb.flat();
    const light = [0, 0, 0];
    return (tones, data, at) => {
      if (tones.every((tone) => tone === 0)) {
        data[at] = paper[0];
        data[at + 1] = paper[1];
        data[at + 2] = paper[2];
        return;
      }
      work.set(roots);
      let count = sets;
      for (let ink = 0; ink < tones.length; ink += 1) {
        const covered = Overprint.coverage(tones[ink], look.gains[ink]);
        count /= 2;
        for (let set = 0; set < count; set += 1) {
          for (let channel = 0; channel < 3; channel += 1) {
            const without = work[6 * set + channel];
            work[3 * set + channel] = without + covered * (work[6 * set + 3 + channel] - without);
          }
        }
      }
      for (let channel = 0; channel < 3; channel += 1) {
        light[channel] = look.n === 2 ? work[channel] ** 2 : Math.max(work[channel], 0) ** look.n;
      }
      for (let channel = 0; channel < 3; channel += 1) {
        const row = 3 * channel;
        const value = matrix[row] * light[0] + matrix[row + 1] * light[1] + matrix[row + 2] * light[2];
        data[at + channel] = this.codes[Math.round(Math.sqrt(Math.min(Math.max(value, 0), 1)) * CODE_STEPS)];
      }
    };
  }

  tint(data, at, diagonal) {
    const stripe = diagonal % 8 >= 4 ? [255, 255, 255] : [232, 26, 122];
    for (let channel = 0; channel < 3; channel += 1) {
      data[at + channel] = 0.38 * data[at + channel] + 0.62 * stripe[channel];
    }
  }

  aside(width, height, work) {
    const [canvas, context] = [this.canvas, this.context];
    this.canvas = document.createElement("canvas");
    this.canvas.width = width;
    this.canvas.height = height;
    this.context = this.canvas.getContext("2d", { willReadFrequently: true });
    work();
    const pixels = this.read([0, 0, width, height]);
    [this.canvas, this.context] = [canvas, context];
    return pixels;
  }

  read([left, bottom, right, top]) {
    const [width, height] = [right - left, top - bottom];
    const rows = this.context.getImageData(left, this.canvas.height - top, width, height).data;
    const pixels = new Uint8Array(rows.length);
    for (let row = 0; row < height; row += 1) {
      pixels.set(rows.subarray(4 * width * row, 4 * width * (row + 1)), 4 * width * (height - 1 - row));
    }
    return pixels;
  }
}

// A plane of tones and its halves, quarters and so on, each the mean of the one before.
function halvings(tones, width, height) {
  const found = [{ tones, width, height }];
  while (found.at(-1).width > 1 && found.at(-1).height > 1) {
    const { tones: fine, width: across, height: down } = found.at(-1);
    const [columns, rows] = [across >> 1, down >> 1];
    const coarse = new Uint8Array(columns * rows);
    for (let row = 0; row < rows; row += 1) {
      for (let column = 0; column < columns; column += 1) {
        const at = 2 * row * across + 2 * column;
        coarse[row * columns + column] = (fine[at] + fine[at + 1] + fine[at + across] + fine[at + across + 1] + 2) >> 2;
      }
    }
    found.push({ tones: coarse, width: columns, height: rows });
  }
  return found;
}

// Reads the tones of a plane along rows of pixels.
function sampler(levels, map, step, decimate) {
  const level = decimate ? 0 : Math.min(Math.max(Math.round(Math.log2(step) - 0.5), 0), levels.length - 1);
  const { tones, width, height } = levels[level];
  const [stepX, stepY] = [map[0] * width, map[1] * height];
  let x = 0;
  let y = 0;
  const sharply = () => tones[Math.min(y | 0, height - 1) * width + Math.min(x | 0, width - 1)];
  const smoothly = () => {
    const [px, py] = [Math.max(x - 0.5, 0), Math.max(y - 0.5, 0)];
    const [left, top] = [Math.min(px | 0, width - 1), Math.min(py | 0, height - 1)];
    const [right, below] = [Math.min(left + 1, width - 1), Math.min(top + 1, height - 1)];
    const [u, v] = [px - left, py - top];
    const upper = tones[top * width + left] * (1 - u) + tones[top * width + right] * u;
    const lower = tones[below * width + left] * (1 - u) + tones[below * width + right] * u;
    return upper * (1 - v) + lower * v;
  };
  const read = decimate || step < SHARP_STEP ? sharply : smoothly;
  return {
    start(column, row) {
      [x, y] = Affine.apply(map, column, row);
      x *= width;
      y *= height;
    },
    next() {
      const tone = x >= 0 && y >= 0 && x <= width && y <= height ? read() / 255 : 0;
      x += stepX;
      y += stepY;
      return tone;
    },
  };
}
