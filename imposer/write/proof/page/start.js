// The page put together: what is shown when, and what turns it.

function pagesOf(index) {
  return job.openings[index].filter((page) => page !== null).sort((a, b) => a - b).join("–");
}

function start() {
  const find = (id) => document.getElementById(id);
  const stage = new Stage(find("stage"), location.hash.includes("plain"));
  document.documentElement.dataset.painter = stage.isPlain ? "plain" : "shader";
  const bench = new FoldingBench(stage, find("folding"));
  const gestures = new Gestures(stage, { turn, push: () => {} });
  const views = { booklet: "show-booklet", sheets: "show-sheets", folding: "show-folding" };

  // Sheets are turned over before the next one comes.
  const places = () => (state.view === "booklet" ? job.openings.length : state.view === "sheets" ? 2 * job.sheets.length : job.sheets.length);
  const place = () => (state.view === "booklet" ? state.opening : state.view === "sheets" ? 2 * state.sheet + (state.side === "back") : state.sheet);

  function setPlace(index) {
    const held = Math.min(Math.max(index, 0), places() - 1);
    if (state.view === "booklet") state.opening = held;
    else if (state.view === "folding") state.sheet = held;
    else {
      state.sheet = held >> 1;
      state.side = held % 2 ? "back" : "front";
      if (!job.sheets[state.sheet][state.side].prints.some(([run]) => run === state.pass)) state.pass = 0;
    }
    show();
  }

  function turn(way) {
    const ahead = job.backward && state.view === "booklet" ? "left" : "right";
    const steps = { left: ahead === "left" ? 1 : -1, right: ahead === "right" ? 1 : -1, back: -1, forward: 1, first: -Infinity, last: Infinity };
    setPlace(place() + steps[way]);
  }

  function words() {
    if (state.view === "sheets") {
      const runs = state.pass ? `, pass ${state.pass} alone` : "";
      return `Sheet ${job.sheets[state.sheet].number} of ${job.sheets.length}, ${state.side}${runs}`;
    }
    if (state.view === "folding") return `Sheet ${job.sheets[state.sheet].number} of ${job.sheets.length}`;
    const isBook = job.openings.some((pair) => pair.every((page) => page !== null));
    const bound = job.openings.filter((pair) => !pair.some((page) => job.extras.includes(page)));
    const isBack = state.opening === bound.length - 1;
    const pages = pagesOf(state.opening);
    const end = isBook && state.opening === 0 ? "Front cover, page " : isBook && isBack ? "Back cover, page " : "";
    return `${end && !pages.includes("–") ? end : pages.includes("–") ? "Pages " : "Page "}${pages} of ${job.pages.length}`;
  }

  // Shows what the state says.
  function show() {
    closeCard();
    find("folding").hidden = state.view !== "folding";
    find("stage").hidden = state.view === "folding";
    find("sheet-panel").hidden = state.view !== "sheets";
    Object.entries(views).forEach(([name, id]) => find(id).setAttribute("aria-pressed", `${name === state.view}`));
    document.body.dataset.view = state.view;
    const slide = find("place");
    slide.max = places() - 1;
    slide.value = place();
    // Of what is read from the right the left button goes on, as the left arrow key does.
    document.querySelector(".turning").dir = job.backward && state.view === "booklet" ? "rtl" : "ltr";
    find("where").textContent = words();
    slide.setAttribute("aria-valuetext", words().replace("–", " and ").replace(/^Pages?/, (word) => word.toLowerCase()));
    disable(find("back"), place() === 0, slide);
    disable(find("forward"), place() === places() - 1, slide);
    if (state.view === "folding") bench.show(job.sheets[state.sheet]);
    else showScene();
    changed("place");
  }

  function showScene() {
    const scene = state.view === "sheets" ? sheetScene(state.sheet, state.side, state.pass) : bookletScene(state.opening);
    if (state.view === "sheets") scene.face.side = state.side;
    stage.show(scene);
    nameStage();
    clearTimeout(start.patience);
    start.patience = setTimeout(() => { find("wait").hidden = stage.isReady; }, 300);
  }

  // Says to who cannot see it what is on the stage.
  function nameStage() {
    const off = jobInks.filter((name) => !isShown(name));
    const changes = [
      ...(state.alone ? [`${state.alone} alone, as its gray master`] : off.length ? [`without ${off.join(", ")}`] : []),
      ...[...state.swapped].map(([name, other]) => `${other} in the drum of ${name}`),
      ...(state.whitePaper ? ["on white paper"] : []),
      ...(register.isPlanned() ? [] : [register.draw ? `print ${register.draw}` : "off register"]),
    ];
    find("stage").setAttribute("aria-label", `${stage.scene.label}, ${changes.join("; ") || "as planned"}; a simulation`);
  }

  function setView(name) {
    state.view = name;
    state.pass = 0;
    view.whole = true;
    show();
    changed("view");
  }

  function goTo(index) {
    const finding = job.findings[index];
    if (finding.sheet !== null && sheetByNumber.has(finding.sheet)) {
      state.sheet = job.sheets.findIndex((sheet) => sheet.number === finding.sheet);
      state.side = finding.side ?? "front";
      setView("sheets");
    } else if (finding.page !== null && pageByNumber.has(finding.page)) {
      state.opening = Math.max(job.openings.findIndex((pair) => pair.includes(finding.page)), 0);
      setView("booklet");
    }
    showCard(index);
  }

  gestures.touch = () => {
    find("stage").style.touchAction = gestures.pushing || !view.whole ? "none" : "pan-y";
    find("stage").classList.toggle("pushing", gestures.pushing);
  };
  stage.listeners.push(() => {
    gestures.touch();
    if (stage.isReady) find("wait").hidden = true;
    const scale = stage.printScale();
    find("scale").textContent = scale ? `${Math.round((view.scale / scale) * 100)} %` : "";
    find("scale").title = "of print pixels";
    find("whole").setAttribute("aria-pressed", `${view.whole}`);
  });
  start.overlay = new Overlay(stage, showCard);
  find("panel").append(
    sheetPanel(show), inkPanel(), registerPanel(stage, gestures, (opening) => { state.opening = opening; setView("booklet"); }),
    warningPanel(), findingsPanel(goTo), aboutPanel(),
  );
  listeners.push((what) => {
    if (what === "place" || what === "view") return;
    if (state.view === "folding") bench.show(job.sheets[state.sheet]);
    else {
      stage.redraw();
      nameStage();
    }
  });
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape") closeCard(find("card").giveBack?.());
  });
  Object.entries(views).forEach(([name, id]) => find(id).addEventListener("click", () => setView(name)));
  find("back").addEventListener("click", () => turn("back"));
  find("forward").addEventListener("click", () => turn("forward"));
  find("place").addEventListener("input", (event) => setPlace(Number(event.target.value)));
  find("nearer").addEventListener("click", () => gestures.zoom(1.4));
  find("farther").addEventListener("click", () => gestures.zoom(1 / 1.4));
  find("whole").addEventListener("click", () => gestures.whole());
  find("pixels").addEventListener("click", () => gestures.pixels());
  start.stage = stage;
  start.bench = bench;
  start.gestures = gestures;
  start.setPlace = setPlace;
  show();
}

start();
