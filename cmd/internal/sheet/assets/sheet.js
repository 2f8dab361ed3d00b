// The panels of a sheet: look closer, read values, hide what is in the way.
// Whatever fails here, the pictures and tables of the page remain.

// chart draws one figure and returns what may be done with it.
function chart(figure, data) {
  const live = figure.querySelector(".live");
  const el = name => live.querySelector(name);
  const ground = data.ground, from = data.from, to = data.from + data.to;
  const shift = x => x.map(s => s + from);
  const state = { lo: from, hi: to, at: from + data.start };
  const paints = painter(figure, data, state);
  const font = "11px " + getComputedStyle(figure).fontFamily;
  const keys = [...live.querySelectorAll("[data-panel]")];

  function zone(t) {
    let hours = null;
    for (const [since, h] of data.zones || []) if (since + from <= t) hours = h;
    return hours;
  }

  // The library wants the highest layer first, as each is filled down to zero
  // and hides what is below it.
  function table(panel) {
    if (!panel.stack) return [panel.time, ...panel.series.map(s => s.y)];
    let sum = panel.time.map(() => 0);
    const layers = panel.layers.map((s, i) => {
      if (shown(panel, "series", i)) sum = sum.map((v, k) => v + s.y[k]);
      return sum;
    });
    return [panel.time, ...layers.reverse(), ...panel.series.slice(panel.layers.length).map(s => s.y)];
  }

  // place of series i among the library's
  const place = (panel, i) => panel.stack && i < panel.layers.length ? panel.layers.length - i : i + 1;

  function line(panel, s) {
    return {
      label: s.name,
      stroke: () => paint(s.ink),
      fill: s.fill ? () => paint(s.fill) : undefined,
      width: s.width,
      dash: s.dash ? [6, 4] : undefined,
      spanGaps: true,
      points: { show: false },
      paths: panel.stack ? uPlot.paths.stepped({ align: 1 }) : uPlot.paths.linear(),
    };
  }

  function options(panel, node) {
    const order = panel.stack ? [...panel.layers].reverse().concat(panel.series.slice(panel.layers.length)) : panel.series;
    return {
      width: node.clientWidth || 600,
      height: panel.tall,
      padding: [6 + 12 * (panel.rows || []).length, 20, 0, 0],
      tzDate: t => uPlot.tzDate(new Date(t * 1e3), "Etc/UTC"),
      legend: { show: false },
      scales: { x: { time: true, range: (u, lo, hi) => [lo, hi] }, y: { range: () => [panel.min, panel.max] } },
      series: [{}, ...order.map(s => line(panel, s))],
      axes: [{
        stroke: () => paint(ground.quiet), font, size: 26, gap: 3, space: 62,
        incrs: PACES, splits: (u, i, lo, hi, pace) => stops(lo, hi, pace),
        values: (u, all, i, room, pace) => all.map(t => pace >= DAY || t % DAY === 0 ? date(t) : clock(t)),
        grid: { show: false }, ticks: { stroke: () => paint(ground.quiet), size: 4, width: 1 },
        border: { show: true, stroke: () => paint(ground.quiet), width: 1 },
      }, {
        stroke: () => paint(ground.quiet), font, size: 44, gap: 4,
        splits: () => panel.ticks.map(t => t.at), values: () => panel.ticks.map(t => t.label),
        grid: { show: false }, ticks: { show: false },
      }],
      cursor: {
        y: false, points: { show: false }, drag: { x: true, y: false, setScale: true, dist: 4 },
        bind: {
          dblclick: () => () => { look(from, to); return null; },
          mouseleave: () => () => null, // the reading stays where it is
        },
      },
      hooks: {
        drawClear: [u => paints.back(u, panel)],
        draw: [u => paints.front(u, panel)],
        setCursor: [u => { if (!busy && u.cursor.left >= 0) read(u.posToVal(u.cursor.left, "x"), u); }],
        setScale: [(u, key) => { if (key === "x" && !busy) look(u.scales.x.min, u.scales.x.max); }],
      },
    };
  }

  let busy = true;

  // read moves the reading to a moment.
  function read(t, origin) {
    state.at = clamp(t, from, to);
    if (data.byDay) state.at = clamp(Math.floor(Math.min(state.at, to - 1) / DAY) * DAY + DAY / 2, from, to);
    busy = true;
    for (const p of data.panels) if (p.u !== origin) p.u.setCursor({ left: p.u.valToPos(state.at, "x"), top: 1 }, false);
    busy = false;
    const hours = zone(state.at), ship = hours === null ? null : state.at + hours * HOUR;
    const utc = date(state.at) + (data.byDay ? "" : " " + clock(state.at) + " UTC");
    const local = ship === null ? "" : (date(ship) === date(state.at) ? "" : date(ship) + " ") + clock(ship) + " ship’s time";
    el(".time").textContent = utc;
    el(".ship").textContent = local;
    const said = [];
    for (const k of keys) {
      const p = data.panels[k.dataset.panel], value = k.querySelector(".value");
      if (!value) continue;
      let text;
      if (k.dataset.band !== undefined) {
        const b = p.bands[k.dataset.band], lo = valueAt(b.time, b.low, state.at), hi = valueAt(b.time, b.high, state.at);
        text = lo === null ? "–" : lo.toFixed(0) + "–" + hi.toFixed(0) + " " + p.unit;
      } else {
        const v = valueAt(p.time, p.series[k.dataset.series].y, state.at, p.stack);
        text = v === null ? "–" : p.unit ? v.toFixed(p.places) + " " + p.unit : latitude(v);
      }
      value.textContent = text;
      if (k.getAttribute("aria-pressed") !== "false") said.push(p.series[k.dataset.series]?.name + " " + text);
    }
    const slide = el(".reader");
    slide.value = Math.round(state.at - from);
    slide.setAttribute("aria-valuetext", [utc, local, ...said].filter(Boolean).join(", "));
  }

  // look shows a stretch of time in all panels.
  function look(lo, hi) {
    const span = clamp(hi - lo, data.closer, to - from);
    lo = clamp(hi - lo < span ? (lo + hi - span) / 2 : lo, from, to - span);
    state.lo = lo;
    state.hi = lo + span;
    busy = true;
    for (const p of data.panels) p.u.batch(() => p.u.setScale("x", { min: state.lo, max: state.hi }));
    el(".reader").step = data.byDay ? DAY : Math.max(60, Math.round(span / 400 / 60) * 60);
    const whole = span > to - from - 1;
    el(".shown").textContent = whole ? "" : span < 2 * DAY ? date(lo) + " " + clock(lo) + " – " + (date(lo) === date(state.hi) ? "" : date(state.hi) + " ") + clock(state.hi) : date(lo) + " – " + date(state.hi);
    for (const [what, off] of [["earlier", lo <= from + 1], ["later", state.hi >= to - 1], ["closer", span <= data.closer + 1], ["wider", whole], ["whole", whole]])
      el("[data-do=" + what + "]").disabled = off;
    read(state.at);
  }

  function zoom(what) {
    const span = state.hi - state.lo, mid = state.at >= state.lo && state.at <= state.hi ? state.at : (state.lo + state.hi) / 2;
    const rest = (mid - state.lo) / span;
    switch (what) {
    case "earlier": return look(state.lo - span / 2, state.hi - span / 2);
    case "later": return look(state.lo + span / 2, state.hi + span / 2);
    case "closer": return look(mid - rest * span / 2, mid + (1 - rest) * span / 2);
    case "wider": return look(mid - rest * span * 2, mid + (1 - rest) * span * 2);
    case "whole": return look(from, to);
    }
  }

  function toggle(key) {
    const p = data.panels[key.dataset.panel], what = key.dataset.band === undefined ? "series" : "band", i = Number(key.dataset[what]);
    const show = key.getAttribute("aria-pressed") === "false";
    key.setAttribute("aria-pressed", String(show));
    p.hidden[what + i] = !show;
    busy = true;
    p.u.batch(() => {
      if (what === "series") p.u.setSeries(place(p, i), { show });
      p.u.setData(table(p), false);
      p.u.redraw(true);
    });
    busy = false;
  }

  // A finger moves the reading; up and down it still scrolls the page.
  function finger(u) {
    const move = e => {
      if (e.pointerType !== "touch") return;
      const box = u.over.getBoundingClientRect();
      read(u.posToVal(clamp(e.clientX - box.left, 0, box.width), "x"));
    };
    u.over.addEventListener("pointerdown", move);
    u.over.addEventListener("pointermove", move);
  }

  const nodes = [...live.querySelectorAll(".plot")];
  data.panels.forEach((p, i) => {
    p.time = shift(p.x);
    p.hidden = {};
    p.layers = p.stack ? p.series.filter(s => s.fill) : [];
    for (const b of p.bands || []) b.time = shift(b.x);
    p.tall = data.panels.length === 1 ? 340 : Math.round(clamp(190 * p.height, 110, 420)) + 26;
    p.u = new uPlot(options(p, nodes[i]), table(p), nodes[i]);
    finger(p.u);
  });
  const slide = el(".reader");
  slide.max = Math.round(to - from);
  slide.addEventListener("input", () => {
    const t = from + Number(slide.value), span = state.hi - state.lo;
    if (t < state.lo || t > state.hi) look(t - span / 2, t + span / 2);
    read(t);
  });
  for (const b of live.querySelectorAll("[data-do]")) b.addEventListener("click", () => zoom(b.dataset.do));
  for (const k of keys) if (k.tagName === "BUTTON") k.addEventListener("click", () => toggle(k));
  busy = false;

  function fit() {
    busy = true;
    data.panels.forEach((p, i) => {
      const width = nodes[i].clientWidth;
      if (width > 0 && width !== p.u.width) p.u.setSize({ width, height: p.tall });
    });
    busy = false;
    requestAnimationFrame(() => read(state.at)); // once the library has its new size
  }
  night.addEventListener("change", () => {
    for (const p of data.panels) p.u.redraw(true, true);
  });
  return { figure, panels: data.panels, state, look, read, fit };
}

const charts = [];
try {
  for (const node of document.querySelectorAll("script[type='application/json']")) {
    const figure = document.getElementById(node.id.replace(/-data$/, ""));
    charts.push(chart(figure, JSON.parse(node.textContent)));
  }
  document.documentElement.classList.add("showing");
  for (const c of charts) {
    c.fit();
    c.look(c.state.lo, c.state.hi);
    new ResizeObserver(() => c.fit()).observe(c.figure);
  }
  window.sheet = charts;
} catch (trouble) {
  document.documentElement.classList.remove("showing");
  console.error(trouble);
}
