// Where things stand on the calendar of a season: numbers alone, no elements.
import { dayOf } from './days.js';

export const lanes = { soil: 34, crop: 70, spray: 106 };
export const height = 128;
const margin = 16;
const apart = 15; // marks of one lane nearer than this are set one above the other

const laneOf = {
  cultivate: 'soil',
  spray_off: 'soil',
  drill: 'crop',
  latest: 'crop',
  sow: 'crop',
  destroy: 'crop',
  herbicides: 'spray',
  in_crop: 'spray',
};

// scale turns days into places and back.
export function scale(season, width) {
  const from = Math.min(season.open, dayOf(season.harvest - 1, 7, 1)) - 3; // August to August, so that seasons compare
  const to = Math.max(season.end + 6, dayOf(season.harvest, 7, 31), ...season.marks.map((m) => m.day + 4));
  const each = (width - 2 * margin) / (to - from);
  return { from, to, x: (day) => margin + (day - from) * each, day: (x) => Math.round((x - margin) / each + from) };
}

// placed gives every mark its place. Of marks that would touch the second stands lower.
export function placed(season, width) {
  const s = scale(season, width);
  const last = {};
  return [...season.marks]
    .sort((a, b) => a.day - b.day)
    .map((mark) => {
      const lane = laneOf[mark.kind];
      const x = s.x(mark.day);
      let y = lanes[lane];
      if (lane !== 'crop') {
        const before = last[lane];
        const low = before !== undefined && x - before.x < apart && !before.low;
        y += low ? 9 : -5;
        last[lane] = { x, low };
      }
      return { mark, x, y };
    });
}

export const within = (mark, day) => Math.min(Math.max(day, mark.low), mark.high);

// stepped is where a key takes a mark; null where the key is not for marks.
export function stepped(mark, key, shift) {
  const by = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1, PageDown: -28, PageUp: 28 }[key];
  if (key === 'Home') return mark.low;
  if (key === 'End') return mark.high;
  if (by === undefined) return null;
  return within(mark, mark.day + by * (shift && Math.abs(by) === 1 ? 7 : 1));
}
