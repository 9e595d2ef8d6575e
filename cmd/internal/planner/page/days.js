// Days, counted from 1 January 1970, as people write them.

const months = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];
const long = ['January', 'February', 'March', 'April', 'May', 'June', 'July', 'August', 'September', 'October', 'November', 'December'];
const whole = 86400000;

const parts = (day) => {
  const d = new Date(day * whole);
  return { year: d.getUTCFullYear(), month: d.getUTCMonth(), date: d.getUTCDate() };
};

export const dayOf = (year, month, date) => Date.UTC(year, month, date) / whole;
export const short = (day) => {
  const p = parts(day);
  return `${p.date} ${months[p.month]}`;
};
export const full = (day) => {
  const p = parts(day);
  return `${p.date} ${long[p.month]} ${p.year}`;
};
export const year = (day) => parts(day).year;
export const monthName = (m) => months[m];

// typed reads "18 Oct", "18 october" or "Oct 18" as the first such day on or after another;
// null where it is none.
export function typed(text, from) {
  const m = /^\s*(?:(\d{1,2})\.?\s+([a-z]{3,})|([a-z]{3,})\s+(\d{1,2}))\s*$/i.exec(text);
  if (!m) return null;
  const date = Number(m[1] ?? m[4]);
  const month = months.findIndex((n) => (m[2] ?? m[3]).toLowerCase().startsWith(n.toLowerCase()));
  if (month < 0) return null;
  for (const y of [year(from), year(from) + 1]) {
    const day = dayOf(y, month, date);
    if (parts(day).date === date && day >= from) return day;
  }
  return null;
}

// monthStarts are the first days of the months within some days.
export function monthStarts(from, to) {
  const out = [];
  const p = parts(from);
  for (let k = 0; ; k++) {
    const day = dayOf(p.year, p.month + k, 1);
    if (day > to) return out;
    if (day >= from) out.push({ day, month: parts(day).month });
  }
}
