// What is laid over the print: warnings, and on press sheets the lines of the machine, the cutter and the folder.

function warningPanel() {
  return section("Warnings", false,
    toggle("Tint tone that is nearly full", state.warnTones, (isOn) => { state.warnTones = isOn; changed("picture"); }, { id: "warn-tones" }),
    toggle("Frame large solids", state.warnSolids, (isOn) => { state.warnSolids = isOn; changed("picture"); }, { id: "warn-solids" }),
    element("p", { className: "hint" }, "Full tone on large areas sticks, smears and sets off. Stripes lie wherever any ink is asked for "
      + `${job.limits.darkest} % or more, frames around wide areas of ${job.limits.solid} % or more.`));
}

function sheetPanel(showSheet) {
  const passes = element("div");
  const build = () => {
    const sheet = job.sheets[state.sheet];
    const runs = [...new Set(sheet[state.side].prints.map(([run]) => run))];
    if (!runs.includes(state.pass)) state.pass = 0;
    rebuild(passes,
      choice("side", "Side", [["front", "front"], ["back", "back"]], state.side, (side) => { state.side = side; state.pass = 0; showSheet(); }),
      choice("pass", "Passes", [[0, "all"], ...runs.map((run) => [run, `pass ${run}`])], state.pass, (run) => { state.pass = run; showSheet(); }),
    );
  };
  listeners.push((what) => (what === "place" || what === "view" ? build() : undefined));
  build();
  const made = section("On the press sheet", true, passes,
    ...Object.entries(OVERLAYS).map(([kind, words]) => {
      const line = toggle(words, state.overlays.has(kind), (isOn) => {
        if (isOn) state.overlays.add(kind);
        else state.overlays.delete(kind);
        changed("picture");
      }, { id: `over-${kind}` });
      line.append(element("i", { className: `sample ${kind}`, "aria-hidden": "true" }));
      return line;
    }));
  made.id = "sheet-panel";
  return made;
}

function aboutPanel() {
  const resolutions = job.pages.map(Layers.ppi).filter(Boolean);
  const [least, most] = [Math.min(...resolutions), Math.max(...resolutions)];
  const ppi = least === most ? `${most}` : `${least} to ${most}`;
  const papers = job.parts.map((part) => `${part.paper.name} (${part.paper.hex})`);
  const inks = jobInks.map((name) => {
    const ink = inkByName.get(name);
    return `${name} (${ink.measured ? "measured" : ink.hex}, gain ${round(ink.gain * 100, 0)} %${ink.opacity ? `, hides ${round(ink.opacity * 100, 0)} %` : ""})`;
  });
  const measured = job.overprints.filter((overprint) => overprint.inks.every((name) => jobInks.includes(name)))
    .map((overprint) => overprint.inks.join(" with "));
  const beyond = jobInks.filter((name) => !inkByName.get(name).onScreen);
  const code = job.code ? [", proof code ", element("b", { className: "code" }, job.code)] : [];
  const made = section("About this proof and its colours", false,
    element("p", {}, "The proof of ", element("i", {}, job.title), ...code, "."),
    element("p", {}, element("b", {}, "Colours here are a simulation."), " They were computed in this page from the separate ink layers: "
      + `paper ${[...new Set(papers)].join(", ")}; inks ${inks.join(", ")}; all as the shop's file gives them. Overprints come from a model of `
      + `films on uncoated paper (surface floor ${job.model.floor}, Yule–Nielsen n ${job.model.n}) whose constants were found on published `
      + "offset charts and not on a stencil duplicator. Paper, drying and this screen change colours too; the dots of the screen are not shown."),
    ...(measured.length ? [element("p", { id: "measured" }, `These overprints are as the studio measured them: ${measured.join(", ")}.`)] : []),
    element("p", {}, resolutions.length ? `The layers have ${ppi} pixels per inch; the masters keep the artwork's own.` : "No page prints anything."),
    ...(beyond.length ? [element("p", { className: "flag" }, `No screen can show ${beyond.join(", ")} as given.`)] : []),
    element("p", {}, stagePlainWords()));
  made.id = "about";
  document.querySelector(".simulation a").addEventListener("click", () => { made.open = true; });
  return made;
}

function stagePlainWords() {
  return document.documentElement.dataset.painter === "plain"
    ? "This browser paints without a shader: slower, the same colours."
    : "Painted by a shader; browsers without one paint the same colours, more slowly.";
}
