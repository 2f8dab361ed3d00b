// The page as a whole: what was changed goes to the server, what comes back is
// shown. One leg at a time is asked for; whatever is changed meanwhile waits for
// its answer and is then asked for in one, so the newest always wins and a slider
// never queues up work.
import * as ask from "./ask.js";
import * as chart from "./chart.js";
import * as controls from "./controls.js";
import * as editor from "./editor.js";
import { wire } from "./hands.js";
import * as plots from "./plots.js";
import { begin, commit, keep, open, store } from "./store.js";
import * as tables from "./tables.js";

const el = id => document.getElementById(id);

let pending = new Map(); // overrides not sent yet, by path, in order
let insert = null; // an item to put in
let what = ""; // that was changed last
let busy = false;
let again = false;
let running = null; // the leg under way, to give it up
let shown = null; // the last answer: {text, panel, leg, against}
let chances = null;
let stale = true; // chances are of an earlier kit
let sailing = null; // the many weathers under way
let wait = 0;

// change takes overrides from a control.
export function change(sets, path, more) {
  for (const text of sets) {
    const name = text.slice(0, text.indexOf("="));
    pending.delete(name);
    pending.set(name, text);
  }
  if (more) insert = more;
  what = path;
  sail();
}

// typed takes a text from the pane.
function typed(text) {
  pending.clear();
  store.draft = text;
  what = "text";
  keep();
  sail();
}

// sail asks for one leg of what is on the page now.
export async function sail() {
  stopOdds();
  stale = true;
  if (busy) {
    again = true;
    return;
  }
  busy = true;
  const sent = [...pending.entries()], put = insert, draft = store.draft, text = draft ?? store.text, reason = what;
  insert = null;
  running = new AbortController();
  const late = setTimeout(() => again && running.abort(), 400); // newer waits for too long
  const asked = performance.now();
  try {
    const body = { text, sets: sent.map(s => s[1]), pinned: store.pinned?.text ?? "" };
    if (put) body.insert = put;
    const reply = await ask.sail(body, running.signal);
    for (const [name, was] of sent) if (pending.get(name) === was) pending.delete(name);
    // A text that is still being typed stays as it is typed.
    if (store.draft === draft) {
      store.draft = null;
      if (draft !== null && !sent.length) reply.text = draft;
    }
    commit(reply.text, reason);
    shown = reply;
    show();
    window.desk.took = performance.now() - asked;
    trouble("");
  } catch (bad) {
    if (bad.name !== "AbortError") refused(bad, sent, draft);
    else if (put) insert = put;
  }
  clearTimeout(late);
  busy = false;
  if (again) {
    again = false;
    sail();
  } else {
    later();
  }
}

// refused shows why a leg was not sailed; what stood before stays on the page.
function refused(bad, sent, draft) {
  if (bad.busy || bad.away) { // what was changed is not lost: it goes with the next try
    if (bad.away) trouble(bad.message);
    else setTimeout(sail, 1000);
    return;
  }
  for (const [name, was] of sent) if (pending.get(name) === was) pending.delete(name);
  const problems = bad.problems || [];
  if (draft === null && !sent.length && problems.length) { // loaded so, or a step back to such
    draft = store.draft = store.text;
    keep();
  }
  if (draft !== null) {
    editor.show(draft, problems);
    frozen(true);
    trouble(problems.length ? "The text has mistakes: they are listed below it. Curves and controls are of the last sound one." : bad.message);
    return;
  }
  const first = problems[0];
  if (sent.length) controls.refuse(first?.path || sent[sent.length - 1][0], bad.message);
  trouble(first ? `${first.path ? first.path + ": " : ""}${first.message}${first.hint ? " (" + first.hint + ")" : ""}` : bad.message);
  if (shown === null) editor.show(store.text, problems);
}

function frozen(yes) {
  el("pane-kit").inert = el("pane-leg").inert = yes;
  document.querySelector("aside").classList.toggle("frozen", yes);
}

function trouble(words) {
  el("trouble").textContent = words;
  el("trouble").hidden = !words;
  if (!words) controls.refuse("", "");
}

// show brings the whole page up to what came back.
export function show() {
  const { panel, leg, against } = shown;
  frozen(store.draft !== null);
  controls.show(el("pane-kit"), panel.kit);
  controls.show(el("pane-leg"), panel.leg);
  if (store.draft === null) editor.show(store.text, []);
  tables.answer(leg, chances, stale);
  tables.pinned(store.pinned, against, stale ? null : chances);
  tables.key(leg, against, chances);
  tables.all(leg, stale ? null : chances);
  plots.show(leg, against);
  chart.show(leg.way, leg.misses);
  el("caution").textContent = leg.caution;
  el("undo").disabled = !store.past.length;
  el("redo").disabled = !store.future.length;
  el("pin").setAttribute("aria-pressed", store.pinned !== null);
  el("pin").textContent = store.pinned ? "Unpin" : "Pin this kit";
  document.title = `${leg.tone === "bad" ? "fails" : leg.tone === "good" ? "holds" : "sailed"} · ${leg.title} · ampwake`;
}

// later sails many weathers once the hands have come to rest.
function later() {
  clearTimeout(wait);
  if (store.auto && shown && store.draft === null) wait = setTimeout(odds, 350);
  else el("again").hidden = !shown;
}

export function stopOdds() {
  clearTimeout(wait);
  sailing?.abort();
  sailing = null;
  el("cancel").hidden = true;
}

export async function odds() {
  stopOdds();
  const mine = sailing = new AbortController();
  el("cancel").hidden = false;
  el("again").hidden = true;
  const said = words => { el("progressed").textContent = words; };
  const end = words => {
    if (sailing !== mine) return;
    sailing = null;
    el("cancel").hidden = true;
    el("again").hidden = words === "";
    el("progress").value = words ? 0 : 1;
    said(words || `${store.members} of ${store.members}`);
  };
  try {
    await ask.odds({ text: store.text, pinned: store.pinned?.text ?? "", members: store.members, seed: store.seed }, {
      progress: p => {
        el("progress").value = p.done / p.total;
        said(`${p.done} of ${p.total}`);
      },
      odds: o => {
        if (sailing !== mine) return;
        chances = o;
        stale = false;
        plots.showOdds(o);
        show();
      },
      trouble: t => end(t.trouble),
      end: () => end(""),
    }, mine.signal);
    end(store.draft === null && !stale ? "" : "stopped");
  } catch (bad) {
    if (bad.name === "AbortError") return;
    if (chances && stale) { chances = null; plots.showOdds(null); show(); }
    end(bad.message);
  }
}

// take opens another scenario on the page.
export function take(name, text) {
  pending.clear();
  chances = null;
  plots.showOdds(null);
  open(name, text);
  what = "";
  sail();
}

const current = () => shown;
window.desk = { took: 0 };

try {
  const start = await ask.get("/api/start");
  begin(start.opened);
  el("version").textContent = start.version;
  controls.listen(change, a => change(a.sets || [], "fit " + a.label, a.insert));
  editor.listen(typed);
  plots.read(words => { el("reading").value = words; });
  wire({ start, change, sail, show, take, odds, stopOdds, current, trouble });
  if (store.draft !== null) {
    const draft = store.draft; // the last sound one first, so that there is something to see
    store.draft = null;
    await sail();
    typed(draft);
  } else {
    sail();
  }
  ask.get("/api/coast").then(rings => chart.coasts(rings));
} catch (bad) {
  trouble(bad.message);
}
