// The job as the program wrote it, what is chosen on this page, and the looks that follow from both.

const job = JSON.parse(document.getElementById("job").textContent);

const pageByNumber = new Map(job.pages.map((page) => [page.page, page]));
const sheetByNumber = new Map(job.sheets.map((sheet) => [sheet.number, sheet]));
const inkByName = new Map(job.inks.map((ink) => [ink.name, ink]));
// Every ink of the job, in its order.
const jobInks = [...new Set(job.parts.flatMap((part) => part.printed))];

const state = {
  // "booklet", "sheets" or "folding".
  view: "booklet",
  opening: 0,
  sheet: 0,
  side: "front",
  // A pass's number, or 0 for all of the side.
  pass: 0,
  off: new Set(),
  // An ink shown alone as its gray master, or null.
  alone: null,
  whitePaper: false,
  // The job's ink → the shop's ink in its drum.
  swapped: new Map(),
  warnTones: false,
  warnSolids: false,
  // Which findings are pinned: "all", "serious" (no notes) or "none"; the selected one always is.
  pins: "serious",
  selected: null,
  overlays: new Set(["safe", "folds", "cuts"]),
};

// What listens to changes; `what` names the part of the state that changed.
const listeners = [];

function changed(what) {
  listeners.forEach((listener) => listener(what));
}

function inkInDrum(name) {
  return inkByName.get(state.swapped.get(name) ?? name);
}

const looks = new Map();

// The constants of the overprint of some inks of a part, as they are chosen now. `names` are the job's.
function lookOf(partIndex, names) {
  const part = job.parts[partIndex];
  const drums = names.map(inkInDrum);
  const key = `${partIndex}|${state.whitePaper}|${names.map((name, i) => `${name}=${drums[i].name}`).join("|")}`;
  if (!looks.has(key)) {
    const asPlanned = part.roots && !state.whitePaper && names.every((name, i) => drums[i].name === name);
    const paper = state.whitePaper ? job.model.white : part.paper.colour;
    const roots = asPlanned
      ? Overprint.subset(part.roots, names.map((name) => part.inks.indexOf(name)))
      : Overprint.roots(Overprint.solids(paper, drums, job.model, job.overprints), job.model.n);
    looks.set(key, { key, roots, gains: drums.map((ink) => ink.gain), n: job.model.n, toSrgb: job.model.toSrgb });
  }
  return looks.get(key);
}

function paperCss(partIndex) {
  const look = lookOf(partIndex, []);
  return Overprint.css(Overprint.predict(look, []), job.model.toSrgb);
}

// The full tone of an ink on a part's paper, as a colour for the screen.
function inkCss(partIndex, name) {
  return Overprint.css(Overprint.predict(lookOf(partIndex, [name]), [1]), job.model.toSrgb);
}

function isShown(ink) {
  return state.alone ? ink === state.alone : !state.off.has(ink);
}

function round(value, digits = 1) {
  return Number(value.toFixed(digits)) + 0;
}
