// Inks and paper: each ink on or off, one alone as its master, another ink in its drum, the paper as it is or white.

function inkPanel() {
  const box = element("div", { id: "inks" });
  const build = () => rebuild(box, ...jobInks.map(inkRow), paperChoice());
  listeners.push((what) => (what === "inks" ? build() : undefined));
  build();
  return section("Inks and paper", true, box);
}

function partOfInk(name) {
  return Math.max(job.parts.findIndex((part) => part.inks.includes(name)), 0);
}

function inkRow(name) {
  const drum = inkInDrum(name);
  const swatch = element("i", { className: "swatch", "aria-hidden": "true" });
  swatch.style.background = inkCss(partOfInk(name), name);
  const shown = toggle(name, isShown(name), (isOn) => {
    // With one ink alone all others are off, and stay so as far as nobody switches them on.
    const wasAlone = state.alone !== null;
    if (wasAlone) state.off = new Set(jobInks.filter((other) => !isShown(other)));
    state.alone = null;
    if (isOn) state.off.delete(name);
    else state.off.add(name);
    changed(wasAlone ? "inks" : "picture");
  });
  shown.prepend(swatch);
  const alone = button("Alone", () => {
    state.alone = state.alone === name ? null : name;
    changed("inks");
  }, { className: "small", "aria-pressed": `${state.alone === name}`, "aria-label": `${name} alone, as its gray master` });
  const drums = element("select", {
    "aria-label": `Ink in the drum of ${name}`,
    onchange: () => {
      if (drums.value === name) state.swapped.delete(name);
      else state.swapped.set(name, drums.value);
      changed("inks");
    },
  }, ...job.inks.map((ink) => element("option", { value: ink.name, selected: ink.name === drum.name }, ink.name)));
  const rows = [
    element("div", { className: "line" }, shown, alone),
    element("label", { className: "drum" }, element("span", {}, drum.name === name ? "printed with" : "printed instead with"), drums),
  ];
  if (!drum.onScreen) {
    rows.push(element("p", { className: "flag" }, `${drum.name} is purer than any screen can show; the nearest colour stands here.`));
  }
  return element("div", { className: "ink" }, ...rows);
}

function paperChoice() {
  const papers = [...new Set(job.parts.map((part) => part.paper.name))].join(", ");
  return choice("paper", "Paper", [[false, `As it is: ${papers}`], [true, "White"]], state.whitePaper, (isWhite) => {
    state.whitePaper = isWhite;
    changed("inks");
  });
}
