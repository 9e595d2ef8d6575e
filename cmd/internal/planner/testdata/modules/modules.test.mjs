// The page's modules that need no page, by node's own test runner:
//   node --test modules.test.mjs
import { test } from 'node:test';
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

// A module is read as one whatever this node takes .js for.
async function load(name) {
  const path = fileURLToPath(new URL('../../page/' + name, import.meta.url));
  let text = readFileSync(path, 'utf8');
  for (const [whole, from] of [...text.matchAll(/from '\.\/([a-z]+\.js)'/g)]) text = text.replace(whole, `from '${await address(from)}'`);
  return 'data:text/javascript;base64,' + Buffer.from(text).toString('base64');
}
const known = new Map();
function address(name) {
  if (!known.has(name)) known.set(name, load(name));
  return known.get(name);
}
const module = async (name) => import(await address(name));

const { dayOf, short, full, typed, monthStarts, year } = await module('days.js');
const { reader } = await module('stream.js');
const { Past } = await module('past.js');
const { Asking } = await module('asking.js');
const { scale, placed, stepped, within } = await module('strip.js');
const { fitting, first, cropGroups } = await module('choices.js');

test('days are written and read', () => {
  const day = dayOf(2026, 9, 18);
  assert.equal(day, Date.UTC(2026, 9, 18) / 86400000);
  assert.equal(short(day), '18 Oct');
  assert.equal(full(day), '18 October 2026');
  assert.equal(typed('18 oct', dayOf(2026, 7, 1)), day);
  assert.equal(typed('Oct 18', dayOf(2026, 7, 1)), day);
  assert.equal(typed('1 Mar', dayOf(2026, 7, 1)), dayOf(2027, 2, 1));
  assert.equal(typed('29 Feb', dayOf(2027, 7, 1)), dayOf(2028, 1, 29));
  for (const wrong of ['', '31 Feb', 'soon', '18', '18 10', '0 Oct', '18 Octopus Mar']) assert.equal(typed(wrong, day), null, wrong);
  assert.equal(year(day), 2026);
});

test('every day of four years is read back as it is written', () => {
  for (let d = dayOf(2026, 7, 1); d < dayOf(2030, 7, 1); d++) assert.equal(typed(short(d), d), d);
});

test('months begin on their first', () => {
  const list = monthStarts(dayOf(2026, 6, 29), dayOf(2027, 8, 5));
  assert.equal(list.length, 14);
  assert.deepEqual(list[0], { day: dayOf(2026, 7, 1), month: 7 });
});

test('a stream in any pieces gives the same events', () => {
  const text = 'event: plan\ndata: {"a":"b\\n\\nc"}\n\nevent: look\ndata: [1,2]\n\n';
  for (const size of [1, 2, 3, 7, 100]) {
    const heard = [];
    const feed = reader((name, data) => heard.push([name, data]));
    for (let i = 0; i < text.length; i += size) feed(text.slice(i, i + size));
    assert.deepEqual(heard, [
      ['plan', { a: 'b\n\nc' }],
      ['look', [1, 2]],
    ]);
  }
});

test('what is undone comes back, and a change ends what could be done again', () => {
  const p = new Past('a');
  p.add('b');
  p.add('b');
  p.add('c');
  assert.equal(p.undo(), 'b');
  assert.equal(p.undo(), 'a');
  assert.equal(p.undo(), 'a');
  assert.equal(p.redo(), 'b');
  p.add('d');
  assert.equal(p.canRedo, false);
  assert.equal(p.undo(), 'b');
});

test('typing is one step', () => {
  const p = new Past('a');
  for (const t of ['ab', 'abc', 'abcd']) p.add(t, true);
  assert.equal(p.undo(), 'a');
  p.redo();
  p.add('moved');
  p.add('moved!', true);
  assert.equal(p.undo(), 'moved');
});

test('one question at a time, and of those that wait the newest', async () => {
  const log = [];
  let free;
  const asking = new Asking(async (what, signal) => {
    log.push('begins ' + what);
    await new Promise((done) => {
      free = done;
      signal.addEventListener('abort', done);
    });
    log.push((signal.aborted ? 'gives up ' : 'ends ') + what);
  });
  asking.ask(1);
  asking.ask(2);
  asking.ask(3);
  await new Promise((r) => setTimeout(r, 5));
  free();
  await new Promise((r) => setTimeout(r, 5));
  assert.deepEqual(log, ['begins 1', 'gives up 1', 'begins 3', 'ends 3']);
});

const { rows, added } = await module('quadrats.js');

test('counts become lines of a file of counts', () => {
  assert.deepEqual(rows('2027-04-12', 'plants', 0.25, ' 0 2, 5 '), [
    '2027-04-12,whole field,plants,0.25,0',
    '2027-04-12,whole field,plants,0.25,2',
    '2027-04-12,whole field,plants,0.25,5',
  ]);
  for (const wrong of [
    ['', 'plants', 1, '1'],
    ['2027-04-12', 'plants', 0, '1'],
    ['2027-04-12', 'plants', 1, ''],
    ['2027-04-12', 'plants', 1, '1 x'],
    ['2027-04-12', 'plants', 1, '-1'],
    ['2027-04-12', 'plants', 1, '1.5'],
  ])
    assert.equal(rows(...wrong), null);
  const text = added('', rows('2027-04-12', 'plants', 0.25, '3'));
  assert.equal(text, 'date,zone,kind,quadrat_m2,count\n2027-04-12,whole field,plants,0.25,3\n');
  assert.equal(added('date,zone,kind,quadrat_m2,count,depth_cm\n', ['a']), 'date,zone,kind,quadrat_m2,count,depth_cm\na,\n');
});

const season = {
  open: dayOf(2026, 7, 13),
  end: dayOf(2027, 7, 12),
  harvest: 2027,
  crop: 'winter-wheat',
  marks: [
    { id: 'drill.date', kind: 'drill', day: dayOf(2026, 8, 25), low: dayOf(2026, 7, 13), high: dayOf(2027, 4, 20) },
    { id: 'a', kind: 'spray_off', day: dayOf(2026, 8, 24) },
    { id: 'b', kind: 'cultivate', day: dayOf(2026, 8, 22) },
  ],
};

test('a place on the calendar is a day, to the day', () => {
  for (const width of [300, 420, 700]) {
    const s = scale(season, width);
    for (let d = season.open; d <= season.end; d++) assert.equal(s.day(s.x(d)), d);
    assert.ok(s.x(s.from) >= 0 && s.x(s.to) <= width);
  }
});

test('marks that would touch stand one above the other', () => {
  const [b, a] = placed(season, 420).filter((p) => p.mark.kind !== 'drill');
  assert.ok(a.x - b.x < 15 && Math.abs(a.y - b.y) >= 12);
});

test('keys step by a day, a week, to the ends, and never beyond', () => {
  const m = season.marks[0];
  assert.equal(stepped(m, 'ArrowRight', false), m.day + 1);
  assert.equal(stepped(m, 'ArrowLeft', true), m.day - 7);
  assert.equal(stepped(m, 'Home', false), m.low);
  assert.equal(stepped({ ...m, day: m.high }, 'ArrowRight', true), m.high);
  assert.equal(stepped(m, 'x', false), null);
  assert.equal(within(m, 0), m.low);
});

const library = {
  implements: [
    { name: 'plough', role: 'cultivator' },
    { name: 'tine-drill', role: 'drill' },
    { name: 'inter-row-hoe', role: 'in-crop' },
  ],
  herbicides: [
    { name: 'spray-off', role: 'non-selective', crops: [] },
    { name: 'for-rape', role: 'programme', crops: ['rape'] },
    { name: 'autumn-residual', role: 'programme', crops: ['winter-wheat'] },
  ],
  covers: [{ name: 'mustard' }],
  crops: [
    { name: 'winter-wheat', season: 'autumn' },
    { name: 'fallow', season: 'none' },
  ],
};

test('only what can be used there is offered', () => {
  const names = (kind) => fitting(library, { kind }, 'winter-wheat').map((e) => e.name);
  assert.deepEqual(names('drill'), ['tine-drill']);
  assert.deepEqual(names('herbicides'), ['autumn-residual']);
  assert.deepEqual(names('spray_off'), ['spray-off']);
  assert.deepEqual(names('destroy'), ['spray-off', 'plough']);
  assert.deepEqual(names('latest'), []);
  assert.deepEqual(
    cropGroups(library).map((g) => g.title),
    ['Drilled in autumn', 'Nothing drilled'],
  );
});

test('new work lies within its season', () => {
  const at = first(library, 'cultivate', season).date;
  assert.ok(at >= season.open && at < season.marks[0].day);
  assert.equal(first(library, 'herbicides', season).programme, 'autumn-residual');
  assert.equal(first(library, 'cover', season), null, 'no room for a cover before wheat in September');
});
