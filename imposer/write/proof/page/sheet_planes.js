// One side of a press sheet in each of its inks, drawn as the masters are: art clipped and turned, marks on top; and a
// page with what lies around it on the sheet.

const SHEET_PPI = 150;
const SHEET_PIXELS = 2600;
// How much of a page's neighbours is kept around it, pixels of its layers: more than a stack can be off.
const NEIGHBOUR_PIXELS = 64;

async function sheetPlanes(sheet, side, prints) {
  const face = sheet[side];
  const [width, height] = sheet.size;
  const perMm = Math.min(SHEET_PPI / 25.4, SHEET_PIXELS / Math.max(width, height));
  const canvases = prints.map(() => {
    const canvas = paperCanvas(Math.round(width * perMm), Math.round(height * perMm));
    const context = canvas.getContext("2d");
    context.setTransform(canvas.width / width, 0, 0, -canvas.height / height, 0, canvas.height);
    context.globalCompositeOperation = "darken";
    return canvas;
  });
  const pages = new Map(face.art.map(([number]) => [number, null]));
  for (const number of pages.keys()) {
    const page = pageByNumber.get(number);
    if (!page.inks.length) continue;
    const pictures = await Layers.bitmaps(page);
    prints.forEach(([, , ink], i) => {
      const layer = page.inks.indexOf(ink);
      if (layer < 0) return;
      face.art.filter(([shown]) => shown === number).forEach((art) => {
        drawArt(canvases[i].getContext("2d"), art, pictures[layer], job.parts[sheet.part].bleed);
      });
    });
    pictures.forEach((picture) => picture.close());
  }
  const inks = job.parts[sheet.part].inks;
  prints.forEach(([, , ink], i) => {
    const context = canvases[i].getContext("2d");
    face.marks.map((number) => job.marks[number]).forEach((mark) => drawMark(context, mark, inks[ink]));
  });
  return canvases;
}

// A page in every ink of its side of the sheet, upright, with its neighbours on the sheet around it. Every piece of art
// ends at a whole pixel, so that no seam shows where two of them meet; the page's own pixels are its layers'.
async function pagePlanes(page, prints) {
  const sheet = sheetByNumber.get(page.sheet);
  const { bleed } = job.parts[page.part];
  const [across, up] = pageSize(page).map((side) => side + 2 * bleed);
  const own = await Layers.bitmaps(page);
  const [width, height] = own.length
    ? [own[0].width, own[0].height]
    : [across, up].map((side) => Math.round((side * SHEET_PPI) / 25.4));
  const around = NEIGHBOUR_PIXELS;
  const canvases = prints.map(() => paperCanvas(width + 2 * around, height + 2 * around));
  const perMm = [width / across, height / up];
  const toPixels = Affine.then(
    Affine.inverse(pageToSheet(page.rotation, page.trim)),
    [perMm[0], 0, 0, -perMm[1], around + bleed * perMm[0], around + height - bleed * perMm[1]],
  );
  for (const art of sheet[page.side].art) {
    const [number, trim, , clip] = art;
    const [x0, y0, x1, y1] = Affine.box(toPixels, clip).map(Math.round);
    if (x1 <= 0 || y1 <= 0 || x0 >= width + 2 * around || y0 >= height + 2 * around) continue;
    const isOwn = number === page.page && trim.every((edge, i) => edge === page.trim[i]);
    const other = pageByNumber.get(number);
    const pictures = isOwn ? own : await Layers.bitmaps(other);
    prints.forEach(([, , ink], i) => {
      const layer = other.inks.indexOf(ink);
      if (layer < 0) return;
      const context = canvases[i].getContext("2d");
      context.save();
      context.beginPath();
      context.rect(x0, y0, x1 - x0, y1 - y0);
      context.clip();
      if (isOwn) {
        context.drawImage(pictures[layer], around, around);
      } else {
        context.setTransform(...toPixels);
        layArt(context, art, pictures[layer], bleed);
      }
      context.restore();
    });
    if (!isOwn) pictures.forEach((picture) => picture.close());
  }
  own.forEach((picture) => picture.close());
  return canvases;
}

function paperCanvas(width, height) {
  const canvas = document.createElement("canvas");
  canvas.width = width;
  canvas.height = height;
  const context = canvas.getContext("2d");
  context.fillStyle = "#fff";
  context.fillRect(0, 0, width, height);
  return canvas;
}

function drawArt(context, art, picture, bleed) {
  const [x0, y0, x1, y1] = art[3];
  context.save();
  context.beginPath();
  context.rect(x0, y0, x1 - x0, y1 - y0);
  context.clip();
  layArt(context, art, picture, bleed);
  context.restore();
}

// Lays a page's picture where its art lies on the sheet, not clipped.
function layArt(context, [, trim, rotation], picture, bleed) {
  const [width, height] = pageSize({ rotation, trim });
  context.transform(...pageToSheet(rotation, trim));
  // A picture's rows run downward.
  context.transform(1, 0, 0, -1, -bleed, height + bleed);
  context.drawImage(picture, 0, 0, width + 2 * bleed, height + 2 * bleed);
}

function drawMark(context, [kind, ...mark], ink) {
  context.fillStyle = context.strokeStyle = "#000";
  context.beginPath();
  if (kind === "stroke") {
    const [x0, y0, x1, y1, weight, ...dash] = mark;
    context.lineWidth = weight;
    context.setLineDash(dash);
    context.moveTo(x0, y0);
    context.lineTo(x1, y1);
    context.stroke();
    context.setLineDash([]);
  } else if (kind === "ring") {
    const [x, y, radius, weight] = mark;
    context.lineWidth = weight;
    context.arc(x, y, radius, 0, 2 * Math.PI);
    context.stroke();
  } else if (kind === "patch") {
    const [x0, y0, x1, y1, tone, only] = mark;
    const gray = Math.round(255 * (1 - tone));
    context.fillStyle = `rgb(${gray} ${gray} ${gray})`;
    if (only === null || only === ink) context.fillRect(x0, y0, x1 - x0, y1 - y0);
  } else if (kind === "arrow") {
    arrowCorners(mark).forEach(([x, y], i) => (i ? context.lineTo(x, y) : context.moveTo(x, y)));
    context.fill();
  } else if (kind === "words") {
    const [text, x, y, size, turn, only] = mark;
    if (only !== null && only !== ink) return;
    context.save();
    context.translate(x, y);
    context.rotate((turn * Math.PI) / 180);
    context.scale(size / 20, -size / 20);
    context.font = "20px system-ui, sans-serif";
    context.fillText(text, 0, 0);
    context.restore();
  }
}

function arrowCorners([x0, y0, x1, y1, edge]) {
  const [x, y] = [(x0 + x1) / 2, (y0 + y1) / 2];
  switch (edge) {
    case "left": return [[x0, y], [x1, y0], [x1, y1]];
    case "right": return [[x1, y], [x0, y0], [x0, y1]];
    case "bottom": return [[x, y0], [x0, y1], [x1, y1]];
    default: return [[x, y1], [x0, y0], [x1, y0]];
  }
}
