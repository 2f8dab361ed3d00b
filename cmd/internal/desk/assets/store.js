// What the page holds: the text of the scenario and the way back. All of it is in
// the browser's storage after every change, so that nothing is lost on reload.

const key = "ampwake.desk/1";
const mostSteps = 200;
const mostText = 1.5e6; // characters; storage has room for about 5 million

export const store = {
  start: null, // what the page was started with: {name, text}
  name: "", // of the scenario, for saving
  text: "", // sound: it has been sailed
  draft: null, // typed and not sound yet
  pinned: null, // {name, text} of the kit to compare with
  past: [],
  future: [],
  members: 200,
  seed: 1,
  auto: true,
  tab: "kit",
};

let last = { key: "", at: 0 }; // the change made last

// open takes another scenario; what was there is one step back.
export function open(name, text) {
  remember();
  store.name = name;
  store.text = text;
  store.draft = null;
  last = { key: "", at: 0 };
  keep();
}

// commit takes a changed text. Changes of the same thing within a moment are one
// step: a slider dragged across its scale is undone at once.
export function commit(text, what) {
  if (text === store.text) return;
  const now = performance.now();
  if (what !== last.key || now - last.at > 1500 || !store.past.length) remember();
  store.text = text;
  last = { key: what, at: now };
  keep();
}

function remember() {
  if (!store.text) return;
  store.past.push({ name: store.name, text: store.text });
  store.future = [];
  let size = 0;
  for (let i = store.past.length - 1; i >= 0; i--) {
    size += store.past[i].text.length;
    if (size > mostText || store.past.length - i > mostSteps) {
      store.past.splice(0, i + 1);
      break;
    }
  }
}

// step goes back or forward; it says whether there was anything to go to.
export function step(from, to) {
  const next = store[from].pop();
  if (!next) return false;
  store[to].push({ name: store.name, text: store.text });
  store.name = next.name;
  store.text = next.text;
  store.draft = null;
  last = { key: "", at: 0 };
  keep();
  return true;
}

export const undo = () => step("past", "future");
export const redo = () => step("future", "past");

export function keep() {
  try {
    localStorage.setItem(key, JSON.stringify(store));
  } catch {
    try { // no room: the way back is what can be missed
      localStorage.setItem(key, JSON.stringify({ ...store, past: [], future: [] }));
    } catch {
      // private windows may have no storage
    }
  }
}

// begin takes up what was there before a reload. If the page was started with
// something else meanwhile, that comes first, and what was there is a step back.
export function begin(start) {
  let kept = null;
  try {
    kept = JSON.parse(localStorage.getItem(key));
  } catch {
    // none, or of another make
  }
  if (kept && typeof kept.text === "string" && Array.isArray(kept.past) && Array.isArray(kept.future)) {
    for (const name of Object.keys(store)) if (name in kept) store[name] = kept[name];
  }
  const same = store.start && store.start.name === start.name && store.start.text === start.text;
  store.start = start;
  if (!same || !store.text) open(start.name, start.text);
}
