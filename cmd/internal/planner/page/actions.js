// What the buttons above the plan do: open, save, undo, print, and what is done when the program has gone.
import { $, el, button } from './el.js';
import { call, whenGone } from './contact.js';
import * as files from './files.js';

async function openFile(page) {
  const name = await files.chooseFile(/\.ya?ml$/i);
  if (!name) return;
  if (
    page.text !== page.saved &&
    !(await files.ask(
      'The changes of this plan are not saved',
      [el('p', {}, 'Open the other plan and lose them?')],
      [
        ['Open it', true],
        ['Stay here', null],
      ],
    ))
  )
    return;
  const got = await call('/api/open', { Name: name });
  page.begin(got.name, got.text, got.hash);
}

async function saveFile(page, as) {
  const name = as || !page.name ? await files.askName(page.name) : page.name;
  if (!name) return;
  const text = page.text;
  const got = await files.save(name, text, name === page.name ? page.hash : '');
  if (!got) return;
  page.name = got.name;
  page.hash = got.hash;
  page.saved = text;
  page.keepDraft();
  page.drawFrame();
  page.say(`Saved as ${got.name}.`);
  document.dispatchEvent(new CustomEvent('saved'));
}

async function report(page) {
  const tab = window.open('about:blank');
  page.say('The full report is being made.');
  const { path } = await call('/api/report', { Name: page.name, Text: page.text });
  if (tab) tab.location.replace(path);
  else location.href = path;
}

const copy = async (page) => {
  await navigator.clipboard.writeText(page.text);
  page.say('The text is copied.');
};

// wire lets the buttons and keys of the page do what they say.
export function wire(page) {
  const does = (name, f) => $(name).addEventListener('click', () => Promise.resolve(f()).catch((e) => page.say(e.message)));
  does('do-undo', () => page.undo());
  does('do-redo', () => page.redo());
  does('do-open', () => openFile(page));
  does('do-save', () => saveFile(page, false));
  does('do-save-as', () => saveFile(page, true));
  does('do-text', () => page.showText($('text-panel').hidden));
  does('do-print', () => window.print());
  does('do-report', () => report(page));
  does('do-copy', () => copy(page));
  let typing = 0;
  $('text').addEventListener('input', () => {
    clearTimeout(typing);
    typing = setTimeout(() => page.take($('text').value, true), 300);
  });
  document.addEventListener('keydown', (e) => {
    if (!(e.ctrlKey || e.metaKey) || e.altKey) return;
    const key = e.key.toLowerCase();
    const inField = e.target.matches('textarea, input:not([type=number]):not([type=radio]):not([type=range])');
    if (key === 's') {
      e.preventDefault();
      saveFile(page, false).catch((x) => page.say(x.message));
    }
    if (key === 'z' && !inField) {
      e.preventDefault();
      if (e.shiftKey) page.redo();
      else page.undo();
    }
    if (key === 'y' && !inField) {
      e.preventDefault();
      page.redo();
    }
  });
  window.addEventListener('beforeunload', (e) => {
    if (page.text !== page.saved) e.preventDefault();
  });
  let width = 0;
  new ResizeObserver(() => {
    if (page.view && page.cardWidth() !== width) {
      width = page.cardWidth();
      page.drawSeasons();
    }
  }).observe($('cards'));
  whenGone((gone) => {
    if (!gone) {
      $('notices').replaceChildren();
      page.take(page.text);
      page.setAgainst(page.at);
      return;
    }
    page.notice(
      'The program has ended, so nothing more is forecast or saved. The text of your plan is kept in this page: copy it, or start rundown open again.',
      0,
      button('Copy the text', () => copy(page)),
    );
  });
}
