// The map: coasts, track and waypoints to drag. Its units are degrees of
// longitude, and of latitude stretched as Mercator did it, north up.
import { make, place } from "./make.js";

const ns = "http://www.w3.org/2000/svg";
const up = lat => -Math.log(Math.tan(Math.PI / 4 + Math.max(-84, Math.min(84, lat)) * Math.PI / 360)) * 180 / Math.PI;
const down = y => (Math.atan(Math.exp(-y * Math.PI / 180)) * 360 / Math.PI) - 90;

let way = null;
let misses = [];
let view = null; // x, y, width, height in map units
let chosen = -1;
let moved = () => {};
let svg, land, track, missed, points, said;

function element(name, attributes, ...children) {
  const e = document.createElementNS(ns, name);
  for (const [k, v] of Object.entries(attributes)) e.setAttribute(k, v);
  e.append(...children);
  return e;
}

// build makes the map in a node. told.move(i, position), told.add(i, position)
// and told.remove(i) are asked for.
export function build(node, told) {
  moved = told;
  svg = element("svg", { role: "group", "aria-label": "Map of the passage", preserveAspectRatio: "xMidYMid slice" });
  land = element("g", { class: "land" });
  track = element("path", { class: "track" });
  missed = element("g", { class: "missed" });
  points = element("g", {});
  svg.append(element("g", { class: "grid" }), land, track, missed, points);
  said = make("p", { className: "read" }, make("output", {}));
  const button = (label, name, act) => {
    const b = make("button", { type: "button", "aria-label": name, title: name }, label);
    b.addEventListener("click", act);
    return b;
  };
  node.append(make("div", { className: "helm" }, make("h2", {}, "Way"),
    button("+", "Closer", () => zoom(0.6)), button("−", "Wider", () => zoom(1.6)), button("Whole passage", "Show the whole passage", () => { view = null; draw(); }),
    button("Waypoint after", "Put in a waypoint after the chosen one", () => addAfter()), button("Take out", "Take out the chosen waypoint", () => chosen >= 0 && moved.remove(chosen))),
  make("div", { className: "sea" }, svg), said);
  svg.addEventListener("pointerdown", pan);
  svg.addEventListener("wheel", e => { if (e.ctrlKey) { e.preventDefault(); zoom(e.deltaY > 0 ? 1.15 : 0.87); } }, { passive: false });
  new ResizeObserver(() => draw()).observe(svg);
}

// coasts takes the rings of the land. They are drawn three times, so that a
// passage may cross the date line.
export function coasts(rings) {
  const path = rings.map(r => "M" + r.map(([lon, lat]) => `${lon} ${up(lat).toFixed(2)}`).join("L") + "Z").join("");
  for (const by of [-360, 0, 360]) land.append(element("path", { d: path, transform: `translate(${by} 0)` }));
}

export function show(w, m) {
  const was = way && way.points.map(p => p.name).join("|");
  way = w;
  misses = m;
  if (was !== way.points.map(p => p.name).join("|")) { view = null; chosen = -1; }
  draw();
}

function bounds() {
  const all = way.track.concat(way.points.map(p => [p.lat, p.lon]));
  const xs = all.map(p => p[1]), ys = all.map(p => up(p[0]));
  const box = { x: Math.min(...xs), y: Math.min(...ys), w: Math.max(...xs) - Math.min(...xs), h: Math.max(...ys) - Math.min(...ys) };
  const edge = Math.max(3, 0.12 * Math.max(box.w, box.h));
  return { x: box.x - edge, y: box.y - edge, w: box.w + 2 * edge, h: box.h + 2 * edge };
}

// scale is map units to a pixel.
function scale() {
  const r = svg.getBoundingClientRect();
  return r.width ? Math.min(view.w / r.width, view.h / r.height) : 0.1;
}

// draw fits the view to the window's shape and paints all.
function draw() {
  if (!way) return;
  view ||= bounds();
  const r = svg.getBoundingClientRect();
  if (!r.width) return;
  const shape = r.width / r.height;
  if (view.w / view.h < shape) { view.x -= (view.h * shape - view.w) / 2; view.w = view.h * shape; } else { view.y -= (view.w / shape - view.h) / 2; view.h = view.w / shape; }
  svg.setAttribute("viewBox", `${view.x} ${view.y} ${view.w} ${view.h}`);
  track.setAttribute("d", "M" + way.track.map(([lat, lon]) => `${lon} ${up(lat).toFixed(3)}`).join("L"));
  const px = scale();
  grid(px);
  const near = (lon, to) => lon + 360 * Math.round((to - lon) / 360);
  missed.replaceChildren(...misses.slice(0, 60).map(m => element("circle", { cx: near(m.Lon, way.points[0].lon + (view.x + view.w / 2 - way.points[0].lon)), cy: up(m.Lat), r: 4 * px })));
  const focused = points.contains(document.activeElement) ? Number(document.activeElement.dataset.i) : -1;
  points.replaceChildren(...way.points.map((p, i) => waypoint(p, i, px)));
  if (focused >= 0) points.children[focused]?.focus({ preventScroll: true });
}

function grid(px) {
  const g = svg.querySelector(".grid");
  const step = [1, 2, 5, 10, 20, 30].find(s => s / px > 80) || 30;
  const lines = [];
  for (let lon = Math.ceil(view.x / step) * step; lon < view.x + view.w; lon += step) {
    const e = ((lon + 180) % 360 + 360) % 360 - 180;
    lines.push(element("line", { x1: lon, x2: lon, y1: view.y, y2: view.y + view.h }));
    if (lon > view.x + 40 * px) lines.push(element("text", { x: lon + 3 * px, y: view.y + view.h - 5 * px, "font-size": 11 * px }, `${Math.abs(e)}°${e < 0 ? "W" : "E"}`));
  }
  for (let lat = -80; lat <= 80; lat += step) {
    const y = up(lat);
    if (y < view.y || y > view.y + view.h) continue;
    lines.push(element("line", { x1: view.x, x2: view.x + view.w, y1: y, y2: y }),
      element("text", { x: view.x + 4 * px, y: y - 3 * px, "font-size": 11 * px }, lat ? `${Math.abs(lat)}°${lat < 0 ? "S" : "N"}` : "equator"));
  }
  g.replaceChildren(...lines);
}

function waypoint(p, i, px) {
  const left = p.lon > view.x + 0.7 * view.w;
  const g = element("g", {
    class: "waypoint" + (i === chosen ? " chosen" : ""), tabindex: 0, role: "button", "data-i": i,
    "aria-label": `${p.name || "waypoint " + (i + 1)}, ${p.at}. ${way.own ? "Arrow keys move it by a quarter of a degree" : "From a GPX file: it cannot be moved"}`,
  },
  element("circle", { class: "catch", cx: p.lon, cy: up(p.lat), r: 14 * px }), element("circle", { cx: p.lon, cy: up(p.lat), r: 5 * px }),
  element("text", { x: p.lon + (left ? -10 : 10) * px, y: up(p.lat) + 4 * px, "font-size": 12.5 * px, "text-anchor": left ? "end" : "start" }, p.name));
  g.addEventListener("focus", () => choose(i));
  g.addEventListener("keydown", e => {
    const by = { ArrowUp: [0.25, 0], ArrowDown: [-0.25, 0], ArrowLeft: [0, -0.25], ArrowRight: [0, 0.25] }[e.key];
    if (by && way.own) { e.preventDefault(); put(i, p.lat + by[0], p.lon + by[1]); }
    if (e.key === "Delete") moved.remove(i);
  });
  g.addEventListener("pointerdown", e => {
    e.stopPropagation();
    choose(i);
    if (!way.own) return;
    svg.setPointerCapture(e.pointerId);
    const drag = at => { const [lat, lon] = where(at); put(i, lat, lon); };
    const end = () => { svg.removeEventListener("pointermove", drag); svg.removeEventListener("pointerup", end); };
    svg.addEventListener("pointermove", drag);
    svg.addEventListener("pointerup", end);
  });
  return g;
}

function choose(i) {
  chosen = i;
  const p = way.points[i];
  said.firstChild.value = p ? `${p.name} ${p.at}` : "";
  [...points.children].forEach((g, k) => g.classList.toggle("chosen", k === i));
}

// put moves a waypoint: here at once, in the file when the server has it.
function put(i, lat, lon) {
  lat = Math.max(-80, Math.min(80, lat));
  const p = way.points[i];
  Object.assign(p, { lat, lon, at: place(lat, lon) });
  way.track = way.points.map(q => [q.lat, q.lon]); // until it is sailed
  choose(i);
  draw();
  moved.move(i, p.at);
}

function addAfter() {
  const i = Math.max(0, Math.min(chosen < 0 ? 0 : chosen, way.points.length - 2));
  const a = way.points[i], b = way.points[i + 1];
  moved.add(i, place(down((up(a.lat) + up(b.lat)) / 2), (a.lon + b.lon) / 2));
}

function where(e) {
  const r = svg.getBoundingClientRect();
  return [down(view.y + (e.clientY - r.top) / r.height * view.h), view.x + (e.clientX - r.left) / r.width * view.w];
}

function zoom(by) {
  view = { x: view.x + view.w * (1 - by) / 2, y: view.y + view.h * (1 - by) / 2, w: view.w * by, h: view.h * by };
  draw();
}

// pan drags the sea.
function pan(e) {
  if (e.pointerType === "touch" && !e.isPrimary) return;
  const from = { ...view, px: scale(), cx: e.clientX, cy: e.clientY };
  svg.setPointerCapture(e.pointerId);
  const move = at => {
    view.x = from.x - (at.clientX - from.cx) * from.px;
    view.y = from.y - (at.clientY - from.cy) * from.px;
    draw();
  };
  const end = () => { svg.removeEventListener("pointermove", move); svg.removeEventListener("pointerup", end); };
  svg.addEventListener("pointermove", move);
  svg.addEventListener("pointerup", end);
}
