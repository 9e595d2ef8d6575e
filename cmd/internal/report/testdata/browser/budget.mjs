// Opens pages from disk and tells how long they are, as JSON on standard output:
//
//   node budget.mjs CHROMIUM FOLDER PAGE.html…
//
// Of each: how many phone screens it has with its details closed, how far down its answer ends, and
// how full each of its printed pages is, by pdftotext (of poppler-utils): the lowest word on it, as a
// share of the room between the margins. Into FOLDER, unless it is "-", goes what was seen.
import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, dirname, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { chromium } from 'playwright-core';

const [executablePath, folder, ...pages] = process.argv.slice(2);
const phone = { width: 390, height: 844 };
const printable = { width: 688, height: 1001 }; // A4 within the margins of the style, in CSS pixels
const own = mkdtempSync(join(tmpdir(), 'budget-'));

const browser = await chromium.launch({
  executablePath,
  args: ['--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run',
    '--disable-background-networking', '--disable-component-update', '--disable-sync'],
});

// filled is how full the pages of a PDF are, and the words on the first.
function filled(pdf) {
  const text = execFileSync('pdftotext', ['-bbox', pdf, '-'], { maxBuffer: 1 << 28 }).toString();
  const out = text.split('<page ').slice(1).map((page) => {
    const height = Number(page.match(/height="([\d.]+)"/)[1]);
    const top = 15 / 297 * height, foot = height - 17 / 297 * height;
    const words = [...page.matchAll(/yMin="([\d.]+)" xMax="[\d.]+" yMax="([\d.]+)">([^<]*)</g)]
      .map((m) => ({ low: Number(m[2]), word: m[3] })).filter((w) => w.low < foot + 2);
    return { full: (Math.max(top, ...words.map((w) => w.low)) - top) / (foot - top), text: words.map((w) => w.word).join(' ') };
  });
  return { full: out.map((p) => p.full), first: out[0].text };
}

async function measured(file) {
  const name = basename(dirname(file)) + '-' + basename(file, '.html');
  const where = (what) => join(folder === '-' ? own : folder, `${name}-${what}`);
  const result = { file };
  {
    const page = await browser.newPage({ viewport: phone });
    await page.goto(pathToFileURL(file).href);
    Object.assign(result, await page.evaluate(() => ({
      height: document.documentElement.scrollHeight,
      answered: Math.max(...[...document.querySelectorAll('.answer')].map((a) => a.getBoundingClientRect().bottom)),
      parts: [...document.querySelectorAll('main > *')].map((s) => [s.id || s.tagName, Math.round(s.getBoundingClientRect().height)]),
    })));
    result.screens = result.height / phone.height;
    if (folder !== '-') await page.screenshot({ path: where('phone.png'), fullPage: true });
    await page.close();
  }
  const page = await browser.newPage({ viewport: printable });
  await page.goto(pathToFileURL(file).href);
  await page.pdf({ preferCSSPageSize: true, printBackground: true, path: where('print.pdf') });
  Object.assign(result, filled(where('print.pdf')));
  await page.close();
  return result;
}

const results = [];
for (const file of pages) results.push(await measured(file));
await browser.close();
rmSync(own, { recursive: true });
process.stdout.write(JSON.stringify(results));
