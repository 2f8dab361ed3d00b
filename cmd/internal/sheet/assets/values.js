// Times, and the values of lines at a time. Moments are seconds, Unix and UTC.

const HOUR = 3600, DAY = 24 * HOUR;
const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
const two = n => String(n).padStart(2, "0");

const at = t => new Date(Math.round(t / 60) * 6e4);
const date = t => at(t).getUTCDate() + " " + MONTHS[at(t).getUTCMonth()];
const clock = t => two(at(t).getUTCHours()) + ":" + two(at(t).getUTCMinutes());
const clamp = (x, lo, hi) => Math.max(lo, Math.min(hi, x));

function latitude(x) {
  const minutes = Math.round(Math.abs(x) * 60);
  return Math.floor(minutes / 60) + "°" + two(minutes % 60) + "'" + (minutes === 0 ? "" : x < 0 ? "S" : "N");
}

// below returns the last index of ascending x with x[i] <= t, or 0.
function below(x, t) {
  let lo = 0, hi = x.length - 1;
  while (lo < hi) {
    const mid = (lo + hi + 1) >> 1;
    if (x[mid] <= t) lo = mid; else hi = mid - 1;
  }
  return lo;
}

// valueAt reads a line at t, on the straight between the points that are there,
// or a step. Beyond its ends a line has no value.
function valueAt(x, y, t, step) {
  let i = below(x, t), j = i + 1;
  if (step) return y[i];
  while (i >= 0 && y[i] === null) i--;
  while (j < y.length && y[j] === null) j++;
  if (i < 0) return null;
  if (t <= x[i] + 1) return y[i];
  return j === y.length ? null : y[i] + (y[j] - y[i]) * (t - x[i]) / (x[j] - x[i]);
}

// Steps between labels of the axis, and where they begin: days at midnight,
// weeks on Mondays.
const PACES = [600, 1800, HOUR, 3 * HOUR, 6 * HOUR, 12 * HOUR, DAY, 2 * DAY, 4 * DAY, 7 * DAY, 14 * DAY, 28 * DAY, 56 * DAY];
function stops(min, max, pace) {
  const start = pace >= 7 * DAY ? 4 * DAY : 0; // the first Monday
  const out = [];
  for (let t = Math.ceil((min - start) / pace) * pace + start; t <= max; t += pace) out.push(t);
  return out;
}

