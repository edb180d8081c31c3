// Scenes: what lies on the stage, in mm with y up. A scene has panels; a panel is a box that shows a page or a press
// sheet's side. Its source says under which key its ink planes are kept (null: nothing prints), how to load them, how
// many of their pixels a millimetre has, and for every ink its name, its layer and the map from the scene to the
// planes' unit square.

function bookletScene(index) {
  const [left, right] = job.openings[index];
  const pages = [left, right].filter((page) => page !== null).map((number) => pageByNumber.get(number));
  const sizes = pages.map(pageSize);
  let at = 0;
  const panels = pages.map((page, i) => {
    const panel = pagePanel(page, at);
    at += sizes[i][0];
    return panel;
  });
  return {
    key: `opening ${index}`,
    width: at,
    height: Math.max(...sizes.map((size) => size[1])),
    joints: panels.slice(1).map((panel) => panel.box[0]),
    label: pages.length > 1 ? `Pages ${pages[0].page} and ${pages[1].page}` : `Page ${pages[0].page}`,
    panels,
  };
}

function pagePanel(page, x) {
  const part = job.parts[page.part];
  const [width, height] = pageSize(page);
  const toPage = Affine.shift(-x, 0);
  const toSheet = pageToSheet(page.rotation, page.trim);
  const { prints } = sheetByNumber.get(page.sheet)[page.side];
  const inks = (numbers, toPlane, draw) => numbers.map((ink, layer) => {
    const print = printOf(page.sheet, page.side, ink);
    const shifted = print
      ? Affine.chain(toSheet, register.toMaster(page.sheet, print[0], print[1], draw), Affine.inverse(toSheet))
      : Affine.identity;
    return { name: part.inks[ink], layer, map: Affine.chain(toPage, shifted, toPlane) };
  });
  const alone = {
    key: page.inks.length ? `page ${page.page}` : null,
    load: () => Layers.bitmaps(page),
    perMm: (planes) => planes.width / (width + 2 * part.bleed),
    inks: (planes, draw) => inks(page.inks, pageToPlane(page, planes, 0), draw),
  };
  const withNeighbours = {
    key: prints.length ? `page ${page.page} with neighbours` : null,
    load: () => pagePlanes(page, prints),
    perMm: (planes) => (planes.width - 2 * NEIGHBOUR_PIXELS) / (width + 2 * part.bleed),
    inks: (planes, draw) => inks(prints.map(([, , ink]) => ink), pageToPlane(page, planes, NEIGHBOUR_PIXELS), draw),
  };
  return {
    box: [x, 0, x + width, height],
    part: page.part,
    page,
    fromPage: Affine.inverse(toPage),
    alone,
    // Off register, ink of what lies beside the page on the press sheet comes over its edges.
    source: (draw) => (register.isPlanned(draw) ? alone : withNeighbours),
  };
}

// From a page's trim to the unit square of its planes, v downward from the top: the bleed and some pixels lie around.
function pageToPlane(page, planes, around) {
  const [width, height] = pageSize(page);
  const { bleed } = job.parts[page.part];
  const [across, up] = [width + 2 * bleed, height + 2 * bleed];
  const [perMm, perMmUp] = [(planes.width - 2 * around) / across, (planes.height - 2 * around) / up];
  return Affine.then(
    [perMm, 0, 0, -perMmUp, around + bleed * perMm, around + (up - bleed) * perMmUp],
    Affine.scale(1 / planes.width, 1 / planes.height),
  );
}

// The trim of a page that stands upright: a panel that is tucked in is narrower than the others, a poster larger.
function pageSize({ rotation, trim: [x0, y0, x1, y1] }) {
  return rotation === 0 || rotation === 180 ? [x1 - x0, y1 - y0] : [y1 - y0, x1 - x0];
}

function pageToSheet(rotation, trim) {
  return Affine.then(Affine.quarter(rotation, ...pageSize({ rotation, trim })), Affine.shift(trim[0], trim[1]));
}

function sheetScene(index, side, pass) {
  const sheet = job.sheets[index];
  const [width, height] = sheet.size;
  const face = sheet[side];
  const part = job.parts[sheet.part];
  const prints = face.prints.filter(([run]) => !pass || run === pass);
  const toPlane = [1 / width, 0, 0, -1 / height, 0, 1];
  const planes = {
    key: prints.length ? `sheet ${sheet.number} ${side} ${pass}` : null,
    load: () => sheetPlanes(sheet, side, prints),
    perMm: (pixels) => pixels.width / width,
    inks: (pixels, draw) => prints.map(([run, drum, ink], layer) => ({
      name: part.inks[ink],
      layer,
      map: Affine.then(register.toMaster(sheet.number, run, drum, draw), toPlane),
    })),
  };
  return {
    key: `sheet ${sheet.number} ${side}`,
    width,
    height,
    joints: [],
    label: `Sheet ${sheet.number}, ${side}`,
    sheet,
    face,
    panels: [{
      box: [0, 0, width, height],
      part: sheet.part,
      source: () => planes,
    }],
  };
}
