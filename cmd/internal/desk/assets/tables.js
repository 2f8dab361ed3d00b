// The answer in words, and the tables of where it comes from and goes to.
import { fill, make, number } from "./make.js";

const el = id => document.getElementById(id);
let spoken = 0;

// answer shows the lines of one leg, and those of many weathers below.
export function answer(leg, chances, stale) {
  el("title").textContent = leg.title;
  el("question").textContent = leg.question;
  const blocks = [block("One leg", leg.answer, leg.tone, [leg.passed + "."])];
  if (chances) blocks.push(block(`${number(chances.done, 0)} weathers`, chances.answer, chances.tone, chances.passed));
  blocks[1]?.classList.toggle("stale", stale);
  el("lines").replaceChildren(...blocks);
  el("brief").replaceChildren(make("b", { className: leg.tone }, leg.answer[0][0]), ` ${leg.answer[2][1]}`);
  // Spoken once things have come to rest.
  clearTimeout(spoken);
  spoken = setTimeout(() => {
    el("spoken").textContent = leg.answer.map(l => l.join(": ")).join(". ") + (chances && !stale ? `. ${chances.done} weathers: ${chances.answer[0].join(" ")}` : "");
  }, 900);
}

function block(name, lines, tone, facts) {
  return make("div", { className: "block " + tone }, make("h2", {}, name),
    ...lines.map(([label, text]) => make("p", { className: label.length > 8 ? "wide" : "" }, make("b", {}, label), " ", make("span", {}, text))),
    ...facts.map(f => make("p", { className: "fact" }, f)));
}

export function pinned(pin, against, chances) {
  const p = el("pinned");
  p.hidden = !pin;
  if (!pin) return;
  const words = against ? (against.trouble ? [against.trouble] : against.words) : [];
  const many = chances ? (chances.trouble ? [chances.trouble] : chances.words || []) : [];
  p.replaceChildren(make("p", {}, make("b", {}, `Against the pinned kit (${pin.name}), same weather. `), words.join(" ")), ...(many.length ? [make("p", {}, many.join(" "))] : []));
}

export function key(leg, against, chances) {
  const item = (mark, text) => make("span", {}, make("i", { className: mark }), text);
  el("charge-key").replaceChildren(item("line", "this leg"), ...(against ? [item("dash", "pinned kit")] : []),
    ...(chances ? [item("band", `lowest of each day in 8 of 10 of ${number(chances.done, 0)} weathers`), item("dots", "the middle one")] : []),
    ...(leg.nights.length ? [item("night", "sun below the horizon")] : []));
}

export function all(leg, chances) {
  const tables = [
    sums("In, by source", leg.made, leg.in.layers.length, leg.made.reduce((a, b) => a + b.daily, 0), leg.spilled > 0.005 ? `Of this ${number(leg.spilled, 1)} Ah a day are spilled: the bank refuses them.` : ""),
    sums("Out, by load", leg.used, leg.out.layers.length, leg.used.reduce((a, b) => a + b.daily, 0), ""),
    misses(leg),
    ledger("Ledger of the bus", "Wh", leg.bus, 0), ledger("Ledger of the bank", "Ah", leg.bank, 1),
  ];
  if (chances && chances.goals.length) tables.splice(2, 0, section(`Goals in ${number(chances.done, 0)} weathers`, list(chances.goals)));
  if (leg.actions.length) tables.push(section("What happened on board", grid(["When", "What", "Why"], leg.actions.map(a => [a.When, a.What, a.Why]))));
  tables.push(section("What it cost", list(leg.costs)), section("Assumed", list(leg.notes), "fold"));
  el("tables").replaceChildren(...tables);
}

const section = (title, body, fold) => (fold
  ? make("details", { className: "part" }, make("summary", {}, title), body)
  : make("section", { className: "part" }, make("h2", {}, title), body));

const list = pairs => make("dl", {}, ...pairs.flatMap(([a, b]) => [make("dt", {}, a), make("dd", {}, b)]));

function grid(head, rows) {
  return make("div", { className: "box", tabIndex: 0, role: "region", "aria-label": head.join(", ") }, make("table", {},
    make("thead", {}, make("tr", {}, ...head.map(h => make("th", { scope: "col" }, h)))),
    make("tbody", {}, ...rows.map(r => make("tr", {}, ...r.map((c, i) => make(i ? "td" : "th", i ? {} : { scope: "row" }, c)))))));
}

function sums(title, rows, layers, sum, note) {
  const most = Math.max(0.001, ...rows.map(r => r.daily));
  const body = rows.map(r => {
    const mark = make("i", { className: "swatch" }), bar = make("i", { className: "bar" });
    mark.style.background = bar.style.background = fill(r.fill, r.layer, layers);
    bar.style.width = `${100 * r.daily / most}%`;
    return make("tr", {}, make("th", { scope: "row" }, mark, r.name), make("td", { className: "n" }, number(r.daily, 1)),
      make("td", { className: "bars" }, bar), make("td", { className: "note" }, r.note || ""));
  });
  body.push(make("tr", { className: "sum" }, make("th", { scope: "row" }, "together"), make("td", { className: "n" }, number(sum, 1)), make("td"), make("td")));
  return section(title, make("div", {}, make("table", { className: "sums" },
    make("thead", {}, make("tr", {}, make("td"), make("th", { scope: "col", className: "n" }, "Ah a day"), make("td"), make("td"))),
    make("tbody", {}, ...body)), make("p", { className: "note" }, note)));
}

function misses(leg) {
  if (!leg.missed) return section("Missed", make("p", {}, "Nothing."));
  const rows = leg.misses.map(m => [m.When, m.Load, m.Why, m.Place]);
  const body = grid(["When", "Load", "Why", "Where"], rows);
  const more = leg.missed > rows.length ? `The first ${rows.length} of ${number(leg.missed, 0)}.` : "";
  return section(`Missed: ${number(leg.missed, 0)}`, make("div", {}, body, make("p", { className: "note" }, more)));
}

function ledger(title, unit, rows, places) {
  return section(title, make("table", { className: "sums" },
    make("thead", {}, make("tr", {}, make("td"), make("th", { scope: "col", className: "n" }, unit))),
    make("tbody", {}, ...rows.map(r => make("tr", { className: r.sum ? "sum" : "" }, make("th", { scope: "row" }, r.name), make("td", { className: "n" }, number(r.value, places)))))));
}
