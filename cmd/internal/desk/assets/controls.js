// The controls of kit and leg, as the server describes them. Whatever is moved
// becomes overrides, path=value, handed to change(sets, what, done).
import { make } from "./make.js";

let change = () => {};
let addTo = () => {};
const folded = new Map(); // groups that the reader opened or closed, by title
const panes = new Map(); // what is shown: {shape, patches}

// listen says who is told of changes: onChange(sets, what) while moving and
// onAdd({sets, insert, label}) for things put in or taken out.
export function listen(onChange, onAdd) {
  change = onChange;
  addTo = onAdd;
}

// show brings a pane up to date. While its controls stay the same only values are
// set, so that the slider under the finger stays there.
export function show(pane, groups) {
  const shape = JSON.stringify(groups.map(g => [g.title, g.remove, g.adds, g.controls.map(c => [c.path, c.kind, c.unit, c.none, (c.options || []).map(o => o.label)])]));
  const shown = panes.get(pane);
  if (shown && shown.shape === shape) {
    groups.forEach((g, i) => shown.groups[i](g));
    return;
  }
  const focused = pane.contains(document.activeElement) ? document.activeElement.id : "";
  const made = groups.map((g, i) => group(g, `${pane.id}-${i}`));
  const decks = groups.map((g, i) => (g.deck && g.deck !== groups[i - 1]?.deck ? make("h3", { className: "deck" }, g.deck) : null));
  pane.replaceChildren(...made.flatMap((m, i) => (decks[i] ? [decks[i], m.node] : [m.node])));
  panes.set(pane, { shape, groups: made.map(m => m.patch) });
  if (focused) document.getElementById(focused)?.focus();
}

// refuse marks the control that a refused override came from and says why.
export function refuse(path, words) {
  for (const node of document.querySelectorAll("[data-path]")) {
    const at = node.dataset.path;
    const bad = words && (at === path || path.startsWith(at + ".") || at.startsWith(path + "."));
    node.classList.toggle("refused", bad);
    node.querySelector(".why").textContent = bad ? words : "";
    for (const field of node.querySelectorAll("input,select")) field.setAttribute("aria-invalid", bad);
  }
}

function group(g, id) {
  const parts = g.controls.map((c, i) => control(c, `${id}-${i}`));
  const sum = make("small", {}, g.sum || "");
  const node = make("details", { className: "group", open: folded.has(g.title) ? folded.get(g.title) : !!g.open },
    make("summary", {}, make("span", {}, g.title), " ", sum), ...parts.map(p => p.node));
  node.addEventListener("toggle", () => folded.set(g.title, node.open));
  if (g.remove) {
    const take = make("button", { type: "button", className: "quiet", "aria-label": `Take out ${g.title}` }, "Take out");
    take.addEventListener("click", () => addTo({ sets: g.remove, label: g.title }));
    node.append(make("p", { className: "take" }, take));
  }
  for (const a of g.adds || []) {
    const put = make("button", { type: "button" }, "+ " + a.label);
    put.addEventListener("click", () => addTo(a));
    node.append(put);
  }
  return {
    node,
    patch(now) {
      sum.textContent = now.sum || "";
      now.controls.forEach((c, i) => parts[i].patch(c));
    },
  };
}

const kinds = { range, choice, text, switch: toggle, moment };

function control(c, id) {
  const inside = kinds[c.kind](c, id);
  const note = make("span", { className: "note", id: id + "-note" }, c.note || "");
  const why = make("span", { className: "why" });
  const label = make("label", { for: id, title: c.doc }, c.label);
  const node = make("div", { className: `control ${c.kind}`, title: c.doc, "data-path": c.path }, label, ...inside.nodes, note, why);
  node.classList.toggle("absent", !!c.absent);
  for (const field of inside.nodes) if (field.matches("input,select")) field.setAttribute("aria-describedby", id + "-note");
  return {
    node,
    patch(now) {
      note.textContent = now.note || "";
      node.classList.toggle("absent", !!now.absent);
      inside.patch(now);
    },
  };
}

// range is a scale, the same as a number to type, and its unit. One that may be
// left out has a box in front of it.
function range(c, id) {
  let now = c;
  const scale = make("input", { type: "range", id, step: "any" });
  const amount = make("input", { type: "number", className: "amount", step: "any", "aria-label": `${c.label}, ${c.unit}` });
  const unit = make("span", { className: "unit" }, c.unit);
  const use = c.none ? make("input", { type: "checkbox", className: "use", "aria-label": `${c.label}: in use` }) : null;
  const none = c.none ? make("span", { className: "none" }, c.none) : null;
  const tell = value => change([`${now.path}=${value} ${unitText(c.unit)}`], now.path);
  scale.addEventListener("input", () => {
    const value = Number((Math.round(scale.value / c.step) * c.step).toFixed(4));
    amount.value = value;
    scale.setAttribute("aria-valuetext", `${value} ${c.unit}`);
    tell(value);
  });
  // Arrow keys take the step of the scale; "any" alone would have a browser
  // choose one.
  scale.addEventListener("keydown", e => {
    const by = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1, PageUp: 10, PageDown: -10 }[e.key];
    if (!by) return;
    e.preventDefault();
    scale.value = Math.min(now.max, Math.max(now.min, Number(scale.value) + by * c.step));
    scale.dispatchEvent(new Event("input"));
  });
  amount.addEventListener("change", () => {
    if (amount.value !== "" && Number.isFinite(amount.valueAsNumber)) tell(amount.valueAsNumber);
  });
  if (use) use.addEventListener("change", () => (use.checked ? tell(now.number || 0) : change([now.path + "="], now.path)));
  const patch = next => {
    now = next;
    const value = next.number || 0, off = !!use && !!next.absent;
    scale.min = next.min || 0;
    scale.max = next.max || 0;
    if (document.activeElement !== scale || !scale.matches(":active")) scale.value = value;
    if (document.activeElement !== amount) amount.value = value;
    scale.setAttribute("aria-valuetext", off ? next.none : `${value} ${next.unit}`);
    scale.disabled = amount.disabled = off;
    if (use) use.checked = !off;
    none?.parentElement?.classList.toggle("off", off);
  };
  patch(c);
  return { nodes: [use, scale, amount, unit, none].filter(Boolean), patch };
}

// The file's words for the few units that are signs here.
const unitText = unit => (unit === "×" ? "" : unit);

function choice(c, id) {
  let now = c;
  const list = make("select", { id });
  list.addEventListener("change", () => {
    const sets = now.options[list.selectedIndex]?.sets;
    if (sets) change(sets, now.path);
  });
  const patch = next => {
    now = next;
    if (list.length !== next.options.length) list.replaceChildren(...next.options.map(o => make("option", {}, o.label)));
    list.selectedIndex = next.options.findIndex(o => o.chosen);
  };
  patch(c);
  return { nodes: [list], patch };
}

function text(c, id) {
  let now = c;
  const field = make("input", { type: "text", id, value: c.text || "", placeholder: "always", spellcheck: false });
  field.addEventListener("change", () => change([`${now.path}=${field.value}`], now.path));
  return {
    nodes: [field],
    patch(next) {
      now = next;
      if (document.activeElement !== field) field.value = next.text || "";
    },
  };
}

function toggle(c, id) {
  let now = c;
  const box = make("input", { type: "checkbox", id, checked: !!c.on });
  box.addEventListener("change", () => change([now.sets[box.checked ? 1 : 0]], now.path));
  return {
    nodes: [box],
    patch(next) {
      now = next;
      box.checked = !!next.on;
    },
  };
}

// moment is a date in words as in the file, and a scale over its year, since
// seasons are what one wants to try.
function moment(c, id) {
  const field = make("input", { type: "text", id, spellcheck: false });
  const scale = make("input", { type: "range", min: 1, max: 366, step: 1, "aria-label": `${c.label}: day of the year` });
  let clock = "";
  let year = 2000;
  field.addEventListener("change", () => change([`${c.path}=${field.value}`], c.path));
  scale.addEventListener("input", () => {
    field.value = new Date(Date.UTC(year, 0, Number(scale.value))).toISOString().slice(0, 10) + clock;
    scale.setAttribute("aria-valuetext", field.value);
    change([`${c.path}=${field.value}`], c.path);
  });
  const patch = next => {
    const text = next.text || "";
    const day = new Date(text.slice(0, 10) + "T00:00:00Z");
    if (document.activeElement !== field) field.value = text;
    if (Number.isNaN(day.getTime()) || scale.matches(":active")) return;
    year = day.getUTCFullYear();
    clock = text.slice(10);
    scale.value = Math.round((day - Date.UTC(year, 0, 1)) / 86400000) + 1;
    scale.setAttribute("aria-valuetext", text);
  };
  patch(c);
  return { nodes: [field, scale], patch };
}
