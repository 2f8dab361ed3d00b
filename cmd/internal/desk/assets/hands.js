// Buttons, keys and menus.
import * as ask from "./ask.js";
import * as chart from "./chart.js";
import { make } from "./make.js";
import * as plots from "./plots.js";
import { keep, redo, store, undo } from "./store.js";

const el = id => document.getElementById(id);

export function wire(page) {
  scenario(page);
  changes(page);
  weathers(page);
  lights(page);
  tabs();
  way(page);
  document.addEventListener("keydown", e => {
    if (!(e.ctrlKey || e.metaKey) || e.key.toLowerCase() !== "z" || e.target.id === "text") return;
    e.preventDefault();
    (e.shiftKey ? redo : undo)() && page.sail();
  });
}

function scenario(page) {
  const built = el("built");
  built.append(...page.start.built.map(b => make("option", { value: b.name, title: b.question }, b.name)));
  if (page.start.own) built.append(make("option", { value: "" }, page.start.opened.name + " (as opened)"));
  built.addEventListener("change", async () => {
    const at = built.selectedIndex;
    built.selectedIndex = 0;
    try {
      const found = at > page.start.built.length ? page.start.opened : await ask.get("/api/scenarios/" + page.start.built[at - 1].name);
      page.take(found.name, found.text);
    } catch (bad) {
      page.trouble(bad.message);
    }
  });
  el("load").addEventListener("click", () => el("picked").click());
  el("picked").addEventListener("change", async () => {
    const file = el("picked").files[0];
    el("picked").value = "";
    if (!file) return;
    if (file.size > 1 << 20) page.trouble(`${file.name} is longer than 1 MiB: that is no scenario`);
    else page.take(file.name, await file.text());
  });
  const base = () => store.name.split(/[\\/]/).pop().replace(/\.ya?ml$/i, "") || "scenario";
  el("save").addEventListener("click", () => ask.give(new Blob([store.draft ?? store.text], { type: "text/yaml" }), base() + ".yaml"));
  el("keep").addEventListener("change", async () => {
    const name = el("keep").value, list = el("keep");
    list.selectedIndex = 0;
    if (!name) return;
    page.stopOdds(); // one long run at a time
    list.options[0].text = "at work …";
    list.disabled = true;
    try {
      await ask.download(name, { text: store.text, members: store.members, seed: store.seed }, `${base()}-${name}`);
      page.trouble("");
    } catch (bad) {
      page.trouble(bad.message);
    }
    list.options[0].text = "Print …";
    list.disabled = false;
  });
}

function changes(page) {
  el("undo").addEventListener("click", () => undo() && page.sail());
  el("redo").addEventListener("click", () => redo() && page.sail());
  el("pin").addEventListener("click", () => {
    store.pinned = store.pinned ? null : { name: store.name, text: store.text };
    keep();
    page.sail();
  });
}

function weathers(page) {
  el("auto").checked = store.auto;
  el("members").value = String(store.members);
  el("seed").value = store.seed;
  el("auto").addEventListener("change", () => {
    store.auto = el("auto").checked;
    keep();
    store.auto ? page.odds() : page.stopOdds();
  });
  el("members").addEventListener("change", () => {
    store.members = Number(el("members").value);
    keep();
    page.odds();
  });
  el("seed").addEventListener("change", () => {
    store.seed = Math.max(0, Math.min(Number.MAX_SAFE_INTEGER, Math.floor(el("seed").valueAsNumber) || 0));
    el("seed").value = store.seed;
    keep();
    page.odds();
  });
  el("again").addEventListener("click", page.odds);
  el("cancel").addEventListener("click", () => {
    page.stopOdds();
    el("again").hidden = false;
    el("progressed").textContent = "stopped";
  });
}

function lights(page) {
  const all = [...document.querySelectorAll("[data-light]")].filter(b => b.tagName === "BUTTON");
  const mark = () => {
    const now = document.documentElement.dataset.light;
    for (const b of all) {
      b.setAttribute("aria-checked", b.dataset.light === now);
      b.tabIndex = b.dataset.light === now ? 0 : -1;
    }
  };
  const choose = light => {
    document.documentElement.dataset.light = light;
    try {
      localStorage.setItem("ampwake.light", light);
    } catch {
      // private windows may have no storage
    }
    mark();
    plots.repaint();
    if (page.current()) page.show();
  };
  for (const b of all) b.addEventListener("click", () => choose(b.dataset.light));
  arrows(all, b => { choose(b.dataset.light); b.focus(); });
  mark();
}

function tabs() {
  const all = [...document.querySelectorAll("[role=tab]")];
  const choose = tab => {
    for (const t of all) {
      t.setAttribute("aria-selected", t === tab);
      t.tabIndex = t === tab ? 0 : -1;
      el(t.getAttribute("aria-controls")).hidden = t !== tab;
    }
    store.tab = tab.id.slice(4);
    keep();
  };
  for (const t of all) t.addEventListener("click", () => choose(t));
  arrows(all, t => { choose(t); t.focus(); });
  choose(el("tab-" + store.tab) || all[0]);
}

// arrows lets the arrow keys go round a row of buttons, as is usual.
function arrows(all, go) {
  for (const [i, b] of all.entries()) {
    b.addEventListener("keydown", e => {
      const by = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[e.key];
      if (!by) return;
      e.preventDefault();
      go(all[(i + by + all.length) % all.length]);
    });
  }
}

function way(page) {
  chart.build(el("chart"), {
    move: (i, at) => page.change([`voyage.route[${i}].at=${at}`], `waypoint ${i}`),
    remove: i => page.change([`voyage.route[${i}]=`], "take out a waypoint"),
    add: (i, at) => {
      const names = page.current().leg.way.points.map(p => p.name);
      let n = names.length;
      while (names.includes(`waypoint ${n}`)) n++;
      page.change([], "put in a waypoint", { list: "voyage.route", after: i, item: `{name: waypoint ${n}, at: ${at}, by: rhumb line}` });
    },
  });
}
