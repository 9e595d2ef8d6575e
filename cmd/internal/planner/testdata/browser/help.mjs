// What the trials of the planner page share: the program, a browser, and a page that has come in.
import { spawn } from 'node:child_process';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';

export const [executable, shots, program, work, tools] = process.argv.slice(2);
const require = createRequire(join(tools, 'package.json'));
export const { chromium } = require('playwright-core');
const axe = readFileSync(require.resolve('axe-core/axe.min.js'), 'utf8');

let folders = 0;

// start starts the program in a folder of its own, with files in it.
export async function start(files = {}, ...args) {
  const folder = join(work, `f${folders++}`);
  mkdirSync(folder, { recursive: true });
  for (const [name, text] of Object.entries(files)) writeFileSync(join(folder, name), text);
  const child = spawn(program, ['open', '--no-browser', ...args], { cwd: folder });
  let errors = '';
  child.stderr.on('data', (d) => {
    errors += d;
  });
  const link = await new Promise((done, fail) => {
    child.stdout.once('data', (d) => done(String(d).trim()));
    child.once('exit', (code) => fail(new Error(`the program ended with ${code}: ${errors}`)));
  });
  const ended = new Promise((done) => child.once('exit', done));
  return {
    folder,
    link,
    host: new URL(link).host,
    read: (name) => readFileSync(join(folder, name), 'utf8'),
    write: (name, text) => writeFileSync(join(folder, name), text),
    stop: () => {
      child.kill('SIGINT');
      return ended;
    },
  };
}

// opened gives a page that has come in by the link and whose first answer is sure.
export async function opened(browser, app, options, log) {
  const page = await entered(browser, app, options, log);
  await page.waitForFunction(() => globalThis.heard?.sure > 0, null, { timeout: 60000 });
  return page;
}

// entered gives a page that has come in by the link.
export async function entered(browser, app, options, log) {
  const context = await browser.newContext({ viewport: { width: 1440, height: 900 }, ...options });
  const page = await context.newPage();
  page.on('console', (m) => {
    if (['error', 'warning'].includes(m.type())) log.said.push('console: ' + m.text());
  });
  page.on('pageerror', (e) => log.said.push('error: ' + e.message));
  page.on('request', (r) => {
    if (new URL(r.url()).host !== app.host && !r.url().startsWith('blob:')) log.elsewhere.push(r.url());
  });
  await page.addInitScript(() => {
    globalThis.heard = { painted: [], sure: 0, saved: 0 };
    document.addEventListener('painted', (e) => heard.painted.push(e.detail));
    document.addEventListener('sure', () => {
      heard.sure++;
    });
    document.addEventListener('saved', () => {
      heard.saved++;
    });
  });
  await page.goto(app.link);
  return page;
}

// answered waits for the next sure answer after something is done.
export async function answered(page, act) {
  const before = await page.evaluate(() => heard.sure);
  await act();
  await page.waitForFunction((n) => heard.sure > n, before, { timeout: 60000 });
}

// checked is what axe-core finds, by its list for WCAG 2.2 AA.
export async function checked(page, state) {
  await page.addScriptTag({ content: '' }).catch(() => {}); // the policy refuses it; axe goes in through the browser
  await page.evaluate(axe);
  const found = await page.evaluate(() =>
    globalThis.axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'], resultTypes: ['violations'] }),
  );
  return found.violations.map((v) => ({
    state,
    id: v.id,
    impact: v.impact,
    help: v.help,
    where: v.nodes.slice(0, 3).map((n) => n.target.join(' ')),
  }));
}

export async function shot(page, name, fullPage = false) {
  if (shots !== '-') await page.screenshot({ path: join(shots, `planner-${name}.png`), fullPage });
}

export const mark = (page, season, id) => page.locator(`.mark[data-season="${season}"][data-mark="${id}"]`);
// focusOn gives a mark the focus, found and focused in one step: the page may draw it anew at any time.
export const focusOn = (page, season, id) =>
  page.evaluate(([s, i]) => document.querySelector(`.mark[data-season="${s}"][data-mark="${i}"]`).focus(), [season, id]);
export const textOf = (page) => page.evaluate(() => document.getElementById('text').value);
export const dayOf = (y, m, d) => Date.UTC(y, m - 1, d) / 86400000;

// placeOf is where a day stands on the calendar of a season, in the window.
export async function placeOf(page, season, id, day) {
  return page.evaluate(
    ([s, i, d]) => {
      const g = document.querySelector(`.mark[data-season="${s}"][data-mark="${i}"]`);
      const svg = g.ownerSVGElement;
      const box = svg.getBoundingClientRect();
      const marks = [...svg.querySelectorAll('.mark')].map((m) => ({
        x: Number(/translate\((\S+)/.exec(m.getAttribute('transform'))[1]),
        day: Number(m.getAttribute('aria-valuenow')),
      }));
      const [a, b] = [marks.reduce((p, q) => (q.day < p.day ? q : p)), marks.reduce((p, q) => (q.day > p.day ? q : p))];
      const each = (b.x - a.x) / (b.day - a.day);
      const k = box.width / svg.viewBox.baseVal.width;
      const y = Number(/translate\(\S+ ([^)]+)\)/.exec(g.getAttribute('transform'))[1]);
      const at = (n) => ({ x: box.left + k * (a.x + (n - a.day) * each), y: box.top + k * y });
      return { from: at(Number(g.getAttribute('aria-valuenow'))), to: at(d) };
    },
    [season, id, day],
  );
}
