// The text pane: the file with its line numbers and, below, what is wrong with it.
import { make } from "./make.js";

const el = id => document.getElementById(id);
let lines = 0;
let told = () => {};

// listen says who is told what was typed, once the typing pauses.
export function listen(typed) {
  told = typed;
  let wait = 0;
  const text = el("text");
  text.addEventListener("input", () => {
    number(text.value, []);
    clearTimeout(wait);
    wait = setTimeout(() => told(text.value), 250);
  });
  text.addEventListener("scroll", () => { el("numbers").scrollTop = text.scrollTop; });
}

// show puts a text into the pane unless it is there or being typed in.
export function show(text, problems) {
  const pane = el("text");
  if (pane.value !== text && !(problems.length && document.activeElement === pane)) {
    const at = pane.selectionStart, top = pane.scrollTop;
    pane.value = text;
    pane.setSelectionRange(at, at);
    pane.scrollTop = top;
  }
  number(pane.value, problems);
  pane.setAttribute("aria-invalid", problems.length > 0);
  el("problems").replaceChildren(...problems.map(item));
}

function number(text, problems) {
  const n = text.split("\n").length;
  const bad = new Set(problems.map(p => p.line));
  if (n === lines && !problems.length && !el("numbers").querySelector("b")) return;
  lines = n;
  el("numbers").replaceChildren(...Array.from({ length: n }, (_, i) => make(bad.has(i + 1) ? "b" : "span", {}, `${i + 1}\n`)));
  el("numbers").scrollTop = el("text").scrollTop;
}

// item is one problem; pressing it goes to its line.
function item(p) {
  const words = make("span", {}, (p.path ? p.path + ": " : "") + p.message, ...(p.hint ? [make("small", {}, " " + p.hint)] : []));
  if (!p.line) return make("li", {}, p.override ? `${p.override}: ` : "", words);
  const go = make("button", { type: "button" }, `line ${p.line}, column ${p.column || 1}`);
  go.addEventListener("click", () => {
    const text = el("text"), from = text.value.split("\n").slice(0, p.line - 1).join("\n").length + (p.line > 1 ? 1 : 0);
    text.focus();
    text.setSelectionRange(from + (p.column || 1) - 1, from + text.value.slice(from).split("\n")[0].length);
    text.scrollTop = Math.max(0, (p.line - 5) * parseFloat(getComputedStyle(text).lineHeight));
  });
  return make("li", {}, go, " ", words);
}
