// Small makers of what stands in the panel.

function element(name, properties = {}, ...children) {
  const made = document.createElement(name);
  Object.entries(properties).forEach(([key, value]) => {
    if (key.startsWith("on")) made.addEventListener(key.slice(2), value);
    else if (key in made && !key.startsWith("aria")) made[key] = value;
    else made.setAttribute(key, value);
  });
  made.append(...children);
  return made;
}

function section(title, isOpen, ...children) {
  return element("details", { open: isOpen }, element("summary", {}, title), element("div", { className: "inside" }, ...children));
}

function button(words, onclick, properties = {}) {
  return element("button", { type: "button", onclick, ...properties }, words);
}

// Puts new children into a box. What had the focus gives it to the new control of the same name, else to what is around.
function rebuild(box, ...children) {
  const held = box.contains(document.activeElement) ? controlName(document.activeElement) : null;
  box.replaceChildren(...children);
  if (held === null) return;
  const same = [...box.querySelectorAll("button, input, select")].find((it) => controlName(it) === held);
  (same ?? box.closest("[tabindex]"))?.focus({ preventScroll: true });
}

function controlName(it) {
  const words = it.getAttribute("aria-label") ?? it.closest("label")?.textContent ?? it.textContent;
  return [it.tagName, it.type, it.name, it.type === "radio" ? it.value : "", words].join("|");
}

// Switches a button off or on. What is off cannot keep the focus: it goes to what stands beside it.
function disable(made, isOff, beside) {
  if (isOff && document.activeElement === made) beside.focus();
  made.disabled = isOff;
}

// A switch with its words; `set` is called with whether it is on.
function toggle(words, isOn, set, properties = {}) {
  const input = element("input", { type: "checkbox", checked: isOn, onchange: () => set(input.checked), ...properties });
  return element("label", { className: "toggle" }, input, element("span", {}, words));
}

// One of a few, side by side. `choices` are [value, words].
function choice(name, words, choices, chosen, set) {
  return element("fieldset", { className: "choice" }, element("legend", {}, words), ...choices.map(([value, label]) => {
    const input = element("input", { type: "radio", name, checked: value === chosen, onchange: () => set(value) });
    return element("label", {}, input, element("span", {}, label));
  }));
}

// A slider with its value in words beside it; `write` turns a number into words.
function slider(words, range, value, write, set) {
  const [min, max, step] = range;
  const told = element("output", {}, write(value));
  const input = element("input", {
    type: "range", min, max, step, value, "aria-label": words,
    oninput: () => {
      told.textContent = write(Number(input.value));
      input.setAttribute("aria-valuetext", told.textContent);
      set(Number(input.value));
    },
  });
  input.setAttribute("aria-valuetext", told.textContent);
  return element("label", { className: "slider" }, element("span", {}, words), input, told);
}
