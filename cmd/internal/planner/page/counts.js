// Counts from the field: typed in or read from a file, and let into the forecast.
import { el, $, button, sentence } from './el.js';
import { call, stream } from './contact.js';
import { chooseFile } from './files.js';
import { rows, added } from './quadrats.js';

const state = { text: '', name: '', running: null, found: null, open: false };
const sheet = new CSSStyleSheet();
document.adoptedStyleSheets.push(sheet);

function typedIn(page, draw) {
  const date = el('input', { id: 'count-date', type: 'date', value: '' });
  const kind = el('select', { id: 'count-kind' }, el('option', { value: 'plants' }, 'plants'), el('option', { value: 'heads' }, 'heads'));
  const area = el('input', { id: 'count-area', type: 'number', min: 0.01, step: 'any', value: 0.25 });
  const numbers = el('input', { id: 'count-numbers', placeholder: '0 2 5 0 1', autocomplete: 'off' });
  const add = () => {
    const lines = rows(date.value, kind.value, Number(area.value), numbers.value);
    if (!lines) {
      page.say('Write the day, the size of the quadrat, and what was counted in each: 0 2 5 0 1.');
      return;
    }
    Object.assign(state, { text: added(state.text, lines), name: '' });
    draw();
  };
  const part = (label, input) => el('div', { class: 'control' }, el('label', { for: input.id }, label), input);
  return el(
    'div',
    { class: 'controls' },
    part('Counted on', date),
    part('What', kind),
    part('Quadrat, m²', area),
    part('In each quadrat', numbers),
    button('Add them', add, { id: 'count-add' }),
  );
}

async function letIn(page, draw) {
  state.running = new AbortController();
  state.found = null;
  draw();
  const bar = () => $('counts').querySelector('progress');
  try {
    await stream(
      '/api/update',
      { Page: page.id, Name: page.name, Text: page.text, CountsName: state.name, Counts: state.text, Width: Math.round($('counts').clientWidth) },
      state.running.signal,
      (name, data) => {
        if (name === 'progress' && bar()) bar().value = data.share;
        if (name === 'failed') page.notice(data.text);
        if (name === 'updated') {
          state.found = data;
          $('live').textContent = data.sentences[0];
          document.dispatchEvent(new CustomEvent('updated'));
        }
      },
    );
  } catch (e) {
    page.say(e.message);
  }
  state.running = null;
  draw();
}

function result(found) {
  sheet.replaceSync(found.style);
  const svg = new DOMParser().parseFromString(found.picture, 'text/html').body.firstElementChild;
  return el(
    'section',
    { class: 'after', 'aria-labelledby': 'after-h' },
    el('h3', { id: 'after-h' }, 'After the counts'),
    el('p', { class: 'first' }, found.sentences[0]),
    el(
      'ul',
      { class: 'rest shown' },
      ...found.sentences.slice(1).map((s) => el('li', {}, s)),
      ...found.warnings.map((w) => el('li', {}, sentence(w))),
    ),
    el(
      'figure',
      {},
      document.importNode(svg, true),
      el('figcaption', {}, found.title + '. Grey is the forecast as it was, red what is left of it after the counts, black what was counted.'),
    ),
  );
}

// counts draws the part of the page for them.
export function counts(page) {
  const draw = () => counts(page);
  const text = el('textarea', {
    id: 'count-text',
    rows: 6,
    spellcheck: 'false',
    'aria-label': 'The counts, a line for each quadrat',
    oninput: () => {
      state.text = text.value;
      state.name = '';
    },
  });
  text.value = state.text;
  const read = async () => {
    const name = await chooseFile(/\.csv$/i);
    if (!name) return;
    const got = await call('/api/open', { Name: name });
    Object.assign(state, { text: got.text, name });
    draw();
  };
  const details = el(
    'details',
    {
      open: state.open,
      ontoggle: () => {
        state.open = details.open;
      },
    },
    el('summary', {}, 'Counts from this field'),
    el(
      'p',
      { class: 'about' },
      'What was counted corrects the forecast. Write down empty quadrats too; the plan must say what was done up to the last count.',
    ),
    typedIn(page, draw),
    el(
      'div',
      { class: 'acts' },
      button('Read a file…', () => read().catch((e) => page.say(e.message)), { id: 'count-read' }),
      state.name ? el('span', { class: 'about' }, state.name) : null,
    ),
    state.text ? text : null,
    state.text
      ? el(
          'div',
          { class: 'acts' },
          state.running ? button('Stop', () => state.running.abort()) : button('Let the counts in', () => letIn(page, draw), { id: 'count-go' }),
          state.running ? el('progress', { max: 1, value: 0, 'aria-label': 'Counts let in' }) : null,
        )
      : null,
    state.found ? result(state.found) : null,
  );
  $('counts').replaceChildren(details);
}
