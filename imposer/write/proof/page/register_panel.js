// Register: shifts by hand, prints drawn from the drift, and the worst of many.

function registerPanel(stage, gestures, showOpening) {
  const told = element("p", { className: "told", id: "register-told", "aria-live": "polite" });
  const sliders = element("div", { id: "sliders" });
  let key = `${job.passes[0]?.number ?? 0}`;
  const change = () => {
    told.textContent = registerWords(stage.scene);
    changed("register");
  };
  const build = () => {
    const hand = register.byHand(key);
    const set = (axis) => (value) => {
      register.setHand(key, { [axis]: value });
      change();
    };
    const degree = Math.PI / 180;
    rebuild(sliders,
      slider("Right", [-MOST_SHIFT, MOST_SHIFT, 0.1], hand.x, (mm) => `${round(mm)} mm`, set("x")),
      slider("Up", [-MOST_SHIFT, MOST_SHIFT, 0.1], hand.y, (mm) => `${round(mm)} mm`, set("y")),
      slider("Turn left", [-MOST_TURN / degree, MOST_TURN / degree, 0.02], hand.turn / degree, (angle) => `${round(angle, 2)}°`, (angle) => set("turn")(angle * degree)),
    );
    told.textContent = registerWords(stage.scene);
  };
  const drums = element("select", { id: "which-drum", "aria-label": "What is shifted", onchange: () => { key = drums.value; build(); } },
    ...job.passes.flatMap(drumOptions));
  gestures.push = (dx, dy, place) => {
    const [x, y] = sceneToSheet(stage.scene, dx, dy, place);
    const hand = register.byHand(key);
    register.setHand(key, { x: hand.x + x, y: hand.y + y });
    build();
    change();
  };
  const draw = (number) => {
    register.draw = number;
    change();
  };
  let again = 0;
  const repeat = button("Again and again", () => {
    if (again) again = clearInterval(again) ?? 0;
    else again = setInterval(() => draw(register.draw + 1), 900);
    repeat.setAttribute("aria-pressed", `${again !== 0}`);
  }, { "aria-pressed": "false", id: "again" });
  const planned = button("As planned", () => {
    if (again) repeat.click();
    register.hand.clear();
    register.draw = 0;
    build();
    change();
  }, { id: "as-planned" });
  const one = button("Draw a print", () => draw(register.draw + 1), { id: "draw-print", className: "main" });
  const worst = button("Worst of many", async () => {
    // What is drawn meanwhile would take the place of what is found.
    if (again) repeat.click();
    const others = [one, repeat, planned, worst];
    others.forEach((it) => { it.disabled = true; });
    let found;
    try {
      found = await findWorst(stage, (words) => { told.textContent = words; });
    } finally {
      others.forEach((it) => { it.disabled = false; });
      if (document.activeElement === document.body) worst.focus({ preventScroll: true });
    }
    if (!found) {
      told.textContent = "No print among many showed a sliver or an overlap that was not planned.";
      return;
    }
    register.draw = found.draw;
    showOpening(found.opening);
    change();
    told.textContent = `The worst of ${found.prints} prints of every spread: pages ${pagesOf(found.opening)}, print ${found.draw}. `
      + `Slivers and overlaps on ${found.area} mm². ${registerWords(stage.scene)}`;
  }, { id: "worst" });
  listeners.push((what) => {
    if (what === "place") told.textContent = registerWords(stage.scene);
  });
  build();
  return section("Register", innerWidth > 800,
    element("p", { className: "hint" }, "Shift a pass or a drum and see what it does; mm on the press sheet as it is printed."),
    drums,
    sliders,
    toggle("Drag the picture to shift it", false, (isOn) => { gestures.pushing = isOn; gestures.touch(); }),
    element("div", { className: "row" }, one, repeat, worst, planned),
    told,
    element("p", { className: "hint" }, driftWords()));
}

function drumOptions(run) {
  const all = element("option", { value: `${run.number}` }, `pass ${run.number}, ${run.side}: the whole pass`);
  return [all, ...run.drums.map(([drum, ink]) =>
    element("option", { value: `${run.number}/${drum}` }, `pass ${run.number}, ${run.side}, drum ${drum}: ${ink}`))];
}

function driftWords() {
  const { samePass, betweenPasses, sides } = job.drift;
  return `A drawn print is one that may come out: two drums of one pass within ${round(samePass, 2)} mm of one another, `
    + `two passes within ${round(betweenPasses, 2)} mm, fronts and backs within ${round(sides, 2)} mm, nineteen times in twenty `
    + "(the drift in the shop's file). Sheets drift apart from one another; the drift holds no turn.";
}

// A move of the scene as a move on the press sheet.
function sceneToSheet(scene, dx, dy, [x]) {
  if (scene.sheet) return [dx, dy];
  const { page } = scene.panels.find(({ box }) => x <= box[2]) ?? scene.panels.at(-1);
  const angle = (page.rotation * Math.PI) / 180;
  return [dx * Math.cos(angle) - dy * Math.sin(angle), dx * Math.sin(angle) + dy * Math.cos(angle)];
}

// How the inks lie that are before the eyes, in words.
function registerWords(scene) {
  if (!scene) return "";
  if (register.isPlanned()) return "As planned: every ink lies where it should.";
  const watched = job.sheets[state.sheet].number;
  const faces = state.view === "folding" ? [[watched, "front"], [watched, "back"]] : scene.sheet
    ? [[scene.sheet.number, scene.face.side]]
    : [...new Map(scene.panels.map(({ page }) => [`${page.sheet} ${page.side}`, [page.sheet, page.side]])).values()];
  const words = faces.map(([number, side]) => {
    const sheet = sheetByNumber.get(number);
    const inks = sheet[side].prints.map(([run, drum, ink]) => {
      const { x, y, turn } = register.offset(number, run, drum);
      const name = job.parts[sheet.part].inks[ink];
      if (!round(x) && !round(y) && !turn) return `${name} in place`;
      const turned = turn ? `, turned ${round((turn * 180) / Math.PI, 2)}°` : "";
      return `${name} ${round(Math.abs(x))} mm ${x < 0 ? "left" : "right"}, `
        + `${round(Math.abs(y))} mm ${y < 0 ? "down" : "up"}${turned}`;
    });
    return `Sheet ${number} ${side}: ${inks.join("; ")}.`;
  });
  return `${register.draw ? `Print ${register.draw}. ` : ""}${words.join(" ")}`;
}
