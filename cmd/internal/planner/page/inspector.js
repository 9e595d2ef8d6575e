// What can be changed about the mark or the season that was chosen.
import { el, words, sentence, button } from './el.js';
import { short, typed } from './days.js';
import { fitting, cropGroups, first } from './choices.js';
import { kinds, said, when } from './calendar.js';
import { within } from './strip.js';

// chips offers entries of the library as buttons, the one in use pressed.
function chips(title, entries, now, take) {
  const id = 'chips-' + title.toLowerCase().replace(/[^a-z]+/g, '-');
  return el(
    'div',
    { class: 'chips', role: 'group', 'aria-labelledby': id },
    el('span', { class: 'label', id }, title),
    ...entries.map((e) =>
      button(
        words(e.name),
        () => {
          if (e.name !== now) take(e.name);
        },
        { 'aria-pressed': e.name === now ? 'true' : 'false', title: e.about, 'data-choice': e.name },
      ),
    ),
  );
}

const about = (entries, now) => {
  const e = entries.find((x) => x.name === now);
  return e ? el('p', { class: 'about' }, e.about) : null;
};

// whole asks whether a change is for every such season.
function whole(page, season) {
  if (season.times < 2) return null;
  const years = page.view.seasons
    .filter((s) => s.path === season.path && s.year === 1)
    .map((s) => s.harvest)
    .join(', ');
  const radio = (value, text) =>
    el(
      'label',
      {},
      el('input', {
        type: 'radio',
        name: 'alone',
        checked: page.alone === value,
        onchange: () => {
          page.alone = value;
        },
      }),
      ' ' + text,
    );
  return el(
    'fieldset',
    { class: 'alone' },
    el('legend', {}, 'A change is for'),
    radio(false, `every such season (${years})`),
    radio(true, `${season.harvest} alone, which writes the seasons out`),
  );
}

function dayField(page, season, mark) {
  const input = el('input', {
    type: 'text',
    inputmode: 'text',
    value: short(mark.day),
    size: 7,
    id: 'day',
    autocomplete: 'off',
    onchange: () => {
      const day = typed(input.value, season.open);
      if (day === null) {
        input.setAttribute('aria-invalid', 'true');
        page.say('Write the day like 18 Oct.');
        return;
      }
      page.move(season, mark.id, day);
    },
  });
  const step = (by, text, name) => button(text, () => page.move(season, mark.id, within(mark, mark.day + by)), { 'aria-label': name });
  return el(
    'div',
    { class: 'day' },
    el('label', { for: 'day' }, 'Day'),
    step(-7, '« week', 'a week earlier'),
    step(-1, '‹ day', 'a day earlier'),
    input,
    step(1, 'day ›', 'a day later'),
    step(7, 'week »', 'a week later'),
  );
}

function ofMark(page, season, mark) {
  const list = fitting(page.library, mark, season.crop);
  const removable = mark.id.includes('[') || mark.kind === 'sow' || mark.kind === 'destroy';
  const key = { sow: 'cover.mix', destroy: 'cover.destroy_with', drill: 'drill.with' }[mark.kind];
  const take = (name) =>
    key ? page.change(season, { Do: 'put', Key: key, Value: name }) : page.change(season, { Do: 'use', Mark: mark.id, Value: name });
  return [
    el('h4', {}, sentence(said(season, mark))),
    el('p', { class: 'when' }, when(mark)),
    dayField(page, season, mark),
    list.length > 0 ? chips(mark.kind === 'sow' ? 'Mixture' : 'With', list, mark.what, take) : null,
    about(list, mark.what),
    removable
      ? button(
          mark.id.includes('[') ? `Take this ${kinds[mark.kind]} out` : 'No cover here',
          () => {
            page.chosen = { season: page.chosen.season, mark: null };
            page.change(season, { Do: 'drop', Mark: mark.id });
          },
          { class: 'remove' },
        )
      : null,
  ];
}

function ofSeason(page, season, index) {
  const add = (list, text) =>
    button(
      '+ ' + text,
      () => {
        const value = first(page.library, list, season);
        if (!value) {
          page.say('There is no room for it in this season.');
          return;
        }
        for (const k of ['date', 'sow', 'destroy']) if (typeof value[k] === 'number') value[k] = short(value[k]);
        page.change(season, list === 'cover' ? { Do: 'put', Key: 'cover', Value: value } : { Do: 'add', Key: list, Value: value });
      },
      { 'data-add': list },
    );
  const seeds = season.seeds
    ? el(
        'label',
        { class: 'seeds' },
        'Seeds per m² ',
        el('input', {
          type: 'number',
          min: 1,
          max: 5000,
          value: season.seeds,
          onchange: (e) => page.change(season, { Do: 'put', Key: 'drill.seeds_per_m2', Value: Number(e.target.value) }),
        }),
      )
    : null;
  const groups = cropGroups(page.library).map((g) =>
    chips(g.title, g.crops, season.crop, (name) => page.change(season, { Do: 'crop', Value: name })),
  );
  const drilled = page.library.crops.filter((c) => c.season === 'spring' || c.name === 'fallow');
  const entries = page.view.seasons.filter((s) => s.year === 1);
  return [
    el('h4', {}, `Harvest ${season.harvest}`),
    el(
      'div',
      { class: 'acts' },
      el('span', { class: 'label' }, 'Add'),
      add('cultivate', 'cultivation'),
      add('spray_off', 'burn-off'),
      add('herbicides', 'herbicide'),
      add('in_crop', 'work in the crop'),
      season.cover ? null : add('cover', 'cover'),
    ),
    ...groups,
    seeds,
    season.bare
      ? null
      : chips('If it cannot be drilled', drilled, season.otherwise || 'fallow', (name) =>
          page.change(
            season,
            name === 'fallow'
              ? { Do: 'put', Key: 'otherwise', Value: season.otherwise ? null : 'fallow' }
              : { Do: 'put', Key: 'otherwise', Value: name },
          ),
        ),
    el(
      'div',
      { class: 'acts' },
      el('span', { class: 'label' }, 'This season'),
      button('Copy it', () => page.change(season, { Do: 'copy' })),
      button('‹ Earlier', () => page.change(season, { Do: 'earlier' }, -1), { disabled: index === 0 }),
      button('Later ›', () => page.change(season, { Do: 'later' }, 1), { disabled: index === page.view.seasons.length - 1 }),
      button('A season after it', () => page.change(season, { Do: 'grow', Value: 'winter-wheat' })),
      button(
        'Take it out',
        () => {
          page.chosen = null;
          page.change(season, { Do: 'remove' });
        },
        { class: 'remove', disabled: entries.length < 2 },
      ),
    ),
  ];
}

// inspector shows what was chosen; null where nothing is.
export function inspector(page) {
  if (!page.chosen || !page.view) return null;
  const season = page.view.seasons[page.chosen.season];
  if (!season) return null;
  const mark = season.marks.find((m) => m.id === page.chosen.mark);
  const close = button('Done', () => page.choose(null), { class: 'done' });
  if (page.locked(season))
    return el(
      'div',
      { class: 'inspector' },
      el(
        'p',
        {},
        season.drawn
          ? 'This year of the ley hangs on its first year; change it there, or in the text.'
          : 'What is grown here is chosen on the way, or comes after the plan; it is changed in the text.',
      ),
      close,
    );
  return el(
    'div',
    { class: 'inspector', role: 'region', 'aria-label': mark ? 'The mark' : 'The season' },
    whole(page, season),
    ...(mark ? ofMark(page, season, mark) : ofSeason(page, season, page.chosen.season)),
    close,
  );
}
