// Small helpers for making elements and words.

// make makes an element: make("p", {className: "note"}, "text", another element).
// Names with a dash and role are attributes, all else properties.
export function make(tag, props = {}, ...children) {
  const e = document.createElement(tag);
  for (const [name, value] of Object.entries(props)) {
    if (name.includes("-") || name === "role" || name === "for") e.setAttribute(name, value);
    else e[name] = value;
  }
  e.append(...children.filter(c => c !== null && c !== undefined));
  return e;
}

const formats = new Map();

// number prints with so many places and a true minus sign.
export function number(x, places) {
  if (!formats.has(places)) {
    formats.set(places, new Intl.NumberFormat("en-GB", { minimumFractionDigits: places, maximumFractionDigits: places, useGrouping: true }));
  }
  const text = formats.get(places).format(x);
  return text.startsWith("-") ? (/[1-9]/.test(text) ? "−" + text.slice(1) : text.slice(1)) : text;
}

const months = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
const two = n => String(n).padStart(2, "0");

// day and moment print Unix seconds in UTC, in the order of a logbook.
export function day(t) {
  const d = new Date(t * 1000);
  return `${d.getUTCDate()} ${months[d.getUTCMonth()]}`;
}

export function moment(t) {
  const d = new Date(t * 1000);
  return `${day(t)} ${two(d.getUTCHours())}:${two(d.getUTCMinutes())} UTC`;
}

// place prints a position as the file has it: 16°53.0'N 025°00.0'W.
export function place(lat, lon) {
  lon = ((lon + 180) % 360 + 360) % 360 - 180;
  const part = (x, digits, minus, plus) => {
    const tenths = Math.round(Math.abs(x) * 600);
    const degrees = String(Math.floor(tenths / 600)).padStart(digits, "0");
    return `${degrees}°${two(Math.floor(tenths / 10) % 60)}.${tenths % 10}'${x < 0 && tenths > 0 ? minus : plus}`;
  };
  return `${part(lat, 2, "S", "N")} ${part(lon, 3, "W", "E")}`;
}

export const tone = name => getComputedStyle(document.documentElement).getPropertyValue("--" + name).trim();
export const light = () => document.documentElement.dataset.light;

// fill is the colour of layer i of n. At night there is red alone: layers differ
// by how bright they are.
export function fill(pair, i, n) {
  switch (light()) {
    case "night":
      return `rgb(${Math.round(70 + 170 * (n > 1 ? (i * 2 % n + Math.floor(i * 2 / n)) / (n - 1) : 0.5))},0,0)`;
    case "dark":
      return pair[1];
  }
  return pair[0];
}
