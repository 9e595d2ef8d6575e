// Opens pages from disk in a browser without a screen and tells what is wrong
// with them, as JSON on standard output:
//
//   node look.mjs CHROMIUM FOLDER PAGE.html…
//
// Each page is opened at three widths, the widest dark, checked by axe-core on a
// phone and in the dark, read without script, and printed. Into FOLDER, unless it is "-", go pictures of
// what was seen, for a person to look at.
import { readFileSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { createRequire } from 'node:module';
import { pathToFileURL } from 'node:url';
import { chromium } from 'playwright-core';

const axeSource = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const [executablePath, folder, ...pages] = process.argv.slice(2);
const views = [[360, 'light'], [1024, 'light'], [1600, 'dark']];
const printable = { width: 688, height: 1001 }; // A4 within the margins of the style, in CSS pixels

const browser = await chromium.launch({
  executablePath,
  args: ['--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run',
    '--disable-background-networking', '--disable-component-update', '--disable-sync'],
});

// opened gives a fresh page, and collects what it complains of or asks for.
async function opened(file, options, said) {
  const context = await browser.newContext(options);
  const page = await context.newPage();
  page.on('console', (m) => { if (['error', 'warning'].includes(m.type())) said.push('console: ' + m.text()); });
  page.on('pageerror', (e) => said.push('error: ' + e.message));
  page.on('dialog', (d) => { said.push('dialog: ' + d.message()); d.dismiss(); });
  page.on('request', (r) => { if (r.url() !== pathToFileURL(file).href) said.push('asked for ' + r.url()); });
  await page.goto(pathToFileURL(file).href);
  return { context, page };
}

// nameless are figures and pictures without an accessible name, as the browser
// computes it.
async function nameless(page) {
  const session = await page.context().newCDPSession(page);
  const { nodes } = await session.send('Accessibility.getFullAXTree');
  const names = { figure: [], image: [] };
  for (const n of nodes) {
    const role = n.role?.value;
    if (!n.ignored && role in names) names[role].push(n.name?.value ?? '');
  }
  return {
    figures: names.figure.length, spots: names.image.length,
    nameless: [...names.figure, ...names.image].filter((s) => s.trim() === '').length,
  };
}

function measured() {
  const root = document.documentElement;
  const figures = [...document.querySelectorAll('figure')];
  const seen = (e) => { const r = e.getBoundingClientRect(); return r.width > 200 && r.height > 60; };
  return {
    overflow: root.scrollWidth - root.clientWidth,
    pictures: figures.filter((f) => [...f.querySelectorAll('svg')].filter(seen).length === 1).length,
    unlabelled: figures.filter((f) => [...f.querySelectorAll('svg')].some((s) => (s.getAttribute('aria-label') ?? '').length < 20)).length,
    broken: [...document.images].filter((i) => !i.complete || i.naturalWidth === 0).length,
    smallest: Math.min(...figures.flatMap((f) => [...f.querySelectorAll('svg')].filter(seen).map((svg) => {
      const k = svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
      return Math.min(...[...svg.querySelectorAll('text')].map((t) => k * t.getAttribute('font-size')));
    })), 99),
    outside: figures.flatMap((f) => [...f.querySelectorAll('svg')].filter(seen).flatMap((svg) => {
      const box = svg.getBoundingClientRect();
      return [...svg.querySelectorAll('text')].filter((t) => {
        const r = t.getBoundingClientRect();
        return r.left < box.left - 3 || r.right > box.right + 3;
      }).map((t) => t.textContent);
    })),
    text: document.querySelector('main').innerText.replace(/\s+/g, ' '),
  };
}

// keyboard goes to the first spot, one on by the arrow key, and tells what is said.
async function keyboard(page) {
  if (!await page.$('figure svg .spot[tabindex]')) return null;
  return page.evaluate(() => {
    const spots = [...document.querySelectorAll('figure svg')].filter((s) => s.getBoundingClientRect().width > 0)[0].querySelectorAll('.spot[tabindex]');
    const box = document.getElementById('says');
    spots[0].focus();
    const first = box.hidden ? '' : box.textContent;
    spots[0].dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowRight', bubbles: true }));
    return { first, second: box.hidden ? '' : box.textContent, stops: [...spots].filter((s) => s.tabIndex === 0).length, spots: spots.length };
  });
}

async function checked(page) {
  await page.evaluate(axeSource);
  const found = await page.evaluate(() => globalThis.axe.run(document, {
    runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'], resultTypes: ['violations'],
  }));
  return found.violations.map((v) => ({ id: v.id, impact: v.impact, help: v.help, where: v.nodes.slice(0, 3).map((n) => n.target.join(' ')) }));
}

async function looked(file) {
  const name = basename(dirname(file)) + '-' + basename(file, '.html');
  const shot = async (page, what) => { if (folder !== '-') await page.screenshot({ path: join(folder, `${name}-${what}.png`), fullPage: true }); };
  const result = { file, said: [], views: [], violations: [] };
  for (const [width, colorScheme] of views) {
    const { context, page } = await opened(file, { viewport: { width, height: 800 }, colorScheme }, result.said);
    await page.evaluate(() => document.querySelectorAll('.fold').forEach((d) => { d.open = true; })); // folded on a phone
    result.views.push({ width, ...await page.evaluate(measured), ...await nameless(page) });
    await shot(page, width);
    if (width === 1024) {
      result.keyboard = await keyboard(page);
    } else {
      await page.evaluate(() => document.querySelectorAll('details').forEach((d) => { d.open = true; }));
      result.violations.push(...(await checked(page)).map((v) => ({ width, colorScheme, ...v })));
    }
    await context.close();
  }
  {
    const { context, page } = await opened(file, { viewport: { width: 1024, height: 800 }, javaScriptEnabled: false }, result.said);
    result.scriptless = (await page.evaluate(measured)).text;
    await context.close();
  }
  {
    const { context, page } = await opened(file, { viewport: printable, colorScheme: 'dark' }, result.said);
    await page.emulateMedia({ media: 'print', colorScheme: 'dark' });
    result.print = await page.evaluate(() => ({
      tallest: Math.max(0, ...[...document.querySelectorAll('figure')].map((f) => f.getBoundingClientRect().height)),
      overflow: document.documentElement.scrollWidth - document.documentElement.clientWidth,
      ground: getComputedStyle(document.body).backgroundColor,
    }));
    const pdf = await page.pdf({ preferCSSPageSize: true, printBackground: true, ...(folder === '-' ? {} : { path: join(folder, name + '.pdf') }) });
    result.print.pages = (pdf.toString('latin1').match(/\/Type\s*\/Page\b(?!s)/g) ?? []).length;
    result.print.box = (pdf.toString('latin1').match(/\/MediaBox\s*\[([^\]]*)\]/) ?? [])[1] ?? '';
    await context.close();
  }
  return result;
}

const results = await Promise.all(pages.map(looked));
await browser.close();
process.stdout.write(JSON.stringify(results));
