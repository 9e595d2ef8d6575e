// The field and its weed: a control for each key that a farmer knows.
import { el, words } from './el.js';
import { survivals, groups } from './choices.js';

function text(page, path, label, attributes = {}) {
  const now = page.view.field[path] ?? page.view.usual[path] ?? '';
  const id = path.replace('.', '-');
  const numeric = attributes.type === 'number';
  return el(
    'div',
    { class: 'control' },
    el('label', { for: id }, label),
    el('input', {
      id,
      value: now,
      autocomplete: 'off',
      ...attributes,
      onchange: (e) => {
        if (String(e.target.value) !== String(now)) page.set(path, numeric ? Number(e.target.value) : e.target.value);
      },
    }),
    ...page.wrongAt(path),
  );
}

function choice(page, path, label, kind, note = '') {
  const now = page.view.field[path] ?? page.view.usual[path] ?? '';
  const id = path.replace('.', '-');
  if (typeof now === 'object')
    return el('div', { class: 'control' }, el('span', { class: 'label' }, label), el('p', { class: 'about' }, 'Given in the text, from a file.'));
  const list = page.library[kind];
  const about = list.find((e) => e.name === now)?.about ?? '';
  return el(
    'div',
    { class: 'control' },
    el('label', { for: id }, label),
    el(
      'select',
      { id, 'aria-describedby': about ? id + '-about' : null, onchange: (e) => page.set(path, e.target.value) },
      ...(list.some((e) => e.name === now)
        ? []
        : [el('option', { value: now, selected: true }, now === '' ? 'as in the weather file' : words(String(now)))]),
      ...list.map((e) => el('option', { value: e.name, selected: e.name === now }, words(e.name))),
    ),
    el('p', { class: 'about', id: id + '-about' }, note + about),
    ...page.wrongAt(path),
  );
}

// heads takes a number, or a range such as 25 to 60.
function heads(page) {
  const now = page.view.field['weed.heads_per_m2'];
  if (now === undefined)
    return el(
      'div',
      { class: 'control' },
      el('span', { class: 'label' }, 'Seed in the soil'),
      el('p', { class: 'about' }, 'Given in the text, by layer.'),
    );
  const shown = typeof now === 'object' ? `${now.low} to ${now.high}` : String(now);
  return el(
    'div',
    { class: 'control' },
    el('label', { for: 'heads' }, 'Heads per m², counted last June'),
    el('input', {
      id: 'heads',
      value: shown,
      autocomplete: 'off',
      'aria-describedby': 'heads-about',
      onchange: (e) => {
        const m = /^\s*(\d+(?:\.\d+)?)\s*(?:(?:-|–|to)\s*(\d+(?:\.\d+)?)\s*)?$/.exec(e.target.value);
        if (!m) {
          e.target.setAttribute('aria-invalid', 'true');
          page.say('Write a number, or a range such as 25 to 60.');
          return;
        }
        page.set('weed.heads_per_m2', m[2] ? { low: Number(m[1]), high: Number(m[2]) } : Number(m[1]));
      },
    }),
    el('p', { class: 'about', id: 'heads-about' }, 'A number, or a range you are nine in ten sure of: 25 to 60.'),
    ...page.wrongAt('weed.heads_per_m2'),
  );
}

// resistance in trade words: what of a spray's effect is lost.
function resistance(page) {
  const now = page.view.field['weed.resistance'] ?? {};
  const take = (group, lost) => {
    const to = { ...now };
    if (lost > 0) to[group] = lost;
    else delete to[group];
    page.set('weed.resistance', Object.keys(to).length > 0 ? to : null);
  };
  return el(
    'fieldset',
    { class: 'control wide' },
    el('legend', {}, 'Does the weed survive…'),
    ...groups.map(([group, what]) => {
      const said = now[group] ?? 0;
      const lost = survivals.find(([name]) => name === said)?.[1] ?? said;
      const id = 'resist-' + group;
      const listed = survivals.some(([, x]) => x === lost);
      return el(
        'div',
        { class: 'resist' },
        el('label', { for: id }, `${what} (HRAC group ${group})?`),
        el(
          'select',
          { id, onchange: (e) => take(group, Number(e.target.value)) },
          listed ? null : el('option', { value: lost, selected: true },
            typeof lost === 'object' ? 'as a test found' : `${Math.round(100 * lost)} % of the effect is lost`),
          ...survivals.map(([name, x]) => el('option', { value: x, selected: x === lost }, name)),
        ),
      );
    }),
    ...page.wrongAt('weed.resistance'),
  );
}

// controls are all of them. The rest of the field is in the text.
export function controls(page) {
  return [
    text(page, 'field.name', 'Name'),
    text(page, 'field.area_ha', page.view.size.endsWith(' ha') ? 'Hectares' : `Hectares (${page.view.size})`,
      { type: 'number', min: 0.0001, max: 10000, step: 'any' }),
    choice(page, 'field.soil', 'Soil', 'soils'),
    choice(page, 'field.climate', 'Climate', 'climates'),
    choice(page, 'field.last_crop', 'Crop before the start', 'crops'),
    choice(page, 'weed.species', 'Weed', 'weeds'),
    heads(page),
    text(page, 'weed.start', 'The plan starts on', { pattern: '\\d{4}-\\d{2}-\\d{2}', 'aria-describedby': 'start-about' }),
    resistance(page),
  ];
}
