// Findings: a list, pins where they are, and a card with the words.

function findingsPanel(goTo) {
  const rows = job.findings.map((finding, index) => element("li", {},
    button("", () => goTo(index), { className: `finding ${finding.level}`, id: `finding-${index}` })));
  rows.forEach((row, index) => row.firstChild.append(...findingWords(job.findings[index], index)));
  const made = section(`Findings (${job.findings.length})`, job.findings.length > 0 && innerWidth > 800,
    ...(rows.length ? [choice("pins", "Pins where they are", [["serious", "warnings"], ["all", "all"], ["none", "none"]], state.pins, (which) => {
      state.pins = which;
      changed("picture");
    })] : []),
    rows.length ? element("ol", { className: "findings" }, ...rows) : element("p", {}, "The check found nothing."));
  made.id = "findings-panel";
  return made;
}

function findingWords(finding, index) {
  const measured = finding.measured && finding.limit ? ` (${finding.measured}; limit ${finding.limit})` : "";
  return [
    element("b", { className: "number" }, `${index + 1}`),
    element("span", {}, element("em", {}, `${finding.level}${finding.where ? `, ${finding.where}` : ""}: `), `${finding.message}${measured}`,
      ...(finding.accepted ? [element("small", {}, `accepted: ${finding.accepted}`)] : []),
      ...(finding.mend ? [element("small", {}, `→ ${finding.mend}`)] : [])),
  ];
}

function showCard(index) {
  const card = document.getElementById("card");
  state.selected = index;
  const opener = document.activeElement;
  card.giveBack = () => (opener.id === `finding-${index}` ? opener : document.querySelector(`.pin[data-finding="${index}"]`));
  const close = button("×", () => closeCard(card.giveBack()), { className: "close", "aria-label": "Close" });
  card.className = `card ${job.findings[index].level}`;
  card.replaceChildren(close, ...findingWords(job.findings[index], index));
  card.hidden = false;
  changed("picture");
}

// Takes the card away. If it has the focus, that goes to what is named, such as the finding it was opened from, else to
// the stage.
function closeCard(next) {
  const card = document.getElementById("card");
  if (card.hidden) return;
  if (card.contains(document.activeElement)) (next ?? document.getElementById("stage")).focus({ preventScroll: true });
  card.hidden = true;
  state.selected = null;
  changed("picture");
}
