// The curves: state of charge with the band of many weathers and the pinned kit,
// and what comes in and goes out. uPlot draws axes and lines; nights, bands and
// piles are painted below them here.
/* global uPlot */
import { day, fill, moment, number, tone } from "./make.js";

const sync = uPlot.sync("desk");
const phone = matchMedia("(max-width: 46rem)");
const tall = () => (phone.matches ? 150 : 290); // on a phone the curve stays above the sliders
const low = () => (phone.matches ? 120 : 150);
let leg = null; // what is shown, with times after leg.from
let chances = null;
let against = null;
let plots = [];
let notify = () => {};

// read says who is told what the curves say under the pointer.
export function read(told) { notify = told; }

export function show(l, a) {
  leg = l;
  against = a && !a.trouble ? a : null;
  if (chances && chances.from !== leg.from) chances = null;
  if (!plots.length) build();
  const [charge, into, out] = plots;
  const tables = [[at(leg.charge.x), leg.charge.y]];
  // The pinned kit is drawn by the time since its own departure.
  if (against) tables.push([at(against.charge.x), against.charge.y]);
  charge.setData(tables.length > 1 ? uPlot.join(tables) : [...tables[0], new Array(leg.charge.y.length).fill(null)]);
  into.setData(pileData(leg.in));
  out.setData(pileData(leg.out));
}

export function showOdds(c) {
  chances = c;
  plots[0]?.redraw();
}

export function repaint() {
  for (const p of plots) p.redraw(true, true);
}

const at = x => x.map(t => leg.from + t);
const sums = s => s.x.slice(0, -1).map((_, i) => s.layers.reduce((all, l) => all + l.y[i], 0));
function pileData(s) {
  if (!s.layers.length) return [[leg.from, leg.from + leg.to], [0, 0]];
  const top = sums(s);
  return [at(s.x), [...top, top[top.length - 1]]];
}

function build() {
  const x = {
    stroke: () => tone("quiet"), font: font(), grid: { show: false }, ticks: { stroke: () => tone("hair"), size: 5, width: 1 }, size: 26, space: 62,
    // Round days only: hours say nothing on a passage of weeks.
    splits: (u, i, lo, hi, step) => {
      const whole = Math.max(86400, Math.ceil(step / 86400) * 86400), all = [];
      if (hi - lo < 2 * 86400) return range(lo, hi, 6 * 3600);
      for (let t = Math.ceil(lo / 86400) * 86400; t <= hi; t += whole) all.push(t);
      return all;
    },
    values: (u, all) => all.map(t => (t % 86400 ? moment(t).slice(-9, -4) : day(t))),
  };
  const y = (label, most) => ({
    stroke: () => tone("quiet"), font: font(), size: 40, space: 28, ticks: { show: false },
    grid: { stroke: () => tone("hair"), width: 1 }, values: (u, all) => all.map(v => number(v, most)),
  });
  const make = (id, series, scale, axis, under, height) => {
    const node = document.getElementById(id);
    const u = new uPlot({
      width: Math.max(280, node.clientWidth), height: height(), tzDate: t => uPlot.tzDate(new Date(t * 1000), "UTC"),
      legend: { show: false }, cursor: { sync: { key: sync.key }, drag: { x: false, y: false }, points: { show: id === "charge" } },
      scales: { x: { time: true, range: () => [leg.from, leg.from + leg.to] }, y: { range: scale } },
      axes: [x, axis], series: [{}, ...series], padding: [8, 10, 0, 0],
      hooks: { drawClear: [ground, under], drawAxes: id === "charge" ? [floor] : [], setCursor: id === "charge" ? [told] : [] },
    }, [[leg.from, leg.from + leg.to], ...series.map(() => [0, 0])], node);
    new ResizeObserver(() => {
      if (node.clientWidth && (node.clientWidth !== u.width || height() !== u.height)) u.setSize({ width: node.clientWidth, height: height() });
    }).observe(node);
    return u;
  };
  const line = (colour, width, dash) => ({ stroke: () => tone(colour), width, dash, spanGaps: true, points: { show: false } });
  const top = pick => () => [0, Math.max(1, 1.08 * Math.max(0, ...sums(pick()), ...(pick().offered || [])))];
  plots = [
    make("charge", [line("stock", 2), line("pin", 1.6, [7, 4])], () => [0, 100], y("%", 0), bands, tall),
    make("in", [line("quiet", 0.5)], top(() => leg.in), y("A", 0), u => pile(u, leg.in), low),
    make("out", [line("quiet", 0.5)], top(() => leg.out), y("A", 0), u => pile(u, leg.out), low),
  ];
  for (const p of plots.slice(1)) p.series[1].paths = uPlot.paths.stepped({ align: 1 });
}

const font = () => "12px system-ui, sans-serif";
const range = (lo, hi, by) => Array.from({ length: Math.floor(hi / by) - Math.ceil(lo / by) + 1 }, (_, i) => (Math.ceil(lo / by) + i) * by);

// ground paints the nights.
function ground(u) {
  const { ctx, bbox } = u;
  ctx.fillStyle = tone("shade");
  for (const [a, b] of leg.nights) {
    const left = u.valToPos(leg.from + a, "x", true);
    ctx.fillRect(left, bbox.top, u.valToPos(leg.from + b, "x", true) - left, bbox.height);
  }
}

// bands paints the band of many weathers and the edges of the pinned one.
function bands(u) {
  const { ctx, bbox } = u;
  const px = t => u.valToPos(leg.from + t, "x", true), py = v => u.valToPos(v, "y", true);
  ctx.save();
  ctx.beginPath();
  ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height);
  ctx.clip();
  const trace = (x, y) => x.forEach((t, i) => (i ? ctx.lineTo(px(t), py(y[i])) : ctx.moveTo(px(t), py(y[i]))));
  if (chances) {
    const b = chances.band;
    ctx.beginPath();
    trace(b.x, b.p90);
    for (let i = b.x.length - 1; i >= 0; i--) ctx.lineTo(px(b.x[i]), py(b.p10[i]));
    ctx.fillStyle = tone("band");
    ctx.fill();
    ctx.beginPath();
    trace(b.x, b.p50);
    stroke(ctx, "stock", 1, [2, 3]);
    if (chances.against && against) {
      ctx.beginPath();
      trace(chances.against.x, chances.against.p10);
      trace(chances.against.x, chances.against.p90);
      stroke(ctx, "pin", 1, [2, 3]);
    }
  }
  ctx.restore();
}

// floor is painted over the grid, which may have a line at the same place.
function floor(u) {
  if (!(leg.floor > 0)) return;
  const { ctx, bbox } = u, y = u.valToPos(leg.floor, "y", true);
  ctx.beginPath();
  ctx.moveTo(bbox.left, y);
  ctx.lineTo(bbox.left + bbox.width, y);
  stroke(ctx, "alarm", 1.5, []);
  ctx.fillStyle = tone("alarm");
  ctx.font = `${12 * devicePixelRatio}px system-ui, sans-serif`;
  ctx.textAlign = "left";
  ctx.textBaseline = "top";
  ctx.fillText(`floor ${number(leg.floor, 0)} %`, bbox.left + 6 * devicePixelRatio, y + 4 * devicePixelRatio);
}

function stroke(ctx, colour, width, dash) {
  ctx.strokeStyle = tone(colour);
  ctx.lineWidth = width * devicePixelRatio;
  ctx.setLineDash(dash.map(d => d * devicePixelRatio));
  ctx.stroke();
  ctx.setLineDash([]);
}

// pile paints layers one upon the other, each constant in its bins, and how much
// more was offered.
function pile(u, s) {
  const { ctx } = u;
  const base = new Array(Math.max(0, s.x.length - 1)).fill(0);
  const px = t => u.valToPos(leg.from + t, "x", true), py = v => u.valToPos(v, "y", true);
  const stairs = y => {
    y.forEach((v, i) => {
      ctx.lineTo(px(s.x[i]), py(v));
      ctx.lineTo(px(s.x[i + 1]), py(v));
    });
  };
  s.layers.forEach((l, k) => {
    ctx.beginPath();
    stairs(base.map((v, i) => v + l.y[i]));
    for (let i = base.length - 1; i >= 0; i--) {
      ctx.lineTo(px(s.x[i + 1]), py(base[i]));
      ctx.lineTo(px(s.x[i]), py(base[i]));
    }
    ctx.fillStyle = fill(l.fill, k, s.layers.length);
    ctx.fill();
    l.y.forEach((v, i) => { base[i] += v; });
  });
  if (s.offered) {
    ctx.beginPath();
    stairs(s.offered);
    stroke(ctx, "quiet", 1, [3, 3]);
  }
}

// told says what stands under the pointer, or nothing.
function told(u) {
  const t = u.cursor.left >= 0 ? u.posToVal(u.cursor.left, "x") : null;
  if (t === null || !leg) return notify("");
  const parts = [moment(t), `charge ${number(value(leg.charge, t - leg.from), 1)} %`];
  if (against) parts.push(`pinned ${number(value(against.charge, t - leg.from), 1)} %`);
  const bin = leg.in.x.findLastIndex(x => x <= t - leg.from);
  for (const l of leg.in.layers) if (bin >= 0 && l.y[bin] > 0.05) parts.push(`${l.name} ${number(l.y[bin], 1)} A`);
  return notify(parts.join(" · "));
}

// value reads a line at a time.
export function value(l, t) {
  const i = l.x.findIndex(x => x >= t);
  if (i <= 0) return l.y[i < 0 ? l.y.length - 1 : 0];
  const share = (t - l.x[i - 1]) / (l.x[i] - l.x[i - 1]);
  return l.y[i - 1] + share * (l.y[i] - l.y[i - 1]);
}
