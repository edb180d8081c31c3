// Register: how far every drum and pass lies from where it should, on every press sheet; by hand, and drawn at random
// from the machine's drift. Shifts are mm on the sheet as it is printed, right and up; turns are radians, to the left,
// about the middle of the sheet.

// Draws are held to this many standard deviations between two inks, as the library's are.
const FURTHEST = 4;
// The shop states turns as mm in so many.
const TURN_MEASURED_OVER = 100;

// What a hand can set, mm and radians: as far as the sliders go, several times the drift of any machine that is in order (a
// working value of our own).
const MOST_SHIFT = 5;
const MOST_TURN = Math.PI / 180;

const register = {
  // "pass" or "pass/drum" → { x, y, turn }.
  hand: new Map(),
  // The number of the print that is drawn, or 0 for the print as planned.
  draw: 0,

  byHand(key) {
    return this.hand.get(key) ?? { x: 0, y: 0, turn: 0 };
  },

  // Sets some of a pass's or a drum's shift and turn, as far as a hand may go.
  setHand(key, values) {
    const held = { ...this.byHand(key), ...values };
    const within = (value, most) => Math.min(Math.max(value, -most), most);
    this.hand.set(key, { x: within(held.x, MOST_SHIFT), y: within(held.y, MOST_SHIFT), turn: within(held.turn, MOST_TURN) });
  },

  isPlanned(draw = this.draw) {
    return draw === 0 && [...this.hand.values()].every(({ x, y, turn }) => !x && !y && !turn);
  },

  // Where one drum of one pass lies on one sheet.
  offset(sheet, run, drum, draw = this.draw) {
    const hands = [this.byHand(`${run}`), this.byHand(`${run}/${drum}`)];
    const drawn = draw ? drawnOffset(sheet, run, drum, draw) : { x: 0, y: 0, turn: 0 };
    return {
      x: hands[0].x + hands[1].x + drawn.x,
      y: hands[0].y + hands[1].y + drawn.y,
      turn: hands[0].turn + hands[1].turn + drawn.turn,
    };
  },

  // The map from a place on the sheet where ink lies to the place on the master it came from.
  toMaster(sheet, run, drum, draw) {
    const { x, y, turn } = this.offset(sheet, run, drum, draw);
    const [width, height] = sheetByNumber.get(sheet).size;
    return Affine.then(Affine.shift(-x, -y), Affine.turn(-turn, width / 2, height / 2));
  },
};

// One print in many: a pass has a shift of its own and each drum a small one on top; the shop's drift is two standard
// deviations of the shift between two inks. The first drum of a side is the frame. Where fronts and backs are printed,
// the whole back lies off by the drift between sides. Passes turn against each other as the shop says, drums of one do
// not.
function drawnOffset(sheet, run, drum, draw) {
  const side = job.passes.find((pass) => pass.number === run).side;
  const prints = sheetByNumber.get(sheet)[side].prints;
  const [frameRun, frameDrum] = prints[0];
  const own = passAndDrum(sheet, run, drum, draw);
  const frame = passAndDrum(sheet, frameRun, frameDrum, draw);
  const sides = side === "back" ? normalPair(`sides ${sheet} ${draw}`).map((z) => (z * job.drift.sides) / 2) : [0, 0];
  return { x: own[0] - frame[0] + sides[0], y: own[1] - frame[1] + sides[1], turn: own[2] - frame[2] };
}

function passAndDrum(sheet, run, drum, draw) {
  const [same, between] = [job.drift.samePass / 2, job.drift.betweenPasses / 2];
  const ofPass = Math.sqrt(Math.max(between ** 2 - same ** 2, 0) / 2);
  const ofDrum = same / Math.SQRT2;
  const pass = normalPair(`pass ${sheet} ${run} ${draw}`);
  const drums = normalPair(`drum ${sheet} ${run} ${drum} ${draw}`);
  const [turn] = normalPair(`turn ${sheet} ${run} ${draw}`);
  const ofTurn = job.drift.turn / 2 / TURN_MEASURED_OVER / Math.SQRT2;
  return [...[0, 1].map((axis) => pass[axis] * ofPass + drums[axis] * ofDrum), turn * ofTurn];
}

// Two normal numbers that belong to some words: the same words, the same numbers.
function normalPair(words) {
  const random = generator(words);
  const length = Math.sqrt(-2 * Math.log(1 - random()));
  const angle = 2 * Math.PI * random();
  const most = FURTHEST / Math.SQRT2;
  return [length * Math.cos(angle), length * Math.sin(angle)].map((z) => Math.min(Math.max(z, -most), most));
}

// A small generator of even numbers 0…1, started from a hash of the words (FNV-1a; splitmix of 32 bits).
function generator(words) {
  let seed = 2166136261;
  for (const letter of words) seed = Math.imul(seed ^ letter.codePointAt(0), 16777619);
  return () => {
    seed = (seed + 0x9e3779b9) | 0;
    let mixed = seed ^ (seed >>> 16);
    mixed = Math.imul(mixed, 0x21f0aaad);
    mixed ^= mixed >>> 15;
    mixed = Math.imul(mixed, 0x735a2d97);
    mixed ^= mixed >>> 15;
    return (mixed >>> 0) / 4294967296;
  };
}

// The pass and drum that print an ink on a side of a sheet, or null.
function printOf(sheet, side, inkIndex) {
  return sheetByNumber.get(sheet)[side].prints.find(([, , ink]) => ink === inkIndex) ?? null;
}
