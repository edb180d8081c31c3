// The worst spread over many prints: every opening printed again and again at one pixel a millimetre, and searched for
// colours that were not there before: white slivers, dark overlaps.

// A colour is new if it differs by more than this (CIE 1976, Lab) from all that lies near it in the print as planned.
const NEW_COLOUR = 6;
// What lies near, mm: further than any usual shift, so that a picture that moves as a whole counts for nothing.
const NEAR = 3;
const MOST_PRINTS = 40;

// Returns the opening and the draw with the largest area of new colours, mm², or null if no print has any.
async function findWorst(stage, tell) {
  const prints = Math.max(8, Math.min(MOST_PRINTS, Math.floor(800 / job.openings.length)));
  let worst = null;
  for (let opening = 0; opening < job.openings.length; opening += 1) {
    tell(`Printing pages ${pagesOf(opening)} ${prints} times …`);
    const scene = bookletScene(opening);
    const planned = await stage.picture(scene, 1, { draw: 0, decimate: true });
    const near = nearbyColours(toLab(planned.pixels), planned.width, planned.height);
    for (let draw = 1; draw <= prints; draw += 1) {
      const { pixels } = await stage.picture(scene, 1, { draw, decimate: true });
      const area = newColours(toLab(pixels), near);
      if (area > (worst?.area ?? 0)) worst = { opening, draw, area, prints };
      if (draw % 8 === 0) await new Promise((resolve) => setTimeout(resolve));
    }
  }
  return worst;
}

const LIGHT_OF_CODE = Float32Array.from({ length: 256 }, (_, code) => {
  const value = code / 255;
  return value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4;
});

// CIE Lab (D65) of sRGB pixels, three floats each.
function toLab(pixels) {
  const lab = new Float32Array((pixels.length / 4) * 3);
  const curve = (ratio) => (ratio > 0.008856 ? Math.cbrt(ratio) : 7.787 * ratio + 4 / 29);
  for (let from = 0, to = 0; from < pixels.length; from += 4, to += 3) {
    const [r, g, b] = [0, 1, 2].map((channel) => LIGHT_OF_CODE[pixels[from + channel]]);
    const x = curve((0.4124 * r + 0.3576 * g + 0.1805 * b) / 0.9505);
    const y = curve(0.2126 * r + 0.7152 * g + 0.0722 * b);
    const z = curve((0.0193 * r + 0.1192 * g + 0.9505 * b) / 1.089);
    lab[to] = 116 * y - 16;
    lab[to + 1] = 500 * (x - y);
    lab[to + 2] = 200 * (y - z);
  }
  return lab;
}

// The least and the greatest of every channel within NEAR pixels each way.
function nearbyColours(lab, width, height) {
  const spread = (pick) => along(along(lab, width, height, 3, width * 3, pick), height, width, width * 3, 3, pick);
  return { least: spread(Math.min), most: spread(Math.max) };
}

// Runs a window along lines: `length` places `step` apart on each of `lines` lines that are `lineStep` apart.
function along(values, length, lines, step, lineStep, pick) {
  const found = new Float32Array(values.length);
  for (let line = 0; line < lines; line += 1) {
    for (let place = 0; place < length; place += 1) {
      const [first, last] = [Math.max(place - NEAR, 0), Math.min(place + NEAR, length - 1)];
      for (let channel = 0; channel < 3; channel += 1) {
        const start = line * lineStep + channel;
        let value = values[start + first * step];
        for (let other = first + 1; other <= last; other += 1) value = pick(value, values[start + other * step]);
        found[start + place * step] = value;
      }
    }
  }
  return found;
}

function newColours(lab, { least, most }) {
  let count = 0;
  for (let at = 0; at < lab.length; at += 3) {
    let square = 0;
    for (let i = at; i < at + 3; i += 1) {
      const beyond = Math.max(least[i] - lab[i], lab[i] - most[i], 0);
      square += beyond * beyond;
    }
    if (square > NEW_COLOUR ** 2) count += 1;
  }
  return count;
}
