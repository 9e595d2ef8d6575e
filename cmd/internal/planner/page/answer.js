// The answer beside the plan: sentences, the difference to a kept version, the bands.
import { el, $, button, sentence } from './el.js';

const sheet = new CSSStyleSheet();
document.adoptedStyleSheets.push(sheet);

// verdict writes the answer block.
export function verdict(look, busy) {
  $('runs').textContent = look
    ? (look.sure ? '2,000 runs' : `first look, ${look.runs} runs`) + (busy ? ', counting on…' : '')
    : busy
      ? 'counting…'
      : '';
  $('answer').classList.toggle('unsure', !look || !look.sure);
  $('answer').setAttribute('aria-busy', busy ? 'true' : 'false');
  if (!look) {
    $('verdict').replaceChildren();
    return;
  }
  $('verdict').replaceChildren(
    el('p', { class: 'first', id: 'first' }, look.sentences[0]),
    el('p', { class: 'meanwhile', id: 'meanwhile', 'aria-hidden': 'true' }),
    el('ul', { class: 'rest' }, ...look.sentences.slice(1).map((s) => el('li', {}, s))),
  );
}

// picture puts the bands in; they come as an SVG element from the program itself.
export function picture(look) {
  if (!look?.picture) {
    $('picture').replaceChildren();
    return;
  }
  sheet.replaceSync(look.style);
  const svg = new DOMParser().parseFromString(look.picture, 'text/html').body.firstElementChild;
  $('picture').replaceChildren(
    document.importNode(svg, true),
    el('figcaption', {}, look.title + '. Dark band: half of the runs; pale: nine in ten.'),
  );
}

function table(t) {
  return el(
    'div',
    { class: 'scroll', tabindex: 0, role: 'group', 'aria-label': 'The seasons in numbers' },
    el(
      'table',
      {},
      el('thead', {}, el('tr', {}, ...t.head.map((h, i) => el('th', { scope: 'col' }, h, t.units[i] ? el('small', {}, ' ' + t.units[i]) : null)))),
      el('tbody', {}, ...t.rows.map((r) => el('tr', {}, ...r.map((c, i) => (i === 0 ? el('th', { scope: 'row' }, c) : el('td', {}, c)))))),
    ),
  );
}

// more is what stands below: warnings, numbers, cautions.
export function more(look) {
  if (!look) {
    $('more').replaceChildren();
    return;
  }
  const open = $('numbers')?.open;
  $('more').replaceChildren(
    ...(look.warnings.length ? [el('h3', {}, 'To think over'), el('ul', { class: 'warnings' }, ...look.warnings.map((w) => el('li', {}, w)))] : []),
    el(
      'details',
      { id: 'numbers', open },
      el('summary', {}, 'The seasons in numbers'),
      el('p', { class: 'about' }, look.table.legend ?? ''),
      table(look.table),
    ),
    ...look.cautions.map((c) => el('p', { class: 'caution' }, c)),
  );
}

// meanwhile is the difference in a line, where the window is narrow and the rest of it is out of sight.
function meanwhile(d) {
  if ($('meanwhile')) $('meanwhile').textContent = d && !d.none ? `${sentence(d.changes[0] ?? 'Changed')}: ${d.sentences[0]}` : '';
}

// against shows what the plan is set against and what differs.
export function against(page) {
  const of = page.against();
  const pick =
    page.versions().length > 1
      ? el(
          'select',
          { id: 'against-which', 'aria-label': 'Set against', onchange: (e) => page.setAgainst(Number(e.target.value)) },
          ...page.versions().map((v, i) => el('option', { value: i, selected: v === of }, v.label)),
        )
      : el('b', {}, of.label);
  const d = page.difference;
  meanwhile(d);
  const box = el(
    'section',
    { class: d && !d.none ? 'difference' : 'difference nothing', 'aria-labelledby': 'against-h' },
    el('h3', { id: 'against-h' }, 'Against ', pick),
    d && !d.none ? el('p', { class: 'changes' }, sentence(d.changes.join('; ')) || 'Changed') : null,
    ...(d && !d.none
      ? d.sentences.map((s) => el('p', {}, s))
      : [
          el(
            'p',
            { class: 'about' },
            page.text === of.text && !page.whatIf
              ? 'Nothing is changed yet. Change something, and the difference stands here, run by run under the same weather and luck.'
              : page.mistakes.length
                ? 'It is counted again when the plan is mended.'
                : d
                  ? d.sentences[0]
                  : 'Counting the difference…',
          ),
        ]),
    el(
      'div',
      { class: 'acts' },
      button(`Keep this as ${page.nextLabel()}`, () => page.keep(), { id: 'do-keep', disabled: !page.view || page.mistakes.length > 0 }),
      page.text !== of.text ? button(`Back to ${of.label}`, () => page.back(), { id: 'do-back' }) : null,
    ),
  );
  $('against').replaceChildren(box, whatIf(page));
}

// whatIf is a slider for a value of the library.
function whatIf(page) {
  const { values } = page;
  const x = page.whatIf;
  const now = values.find((v) => v.path === x?.Path);
  const pick = el(
    'select',
    { id: 'whatif', onchange: (e) => page.askWhatIf(e.target.value, null) },
    el('option', { value: '' }, 'as the library says'),
    ...values.map((v) =>
      el(
        'option',
        { value: v.path, selected: v.path === x?.Path },
        sentence(v.short) + (v.path.startsWith('crops/') || v.path.startsWith('herbicides/') ? `, ${v.path.split('/')[1].replaceAll('-', ' ')}` : ''),
      ),
    ),
  );
  const fine = (v) => Number(v.toPrecision(3));
  return el(
    'details',
    {
      class: 'whatif',
      open: x !== null || page.whatIfOpen,
      ontoggle: (e) => {
        page.whatIfOpen = e.target.open;
      },
    },
    el('summary', {}, 'What if a value were another?'),
    el('label', { for: 'whatif' }, 'Value '),
    pick,
    now
      ? el(
          'label',
          { class: 'slide' },
          el('span', {}, `${fine(x.At)} ${now.unit}`),
          el('input', {
            type: 'range',
            min: now.low,
            max: now.high,
            step: (now.high - now.low) / 100,
            value: x.At,
            'aria-label': now.short,
            'aria-valuetext': `${fine(x.At)} ${now.unit}`,
            oninput: (e) => {
              e.target.previousSibling.textContent = `${fine(Number(e.target.value))} ${now.unit}`;
            },
            onchange: (e) => page.askWhatIf(now.path, Number(e.target.value)),
          }),
        )
      : null,
    now
      ? el(
          'p',
          { class: 'about' },
          `The plan as it stands takes ${fine(now.middle ?? now.at)}; nine in ten lie between ${fine(now.low)} and ${fine(now.high)}. ` +
            'Nothing of this is saved.',
        )
      : null,
  );
}

// mistakes lists what is wrong, each with its place.
export function mistakes(page) {
  const list = page.mistakes;
  $('mistakes').replaceChildren(
    ...(list.length
      ? [
          el(
            'section',
            { class: 'broken', 'aria-labelledby': 'broken-h' },
            el('h3', { id: 'broken-h' }, list.length === 1 ? 'One thing has to be mended' : `${list.length} things have to be mended`),
            el(
              'ul',
              {},
              ...list.map((m) =>
                el(
                  'li',
                  {},
                  sentence(m.text) + ' ',
                  button(m.line ? `line ${m.line}` : 'the text', () => page.goTo(m), { class: 'place' }),
                ),
              ),
            ),
            el('p', { class: 'about' }, 'The answer shown is that of the plan before.'),
          ),
        ]
      : []),
  );
  $('answer').classList.toggle('old', list.length > 0);
}
