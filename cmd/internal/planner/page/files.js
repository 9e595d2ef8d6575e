// Opening and saving, from and to the start folder only. Nothing is written without Save.
import { el, $, button } from './el.js';
import { call } from './contact.js';

// ask shows a question with answers, and gives the one that was chosen; null for none.
export function ask(title, body, answers) {
  const d = $('dialog');
  return new Promise((done) => {
    const end = (v) => {
      d.onclose = null;
      d.close();
      done(v);
    };
    d.onclose = () => done(null);
    d.replaceChildren(
      el('h2', { id: 'dialog-h' }, title),
      ...body,
      el(
        'div',
        { class: 'acts' },
        ...answers.map(([text, value]) => button(text, () => end(typeof value === 'function' ? value() : value), { 'data-answer': text })),
      ),
    );
    d.showModal();
  });
}

// choose lets a plan of the folder be chosen.
export async function chooseFile(ending) {
  const { folder, names } = await call('/api/files');
  const list = names.filter((n) => ending.test(n));
  let done;
  const picked = new Promise((f) => {
    done = f;
  });
  const items = list.map((n) =>
    el(
      'li',
      {},
      button(
        n,
        () => {
          $('dialog').close();
          done(n);
        },
        { 'data-file': n },
      ),
    ),
  );
  ask(
    'Open',
    [el('p', { class: 'about' }, list.length ? `In ${folder}:` : `There is no such file in ${folder}.`), el('ul', { class: 'filelist' }, ...items)],
    [['Leave it', null]],
  ).then(() => done(null));
  return picked;
}

// askName asks for the name of a plan.
export async function askName(now) {
  const input = el('input', { id: 'save-name', value: now || 'plan.yaml', autocomplete: 'off', size: 30 });
  const name = await ask(
    'Save as',
    [el('label', { for: 'save-name' }, 'Name of the file '), input],
    [
      ['Save', () => input.value.trim()],
      ['Leave it', null],
    ],
  );
  if (!name) return null;
  return /\.ya?ml$/i.test(name) ? name : name + '.yaml';
}

// save writes the plan; where something else lies there, the person is asked.
export async function save(name, text, hash) {
  const body = { Name: name, Text: text, Hash: hash, Replace: false };
  try {
    return await call('/api/save', body);
  } catch (e) {
    if (!e.said?.ask) throw e;
    const shown = e.said.there ? [el('details', {}, el('summary', {}, 'What is there'), el('pre', { tabindex: 0 }, e.said.there))] : [];
    if (
      !(await ask(e.message, shown, [
        ['Write over it', true],
        ['Leave it', null],
      ]))
    )
      return null;
    return call('/api/save', { ...body, Replace: true });
  }
}
