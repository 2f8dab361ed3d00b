// What is painted on the panels besides what the library paints.

const night = matchMedia("screen and (prefers-color-scheme: dark)");
const paint = pair => pair[night.matches ? 1 : 0];

// area fills between two curves, in the colours of the canvas.
function area(u, x, low, high, fill) {
  const c = u.ctx;
  c.beginPath();
  x.forEach((t, i) => c.lineTo(u.valToPos(t, "x", true), u.valToPos(high[i], "y", true)));
  for (let i = x.length - 1; i >= 0; i--) c.lineTo(u.valToPos(x[i], "x", true), u.valToPos(low[i], "y", true));
  c.fillStyle = fill;
  c.fill();
}

function inside(u, draw) {
  u.ctx.save();
  u.ctx.beginPath();
  u.ctx.rect(u.bbox.left, u.bbox.top, u.bbox.width, u.bbox.height);
  u.ctx.clip();
  draw(u.ctx, uPlot.pxRatio);
  u.ctx.restore();
}

// shown tells whether a part of a panel has not been hidden.
const shown = (panel, what, i) => panel.hidden[what + i] !== true;

// painter paints a figure: back what lies behind the lines of a panel, front
// what stands before them.
function painter(figure, data, state) {
  const ground = data.ground, from = data.from;
  const face = px => px * uPlot.pxRatio + "px " + getComputedStyle(figure).fontFamily;

  function back(u, panel) {
    inside(u, (c, px) => {
      if (u.bbox.width / px / ((state.hi - state.lo) / DAY) >= 10) {
        c.fillStyle = paint(ground.night);
        for (const [a, b] of data.nights || []) {
          const l = u.valToPos(a + from, "x", true), r = u.valToPos(b + from, "x", true);
          if (r > u.bbox.left && l < u.bbox.left + u.bbox.width) c.fillRect(l, u.bbox.top, r - l, u.bbox.height);
        }
      }
      for (const t of panel.ticks) {
        c.fillStyle = paint(t.strong ? ground.quiet : ground.hair);
        c.fillRect(u.bbox.left, Math.round(u.valToPos(t.at, "y", true)), u.bbox.width, Math.max(1, Math.round(px)));
      }
      (panel.bands || []).forEach((b, i) => {
        if (shown(panel, "band", b.name ? i : i - 1)) area(u, b.time, b.low, b.high, paint(b.fill));
      });
      for (const l of panel.levels || []) {
        if (!l.shade || !shown(panel, "series", 0)) continue;
        c.globalAlpha = 0.35;
        const first = panel.series[0].y, y = first.map(v => Math.min(v === null ? l.at : v, l.at));
        area(u, panel.time, y, y.map(() => l.at), paint(l.shade));
        c.globalAlpha = 1;
      }
    });
  }

  function words(c, px, text, x, y, ink, align) {
    c.font = face(11);
    c.textAlign = align;
    c.textBaseline = "alphabetic";
    c.lineJoin = "round";
    c.lineWidth = 4 * px;
    c.strokeStyle = paint(ground.paper);
    c.globalAlpha = 0.8;
    c.strokeText(text, x, y);
    c.globalAlpha = 1;
    c.fillStyle = ink;
    c.fillText(text, x, y);
  }

  function front(u, panel) {
    inside(u, (c, px) => {
      const bottom = u.bbox.top + u.bbox.height, right = u.bbox.left + u.bbox.width;
      for (const l of panel.levels || []) {
        const y = u.valToPos(l.at, "y", true);
        c.fillStyle = paint(l.ink);
        c.fillRect(u.bbox.left, y - 0.5 * px, u.bbox.width, 1.2 * px);
        // At the end at which the first line is farther away.
        const far = t => Math.abs((valueAt(panel.time, panel.series[0].y, t) ?? l.at) - l.at);
        const late = far(u.scales.x.max) >= far(u.scales.x.min);
        words(c, px, l.label, late ? right - 4 * px : u.bbox.left + 4 * px, y - 5 * px, paint(l.ink), late ? "right" : "left");
      }
      (panel.spells || []).forEach((row, i) => {
        c.fillStyle = paint(row.ink);
        for (const [a, b] of row.spans) {
          const l = u.valToPos(a + from, "x", true);
          c.fillRect(l, bottom - (5 + 6 * i) * px, Math.max(px, u.valToPos(b + from, "x", true) - l), 4 * px);
        }
      });
      for (const p of panel.points || []) {
        const x = u.valToPos(p.at + from, "x", true), y = u.valToPos(p.y, "y", true);
        c.fillStyle = paint(p.ink);
        c.beginPath();
        c.arc(x, y, 3.5 * px, 0, 7);
        c.fill();
        c.font = face(11);
        const half = c.measureText(p.label).width / 2 + 5 * px;
        const under = y + 20 * px < bottom;
        if (x >= u.bbox.left && x <= right)
          words(c, px, p.label, clamp(x, u.bbox.left + half, right - half), under ? y + 17 * px : y - 9 * px, paint(p.ink), "center");
      }
      if (panel.empty) words(c, px, panel.empty, (u.bbox.left + right) / 2, (u.bbox.top + bottom) / 2, paint(ground.quiet), "center");
    });
    const c = u.ctx, px = uPlot.pxRatio, left = u.bbox.left, right = left + u.bbox.width;
    (panel.rows || []).forEach((row, i, all) => {
      const y = u.bbox.top - (all.length - i - 0.5) * 12 * px;
      c.fillStyle = paint(row.ink);
      for (const m of row.marks || []) {
        const x = u.valToPos(m + from, "x", true);
        if (x < left - 1 || x > right + 1) continue;
        c.beginPath();
        c.moveTo(x - 4 * px, y - 4 * px);
        c.lineTo(x + 4 * px, y - 4 * px);
        c.lineTo(x, y + 4 * px);
        c.fill();
      }
      for (const [a, b] of row.spans || []) {
        const l = clamp(u.valToPos(a + from, "x", true), left, right), r = clamp(u.valToPos(b + from, "x", true), left, right);
        if (r > l) c.fillRect(l, y - 2.5 * px, Math.max(2 * px, r - l), 5 * px);
      }
    });
  }

  return { back, front };
}
