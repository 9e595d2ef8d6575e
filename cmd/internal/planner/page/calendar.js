// The seasons as calendars: bars for cover and crop, a mark for each day of work.
import { el, words, sentence, button } from './el.js';
import { short, full, monthStarts, monthName, year } from './days.js';
import { scale, placed, lanes, height } from './strip.js';
import { movable } from './drag.js';

export const kinds = {
  cultivate: 'cultivation',
  spray_off: 'burn-off',
  drill: 'drilling',
  latest: 'latest day',
  herbicides: 'herbicide',
  in_crop: 'work in the crop',
  sow: 'cover sown',
  destroy: 'cover destroyed',
};

// shape draws the sign of a kind about the point 0, 0. Kinds differ in form, not in colour alone.
function shape(kind) {
  switch (kind) {
    case 'cultivate':
      return el('path', { class: 'soil', d: 'M-6-6h12v12h-12z' });
    case 'spray_off':
      return el('path', { class: 'burn', d: 'M-6-6L6 6M6-6L-6 6' });
    case 'drill':
      return el('path', { class: 'drill', d: 'M-8-12H8L0 6z' });
    case 'latest':
      return el('path', { class: 'latest', d: 'M0-14V14M0-14h9l-3 4 3 4H0' });
    case 'herbicides':
      return el('circle', { class: 'spray', r: 6 });
    case 'in_crop':
      return el('path', { class: 'incrop', d: 'M0-7L7 6H-7z' });
    case 'sow':
      return el('path', { class: 'sow', d: 'M-2-12h4v24h-4z' });
    default:
      return el('path', { class: 'sow', d: 'M-2-12h4v24h-4zM-6-12h12M-6 12h12' });
  }
}

export function key() {
  return Object.entries(kinds).map(([kind, name]) =>
    el('li', {}, el('svg', { viewBox: '-12 -16 24 32', width: 18, height: 24, 'aria-hidden': 'true' }, shape(kind)), name),
  );
}

// said is a mark as it is read out.
export function said(season, mark) {
  const what =
    mark.kind === 'latest'
      ? `latest day for drilling ${words(season.crop)}`
      : mark.kind === 'drill'
        ? `drilling ${words(season.crop)} with ${words(mark.what)}`
        : mark.kind === 'sow'
          ? `sowing the cover, ${words(mark.what)}`
          : mark.kind === 'destroy'
            ? `destroying the cover with ${words(mark.what)}`
            : [...new Set([kinds[mark.kind], words(mark.what)])].join(', ');
  return `${what}${mark.written ? '' : ' (usual practice)'}`;
}

// when is a mark's day as the plan counts it.
export function when(mark) {
  return plainly(mark) + (mark.if ? `, if ${mark.if}` : '');
}

function plainly(mark) {
  const days = `${mark.days} ${mark.days === 1 ? 'day' : 'days'}`;
  switch (mark.from) {
    case 'after-drilling':
      return `${short(mark.day)}, ${days} after drilling`;
    case 'before-drilling':
      return mark.days === 0 ? `${short(mark.day)}, the day of drilling` : `${short(mark.day)}, ${days} before drilling`;
    case 'after-harvest':
      return `${short(mark.day)}, ${days} after harvest`;
    default:
      return short(mark.day);
  }
}

function bar(x0, x1, name, what) {
  const w = Math.max(x1 - x0, 2);
  const g = el('g', { class: 'bar ' + name }, el('rect', { x: x0, y: lanes.crop - 11, width: w, height: 22, rx: 2 }));
  if (w > 7.2 * what.length + 22) g.append(el('text', { x: x0 + w / 2 + 4, y: lanes.crop + 4, 'text-anchor': 'middle' }, what));
  return g;
}

// backdrop is what stands behind the marks: months, bars, the days on which runs drilled.
function backdrop(season, s, width, look) {
  const g = el('g', { 'aria-hidden': 'true' });
  const starts = monthStarts(s.from, s.to);
  starts.forEach(({ day, month }, i) => {
    const x = s.x(day);
    const next = i + 1 < starts.length ? s.x(starts[i + 1].day) : width - 10;
    g.append(el('line', { class: month === 0 ? 'newyear' : 'month', x1: x, x2: x, y1: 18, y2: height - 6 }));
    if (next - x > 14)
      g.append(
        el('text', { class: 'monthname', x: (x + next) / 2, y: 12, 'text-anchor': 'middle' }, next - x > 27 ? monthName(month) : monthName(month)[0]),
      );
  });
  if (s.x(season.open) > s.x(s.from) + 4)
    g.append(el('rect', { class: 'before', x: s.x(s.from), y: 18, width: s.x(season.open) - s.x(s.from), height: height - 24 }));
  const day = (id) => season.marks.find((m) => m.id === id)?.day;
  if (day('cover.sow') !== undefined) g.append(bar(s.x(day('cover.sow')), s.x(day('cover.destroy')), 'cover', words(season.cover)));
  const drilled = day('drill.date');
  if (!season.bare) g.append(bar(s.x(drilled ?? season.open), s.x(season.end), 'crop', words(season.crop)));
  if (look && look.share > 0) {
    g.append(
      el('rect', { class: 'indeed', x: s.x(look.from), y: lanes.crop + 13, width: Math.max(s.x(look.to) - s.x(look.from), 3), height: 5, rx: 2 }),
    );
  }
  return g;
}

function markElement(page, season, index, { mark, x, y }, strip) {
  const chosen = page.chosen && page.chosen.season === index && page.chosen.mark === mark.id;
  const wrong = page.mistakesAt(season, mark);
  const seldom = page.look?.seasons?.[index]?.done?.[mark.id];
  const g = el(
    'g',
    {
      class: ['mark', mark.written ? '' : 'usual', chosen ? 'chosen' : '', wrong ? 'wrong' : '', seldom === undefined ? '' : 'seldom'].join(' '),
      transform: `translate(${x} ${y})`,
      tabindex: 0,
      role: 'slider',
      'data-mark': mark.id,
      'data-season': index,
      'aria-label': said(season, mark),
      'aria-valuemin': mark.low,
      'aria-valuemax': mark.high,
      'aria-valuenow': mark.day,
      'aria-valuetext': full(mark.day),
      'aria-invalid': wrong ? 'true' : null,
      'aria-orientation': 'horizontal',
    },
    el('rect', { class: 'hit', x: -14, y: -14, width: 28, height: 28, rx: 4 }),
    shape(mark.kind),
    el('title', {}, `${when(mark)}: ${said(season, mark)}`),
  );
  movable(page, g, season, index, mark, strip);
  return g;
}

// strip draws the calendar of a season at a width.
export function strip(page, season, index, width) {
  const s = scale(season, width);
  const svg = el('svg', {
    class: 'strip',
    viewBox: `0 0 ${width} ${height}`,
    width,
    height,
    role: 'group',
    'aria-label': `Calendar to harvest ${season.harvest}`,
  });
  const it = { svg, scale: s, width };
  const ground = el('rect', { class: 'ground', width, height }); // it takes taps itself, or a browser takes a tap beside a mark for one on it
  svg.append(backdrop(season, s, width, page.look?.seasons?.[index]), ground);
  for (const p of placed(season, width)) svg.append(markElement(page, season, index, p, it));
  svg.append(
    el(
      'g',
      { class: 'bubble', hidden: true },
      el('rect', { y: -9, height: 18, rx: 3, width: 56, x: -28 }),
      el('text', { y: 4, 'text-anchor': 'middle' }),
    ),
  );
  ground.addEventListener('click', (e) => {
    if (!page.chosen || page.chosen.season !== index) return;
    const at = (e.clientX - svg.getBoundingClientRect().left) * (width / svg.getBoundingClientRect().width);
    page.move(season, page.chosen.mark, s.day(at)); // tap the mark, tap the day
  });
  return svg;
}

function worklist(page, season, index) {
  return el(
    'ul',
    { class: 'worklist' },
    ...[...season.marks]
      .sort((a, b) => a.day - b.day)
      .map((mark) => {
        const seldom = page.look?.seasons?.[index]?.done?.[mark.id];
        const chosen = page.chosen && page.chosen.season === index && page.chosen.mark === mark.id;
        const what = ['drill', 'latest', 'sow', 'destroy'].includes(mark.kind) ? kinds[mark.kind] : words(mark.what);
        return el(
          'li',
          {},
          button(`${short(mark.day)} ${what}`, () => page.choose(index, mark.id), {
            class: [mark.written ? '' : 'usual', chosen ? 'chosen' : ''].join(' '),
            'aria-pressed': chosen ? 'true' : 'false',
            'data-work': mark.id,
          }),
          seldom === undefined ? null : el('span', { class: 'rare' }, ` done in ${Math.round(100 * seldom)} of 100`),
        );
      }),
  );
}

// card is one season: its head, its calendar, its work in words.
export function card(page, season, index, width) {
  const chosen = page.chosen && page.chosen.season === index && page.chosen.mark === null;
  const share = page.look?.seasons?.[index]?.share;
  const head = el(
    'div',
    { class: 'cardhead' },
    el(
      'h3',
      {},
      button(`${season.harvest} ${words(season.crop)}`, () => page.choose(index, null), {
        class: 'season' + (chosen ? ' chosen' : ''),
        'aria-expanded': chosen ? 'true' : 'false',
      }),
    ),
    el(
      'p',
      { class: 'span' },
      `${short(season.open)} ${year(season.open)} to ${short(season.end)} ${year(season.end)}` +
        (season.otherwise ? `; otherwise ${words(season.otherwise)}` : '') +
        (season.branches.length ? `; chosen among ${season.branches.map(words).join(', ')}` : '') +
        (season.years > 1 ? `; year ${season.year} of ${season.years}` : ''),
    ),
  );
  const wrong = page.mistakesIn(season).map((m) => el('p', { class: 'wrong' }, sentence(m.text)));
  return el(
    'li',
    { class: 'card', 'data-card': index },
    head,
    strip(page, season, index, width),
    worklist(page, season, index),
    share > 0 && share < 0.8
      ? el('p', { class: 'rare' }, `${sentence(words(season.crop))} goes in in ${Math.round(100 * share)} of 100 runs.`)
      : null,
    ...wrong,
  );
}
