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

  // The colour of every set of inks at full tone; bit i of a set's number is ink i. `overprints` are colours that the
  // studio measured where inks lie on one another, on white paper.
  solids(paper, inks, model, overprints) {
    const films = inks.map((ink) => Overprint.film(ink.colour, model.white, model.floor, ink.opacity));
    const names = inks.map((ink) => ink.name);
    const measured = new Map(overprints
      .filter((overprint) => overprint.inks.every((name) => names.includes(name)))
      .map((overprint) => [
        overprint.inks.reduce((set, name) => set + 2 ** names.indexOf(name), 0),
        Overprint.film(overprint.colour, model.white, model.floor, 0),
      ]));
    const found = [paper.map((value) => Math.max(value, 0))];
    for (let set = 1; set < 2 ** films.length; set += 1) {
      if (measured.has(set)) {
        found.push(Overprint.lay(measured.get(set), found[0]));
        continue;
      }
      const members = films.map((_, ink) => ink).filter((ink) => set >> ink & 1);
      const colour = members.reduce((under, ink) => Overprint.lay(films[ink], under), found[0]);
      const correction = Overprint.pairCorrection(members, films, measured);
      found.push(correction ? colour.map((value, i) => Math.min(
        value > model.floor ? model.floor + (value - model.floor) * correction[i] : value,
        ...members.map((ink) => found[set - 2 ** ink][i]),
      )) : colour);
    }
    return found;
  },

  // How the measured pairs among three or more inks part from their films, a factor a channel; null if none tells.
  pairCorrection(members, films, measured) {
    const pairs = members.flatMap((first, place) => members.slice(place + 1).map((second) => [first, second]))
      .filter(([first, second]) => measured.has(2 ** first + 2 ** second));
    if (members.length < 3 || !pairs.length || members.some((ink) => films[ink].opacity)) return null;
    return [0, 1, 2].map((i) => pairs.reduce((factor, [first, second]) => {
      const alone = films[first].passes[i] * films[second].passes[i];
      // Films that let through no more than this together tell nothing, as in the library.
      return alone > 0.01 ? factor * measured.get(2 ** first + 2 ** second).passes[i] / alone : factor;
    }, 1));
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
