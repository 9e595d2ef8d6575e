// Who gets in, tried from other pages of a real browser.
import { createServer } from 'node:http';
import { opened, textOf } from './help.mjs';
import { wheat } from './trials.mjs';

async function serving(html) {
  const server = createServer((_, r) => {
    r.setHeader('Content-Type', 'text/html');
    r.end(html);
  });
  await new Promise((done) => server.listen(0, '127.0.0.1', done));
  return { port: server.address().port, close: () => server.close() };
}

// A page on a neighbouring port is of the same site, and is sent along with the cookie: it can
// neither read nor write.
export async function neighbour({ browser, start, log, is, holds }) {
  const app = await start({ 'plan.yaml': wheat }, 'plan.yaml');
  const page = await opened(browser, app, {}, log);
  const next = await serving('<!doctype html><title>next door</title>');
  const other = await page.context().newPage();
  const answers = [];
  other.on('response', (r) => {
    if (new URL(r.url()).host === app.host) answers.push(r.status());
  });
  await other.goto(`http://127.0.0.1:${next.port}/`);
  const tried = await other.evaluate(async (host) => {
    const out = [];
    const body = JSON.stringify({ Name: 'evil.yaml', Text: 'a: 1', Hash: '', Replace: true });
    for (const [path, options] of [
      ['/', {}],
      ['/api/files', {}],
      ['/api/save', { method: 'POST', body, headers: { 'Content-Type': 'text/plain' } }],
      ['/api/save', { method: 'POST', body, headers: { 'Content-Type': 'application/json', 'Rundown-Key': '0' } }],
      ['/api/save', { method: 'POST', body, mode: 'no-cors' }],
      ['/ping', {}],
    ]) {
      try {
        const a = await fetch(`http://${host}${path}`, { credentials: 'include', ...options });
        out.push(a.type === 'opaque' ? 'opaque' : `read ${path}: ${(await a.text()).slice(0, 40)}`);
      } catch {
        out.push('refused');
      }
    }
    return out;
  }, app.host);
  is(
    'what a neighbour could read',
    tried.filter((x) => x.startsWith('read')),
    [],
  );
  holds('nothing was tried', tried.length === 6);
  let written = true;
  try {
    app.read('evil.yaml');
  } catch {
    written = false;
  }
  holds('a neighbour wrote a file', !written);
  const framed = await serving(`<!doctype html><iframe src="http://${app.host}/"></iframe>`);
  const frames = await page.context().newPage();
  await frames.goto(`http://127.0.0.1:${framed.port}/`);
  const inside = await frames
    .frames()
    .at(-1)
    .evaluate(() => document.querySelector('#cards') !== null)
    .catch(() => false);
  holds('the page can be framed', !inside);
  // The same from the page itself is let in.
  is(
    'the page itself is let in',
    await page.evaluate(async () => (await fetch('/api/files', { headers: { 'Rundown-Key': localStorage.getItem('rundown-key') } })).status),
    200,
  );
  next.close();
  framed.close();
}

// The link is clicked on a page of another site: it lets in, once.
export async function linkElsewhere({ browser, start, log, is, holds }) {
  const app = await start({ 'plan.yaml': wheat }, 'plan.yaml');
  const other = await serving(`<!doctype html><title>mail</title><a id="go" href="${app.link}">the link</a>`);
  const context = await browser.newContext();
  const page = await context.newPage();
  await page.addInitScript(() => {
    globalThis.heard = { sure: 0 };
    document.addEventListener('sure', () => {
      heard.sure++;
    });
  });
  await page.goto(`http://localhost:${other.port}/`);
  await page.click('#go');
  await page.waitForFunction(() => globalThis.heard?.sure > 0, null, { timeout: 60000 });
  is('the plan', await textOf(page), wheat);
  is('the address', page.url(), `http://${app.host}/`);
  const second = await context.newPage();
  await second.goto(app.link);
  holds('the link is good twice', (await second.locator('body').innerText()).includes('used already'));
  const stranger = await (await browser.newContext()).newPage();
  await stranger.goto(`http://${app.host}/`);
  holds('a browser without the cookie is let in', (await stranger.locator('body').innerText()).includes('Not let in'));
  other.close();
}
