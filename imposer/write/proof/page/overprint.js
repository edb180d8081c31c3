// The overprint model in the browser: films laid on paper, tints mixed from the solids (Demichel, Yule and Nielsen).
// The same law as the library's `imposer.ink`, in linear Rec.2020; tests hold the two against each other.

const Overprint = {
  // What an ink does to the light, found from its full tone on one paper.
  film(solid, paper, floor, opacity) {
    const light = paper.map((value) => value - floor);
    return {
      passes: solid.map((value, i) => (light[i] > 0 ? Math.max(value - floor, 0) / light[i] : 1)),
      darkest: solid.map((value) => (value < floor ? Math.max(value, 0) : Infinity)),
      solid,
      opacity,
      floor,
    };
  },

  lay(film, under) {
    return under.map((value, i) => {
      const filtered = value > film.floor ? film.floor + (value - film.floor) * film.passes[i] : value;
      const dark = Math.min(filtered, film.darkest[i]);
      return Math.max(film.opacity * film.solid[i] + (1 - film.opacity) * dark, 0);
    });
  },

  // The colour of every set of inks at full tone; bit i of a set's number is ink i.
  solids(paper, inks, model) {
    const films = inks.map((ink) => Overprint.film(ink.colour, model.white, model.floor, ink.opacity));
    const found = [paper.map((value) => Math.max(value, 0))];
    for (let set = 1; set < 2 ** films.length; set += 1) {
      found.push(films.reduce((under, film, ink) => (set >> ink & 1 ? Overprint.lay(film, under) : under), found[0]));
    }
    return found;
  },

  roots(solids, n) {
    return solids.map((solid) => solid.map((value) => value ** (1 / n)));
  },

  // The roots of some of the inks alone: those sets in which no other ink is.
  subset(roots, inks) {
    return Array.from({ length: 2 ** inks.length }, (_, set) =>
      roots[inks.reduce((number, ink, bit) => number + (set >> bit & 1) * 2 ** ink, 0)]);
  },

  coverage(tone, gain) {
    return Math.min(Math.max(tone + 4 * gain * tone * (1 - tone), 0), 1);
  },

  // Linear Rec.2020 of tones 0…1 in the order of the look's inks.
  predict(look, tones) {
    let mixed = look.roots;
    tones.forEach((tone, ink) => {
      const covered = Overprint.coverage(tone, look.gains[ink]);
      mixed = Array.from({ length: mixed.length / 2 }, (_, set) =>
        mixed[2 * set].map((without, i) => without + covered * (mixed[2 * set + 1][i] - without)));
    });
    return mixed[0].map((value) => value ** look.n);
  },

  encode(light) {
    const cut = Math.min(Math.max(light, 0), 1);
    return cut <= 0.0031308 ? 12.92 * cut : 1.055 * cut ** (1 / 2.4) - 0.055;
  },

  srgb8(colour, toSrgb) {
    return toSrgb.map((row) => {
      const light = row[0] * colour[0] + row[1] * colour[1] + row[2] * colour[2];
      return Math.floor(Overprint.encode(light) * 255 + 0.5);
    });
  },

  css(colour, toSrgb) {
    return `rgb(${Overprint.srgb8(colour, toSrgb).join(" ")})`;
  },
};
