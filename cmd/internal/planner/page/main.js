// The page as a whole: the text of the plan, what is asked about it, what is shown.
import { $, el, button } from './el.js';
import { call, stream, beat, Gone } from './contact.js';
import { Past } from './past.js';
import { Asking } from './asking.js';
import * as calendar from './calendar.js';
import { inspector } from './inspector.js';
import { controls } from './field.js';
import * as answer from './answer.js';
import * as draft from './draft.js';
import { counts } from './counts.js';
import { wire } from './actions.js';

const start = document.querySelector('meta[name=start]').content;

class Page {
  constructor(library) {
    Object.assign(this, {
      id: crypto.randomUUID(),
      library,
      view: null,
      mistakes: [],
      look: null,
      difference: null,
      chosen: null,
      alone: false,
      kept: [],
      at: 0,
      whatIf: null,
      whatIfOpen: false,
      values: [],
      pending: 0,
      queue: Promise.resolve(),
      busy: false,
    });
    this.asking = new Asking((what, signal) => this.#ask(what, signal));
  }

  get text() {
    return this.past.text;
  }

  versions() {
    return [this.opened, ...this.kept];
  }

  against() {
    return this.versions()[this.at];
  }

  nextLabel() {
    return String.fromCharCode(65 + this.kept.length);
  }

  // begin takes a plan that was opened.
  begin(name, text, hash, opened = text) {
    this.name = name;
    this.saved = opened;
    this.hash = hash;
    this.past = new Past(text);
    this.opened = { label: 'the plan as opened', text: opened, name };
    Object.assign(this, { kept: [], at: 0, chosen: null, difference: null, look: null, view: null, whatIf: null });
    this.#changed();
  }

  // take takes a new text of the plan.
  take(text, typing = false) {
    this.past.add(text, typing);
    this.#changed(typing);
  }

  undo() {
    this.past.undo();
    this.#changed();
  }

  redo() {
    this.past.redo();
    this.#changed();
  }

  back() {
    this.take(this.against().text);
  }

  keep() {
    this.kept.push({ label: this.nextLabel(), text: this.text, name: this.name });
    this.at = this.kept.length;
    this.#changed();
    this.say(`Kept as ${this.against().label}. Changes are now set against it.`);
  }

  setAgainst(i) {
    this.at = i;
    this.#changed();
  }

  askWhatIf(path, at) {
    const value = this.values.find((v) => v.path === path);
    this.whatIf = value ? { Path: path, At: at ?? value.at } : null;
    this.#changed();
  }

  #changed(typing = false) {
    if (!typing || document.activeElement !== $('text')) $('text').value = this.text;
    this.keepDraft();
    this.difference = null;
    this.busy = true;
    this.drawFrame();
    const of = this.against();
    const same = this.text === of.text && !this.whatIf;
    this.asking.ask({
      Page: this.id,
      Name: this.name,
      Text: this.text,
      Width: Math.round($('picture').clientWidth || 420),
      Against: same ? null : { Name: of.name, Text: of.text, Label: of.label },
      WhatIf: this.whatIf,
    });
  }

  async #ask(what, signal) {
    performance.mark('asked');
    try {
      await stream('/api/forecast', what, signal, (name, data) => {
        if (!signal.aborted) this.#hear(name, data, what);
      });
    } catch (e) {
      this.busy = false;
      if (!(e instanceof Gone)) this.say(e.message);
    }
  }

  #hear(name, data, what) {
    if (name === 'plan') this.unmade?.();
    if (name === 'plan' && this.pending > 0) return; // of a text that is being changed: the marks stand where they were put
    if (name === 'plan') {
      this.mistakes = data.mistakes;
      if (data.view) this.view = data.view;
      if (data.view && !what.WhatIf) this.values = data.view.values; // as the library has them
      if (data.mistakes.length) this.busy = false;
      this.draw();
    } else if (name === 'look') {
      this.look = data;
      answer.verdict(data, !data.sure);
      answer.picture(data);
      answer.more(data);
      this.drawSeasons();
      requestAnimationFrame(() =>
        document.dispatchEvent(
          new CustomEvent('painted', { detail: { runs: data.runs, ms: performance.now() - performance.getEntriesByName('asked').at(-1).startTime } }),
        ),
      );
    } else if (name === 'difference') {
      this.difference = data;
      answer.against(this);
    } else if (name === 'end') {
      this.busy = false;
      answer.verdict(this.look, false);
      this.#tell();
      document.dispatchEvent(new CustomEvent('sure'));
    } else if (name === 'failed') {
      this.busy = false;
      this.notice(data.text);
    }
  }

  // tell says the answer to a screen reader, once it is sure.
  #tell() {
    const d = this.difference;
    $('live').textContent = d && !d.none ? `${d.changes.join('; ')}. ${d.sentences[0]}` : this.look.sentences[0];
  }

  say(text) {
    $('live').textContent = text;
    this.notice(text, 6000);
  }

  notice(text, ms = 0, ...extra) {
    const n = el(
      'p',
      { class: 'notice' },
      text + ' ',
      ...extra,
      button('Close', () => n.remove()),
    );
    $('notices').replaceChildren(n);
    if (ms) setTimeout(() => n.remove(), ms);
  }

  mistakesAt(season, mark) {
    return this.mistakes.some((m) => m.path !== '' && (m.path === mark.path || m.path.startsWith(mark.path + '.')));
  }

  mistakesIn(season) {
    return this.mistakes.filter((m) => m.path === season.path || m.path.startsWith(season.path + '.'));
  }

  wrongAt(path) {
    return this.mistakes.filter((m) => m.path === path || m.path.startsWith(path + '.')).map((m) => el('p', { class: 'wrong' }, m.text));
  }

  // locked tells of a season that cannot be changed by itself: a later year of a ley, or what is
  // chosen on the way.
  locked(season) {
    return season.year > 1 || !season.drawn;
  }

  choose(season, mark = null) {
    const same = mark === null && this.chosen && this.chosen.season === season && this.chosen.mark === null; // the head of a season opens and closes
    this.chosen = season === null || same ? null : { season, mark };
    this.drawSeasons();
  }

  // goTo shows the place of a mistake.
  goTo(m) {
    const season = this.view?.seasons.findIndex((s) => m.path.startsWith(s.path + '.') || m.path === s.path) ?? -1;
    if (season >= 0) {
      const mark = this.view.seasons[season].marks.find((x) => m.path === x.path || m.path.startsWith(x.path + '.'));
      this.chosen = { season, mark: mark ? mark.id : null };
      this.drawSeasons();
      document.querySelector(`[data-card="${season}"] .chosen`)?.focus();
      return;
    }
    this.showText(true);
    const lines = this.text.split('\n');
    const from = lines.slice(0, Math.max(m.line - 1, 0)).join('\n').length + (m.line > 1 ? 1 : 0);
    $('text').focus();
    $('text').setSelectionRange(from, from + (lines[m.line - 1] ?? '').length);
  }

  // One edit after the other, each of the text that the one before has left: steps that come fast
  // are all made.
  #edit(change) {
    this.pending++;
    this.queue = this.queue.then(async () => {
      try {
        const { text } = await call('/api/edit', { Name: this.name, Text: this.text, Change: change });
        this.pending--;
        this.take(text);
      } catch (e) {
        this.pending--;
        if (!(e instanceof Gone)) this.say(e.message);
        this.draw();
      }
    });
    return this.queue;
  }

  set(path, value) {
    return this.#edit({ Do: 'set', Path: path, Value: value });
  }

  // change changes a season; by is how far the choice moves along with it.
  change(season, change, by = 0) {
    const alone = this.alone && season.times > 1;
    this.alone = false;
    if (by && this.chosen) this.chosen = { ...this.chosen, season: this.chosen.season + by };
    return this.#edit({ Path: season.path, Entry: season.entry, Alone: alone, ...change });
  }

  move(season, markId, day) {
    const mark = season.marks.find((m) => m.id === markId);
    if (!mark || mark.day === day) {
      this.draw();
      return null;
    }
    const ref = mark.ref;
    mark.day = day; // it stands there at once; what the plan makes of it follows
    return this.change(season, { Do: 'place', Mark: markId, Day: day, Ref: ref });
  }

  showText(open) {
    $('text-panel').hidden = !open;
    $('do-text').setAttribute('aria-expanded', String(open));
    document.body.classList.toggle('with-text', open);
    this.drawSeasons();
  }

  keepDraft() {
    draft.keep({ start, name: this.name, text: this.text, hash: this.hash, saved: this.saved });
  }

  drawFrame() {
    $('file').textContent = this.name || 'not saved yet';
    const dirty = this.text !== this.saved;
    $('saved').textContent = dirty ? '(changed)' : '';
    $('do-undo').disabled = !this.past.canUndo;
    $('do-redo').disabled = !this.past.canRedo;
    $('do-save').disabled = !dirty && this.name !== '';
    answer.against(this);
    answer.mistakes(this);
    answer.verdict(this.look, this.busy);
  }

  draw() {
    this.drawFrame();
    if (this.view) {
      const focused = document.activeElement?.closest?.('#field') ? document.activeElement.id : '';
      $('field-controls').replaceChildren(...controls(this));
      if (focused) $(focused)?.focus();
      const name = this.view.field['field.name'] ?? 'The field';
      $('title').textContent = name;
      document.title = name + ': plan a field';
      this.#repeat();
    }
    this.drawSeasons();
  }

  #repeat() {
    const v = this.view;
    const input = el('input', {
      type: 'number',
      min: 1,
      max: 30,
      value: v.repeat,
      id: 'times',
      onchange: (e) => this.#edit({ Do: 'repeat', Value: Number(e.target.value) }),
    });
    $('repeat').replaceChildren(
      el(
        'label',
        {},
        v.rotation ? `Ready-made: ${v.rotation.replaceAll('-', ' ')}; run through ` : 'Run through the list ',
        input,
        v.repeat === 1 ? ' time' : ' times',
      ),
    );
  }

  drawSeasons() {
    this.unmade?.(); // steps by keys that wait to be one change
    if (!this.view) return;
    const at = document.activeElement;
    const focus = at?.dataset?.mark ? [at.dataset.season, at.dataset.mark] : null;
    const label = at?.closest?.('.inspector') ? (at.getAttribute('aria-label') ?? at.id ?? at.textContent) : null;
    const work = at?.dataset?.work ? [at.closest('[data-card]').dataset.card, at.dataset.work] : null;
    const head = at?.classList?.contains('season') ? at.closest('[data-card]').dataset.card : null;
    const width = this.cardWidth();
    const cards = this.view.seasons.map((s, i) => calendar.card(this, s, i, width));
    const box = inspector(this);
    if (box) cards[this.chosen.season].append(box);
    $('cards').replaceChildren(...cards);
    if (focus) document.querySelector(`.mark[data-season="${focus[0]}"][data-mark="${focus[1]}"]`)?.focus();
    else if (work) document.querySelector(`[data-card="${work[0]}"] [data-work="${work[1]}"]`)?.focus();
    else if (head !== null) document.querySelector(`[data-card="${head}"] .season`)?.focus();
    else if (label && box)
      [...box.querySelectorAll('button, input')]
        .find((x) => (x.getAttribute('aria-label') ?? x.id ?? x.textContent) === label || x.textContent === label)
        ?.focus();
  }

  // cardWidth is how wide a calendar can be.
  cardWidth() {
    const list = $('cards');
    const columns = getComputedStyle(list).gridTemplateColumns.split(' ').map(parseFloat);
    return Math.max(280, Math.floor((columns[0] || list.clientWidth) - 26));
  }
}

const library = await call('/api/library').catch((e) => {
  $('notices').append(el('p', { class: 'notice' }, e.message));
  throw e;
});
const page = new Page(library);
$('key').replaceChildren(...calendar.key());
const first = await call('/api/start');
const before = draft.kept(start);
if (before && before.text !== before.saved) page.begin(before.name, before.text, before.hash, before.saved);
else if (before && before.name && before.name !== first.name) page.begin(before.name, before.text, before.hash);
else page.begin(first.name, first.text, first.hash);
counts(page);
wire(page);
beat();
