// What a person does on the page: with the mouse alone, the keyboard alone, by touch.
import { entered, focusOn, opened, answered, checked, shot, mark, textOf, dayOf, placeOf } from './help.mjs';

export const wheat = `# Two seasons of an invented field.
field:
  name: Far Piece (invented)   # any name
  area_ha: 8
  soil: clay
  climate: east-lowland

weed:
  species: black-grass
  start: 2026-08-01
  heads_per_m2: 25

seasons:
  - crop: winter-wheat         # the wheat
    drill: {date: 25 Sep, latest: 15 Nov}
  - crop: spring-barley
`;

async function drag(page, season, id, day) {
  await mark(page, season, id).scrollIntoViewIfNeeded();
  const { from, to } = await placeOf(page, season, id, day);
  await page.mouse.move(from.x, from.y);
  await page.mouse.down();
  await page.mouse.move((from.x + to.x) / 2, from.y, { steps: 3 });
  await page.mouse.move(to.x, to.y, { steps: 3 });
  await page.mouse.up();
}

// The wheat is dragged from 25 September to 18 October: the answer says what that does, the
// file holds it, undo gives the old bytes.
export async function mouseDrag({ browser, start, log, is, holds }) {
  const app = await start({ 'plan.yaml': wheat }, 'plan.yaml');
  const page = await opened(browser, app, {}, log);
  await answered(page, () => drag(page, 0, 'drill.date', dayOf(2026, 10, 18)));
  is('the text after the drag', await textOf(page), wheat.replace('date: 25 Sep', 'date: 18 Oct'));
  const says = await page.locator('.difference').innerText();
  holds(`the difference does not name the change: ${says}`, says.includes('Winter wheat drilled 18 Oct instead of 25 Sep'));
  holds(`the difference gives no numbers: ${says}`, /\d+ % fewer heads/.test(says) && /misses in \d+ of 100 runs/.test(says));
  const painted = await page.evaluate(() => heard.painted);
  log.notes.push('painted: ' + painted.map((p) => `${p.runs} runs after ${Math.round(p.ms)} ms`).join(', '));
  is(
    'what was painted',
    painted.map((p) => p.runs),
    [200, 2000, 200, 2000],
  );
  await shot(page, 'dragged');
  is('the file before Save', app.read('plan.yaml'), wheat);
  await page.click('#do-save');
  await page.waitForFunction(() => heard.saved > 0);
  is('the file after Save', app.read('plan.yaml'), wheat.replace('date: 25 Sep', 'date: 18 Oct'));
  log.sentences = await page.locator('#verdict p:not(.meanwhile), #verdict li').allInnerTexts();
  log.file = app.folder + '/plan.yaml';
  await answered(page, () => page.click('#do-undo'));
  is('the text after undo', await textOf(page), wheat);
  await answered(page, () => page.click('#do-redo'));
  is('the text after redo', await textOf(page), wheat.replace('date: 25 Sep', 'date: 18 Oct'));
}

// A farmer's plan from the starter plan, with the mouse alone, saved under the name offered.
export async function mouseAlone({ browser, start, log, is, holds }) {
  const app = await start();
  const page = await opened(browser, app, {}, log);
  await page.click('[data-card="1"] .season');
  await answered(page, () => page.click('.inspector button:has-text("Take it out")'));
  await page.click('[data-card="0"] .season');
  await answered(page, () => page.click('.inspector [data-choice="spring-barley"]'));
  await answered(page, () => page.click('.inspector [data-add="cultivate"]'));
  await page.click('[data-card="1"] [data-work="drill.date"]');
  await answered(page, () => page.click('.inspector [aria-label="a week earlier"]'));
  await answered(page, () => page.click('.inspector [data-choice="tine-drill"]'));
  await page.click('[data-card="0"] [data-work="cover.sow"]');
  await answered(page, () => page.click('.inspector [data-choice="rye-vetch"]'));
  await shot(page, 'season');
  const text = await textOf(page);
  for (const line of [
    '  - crop: spring-barley',
    '    cover: {mix: rye-vetch, sow: 3 Sep, destroy: 5 Feb}   # leave the line out for no cover',
    '    drill: {date: 13 Oct, latest: 15 Nov, with: tine-drill}',
    'repeat: 2                        # the three seasons twice over: six in all',
  ])
    holds(`the text lacks ${line}\n${text}`, text.split('\n').includes(line));
  holds('the beans are still there', !text.includes('spring-beans'));
  await page.click('#do-save');
  await page.click('dialog [data-answer="Save"]');
  await page.waitForFunction(() => heard.saved > 0);
  is('the file', app.read('plan.yaml'), text);
}

// tabTo goes on by the Tab key until something has the focus.
async function tabTo(page, selector) {
  for (let n = 0; n < 250; n++) {
    if (await page.evaluate((s) => document.activeElement?.matches(s) ?? false, selector)) return;
    await page.keyboard.press('Tab');
  }
  throw new Error(`the keyboard does not come to ${selector}`);
}

export async function keyboardAlone({ browser, start, log, is, holds }) {
  const app = await start({ 'plan.yaml': wheat }, 'plan.yaml');
  const page = await opened(browser, app, {}, log);
  await tabTo(page, '#field-soil');
  await answered(page, async () => {
    await page.keyboard.type('loam');
    await page.keyboard.press('Tab');
  });
  await tabTo(page, '.mark[data-season="0"][data-mark="drill.date"]');
  const shown = await page.evaluate(() => getComputedStyle(document.activeElement.querySelector('.hit')).stroke);
  holds('the focus of a mark is not seen', shown !== 'none');
  await answered(page, async () => {
    for (let n = 0; n < 3; n++) await page.keyboard.press('Shift+ArrowRight');
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('ArrowRight');
  });
  holds(`the text is ${await textOf(page)}`, (await textOf(page)).includes('drill: {date: 18 Oct, latest: 15 Nov}'));
  is('the focus stays at the mark', await page.evaluate(() => document.activeElement.dataset.mark), 'drill.date');
  is('its value is said', await page.evaluate(() => document.activeElement.getAttribute('aria-valuetext')), '18 October 2026');
  const live = await page.locator('#live').innerText();
  holds(`the live region says ${live}`, live.includes('18 Oct instead of 25 Sep'));
  await page.keyboard.press('Enter');
  await tabTo(page, '.inspector [data-choice="disc-drill"]');
  await answered(page, () => page.keyboard.press('Enter'));
  holds('the drill is not in the text', (await textOf(page)).includes('{date: 18 Oct, latest: 15 Nov, with: disc-drill}'));
  await tabTo(page, '[data-card="1"] .season');
  await page.keyboard.press('Enter');
  await tabTo(page, '.inspector [data-add="herbicides"]');
  await answered(page, () => page.keyboard.press('Enter'));
  await page.keyboard.press('Control+s');
  await page.waitForFunction(() => heard.saved > 0);
  is('the file', app.read('plan.yaml'), await textOf(page));
}

// By touch on a phone: seasons under each other, a mark dragged by a finger, and tap and tap.
export async function touch({ browser, start, log, is, holds }) {
  const app = await start({ 'plan.yaml': wheat }, 'plan.yaml');
  const page = await opened(browser, app, { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true }, log);
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  is('pixels too wide', wide, 0);
  await shot(page, 'phone');
  const session = await page.context().newCDPSession(page);
  await mark(page, 0, 'drill.date').scrollIntoViewIfNeeded();
  const { from, to } = await placeOf(page, 0, 'drill.date', dayOf(2026, 10, 18));
  const send = (type, p) => session.send('Input.dispatchTouchEvent', { type, touchPoints: p ? [{ x: p.x, y: p.y }] : [] });
  await answered(page, async () => {
    await send('touchStart', from);
    for (let k = 1; k <= 6; k++) await send('touchMove', { x: from.x + ((to.x - from.x) * k) / 6, y: from.y });
    await send('touchEnd');
  });
  const dragged = /drill: \{date: (\d+ \w+)/.exec(await textOf(page))[1];
  holds(`dragged by a finger to ${dragged}`, ['17 Oct', '18 Oct', '19 Oct'].includes(dragged));
  await page.locator('[data-card="1"]').evaluate((e) => e.scrollIntoView({ block: 'center' }));
  const box = await mark(page, 1, 'drill.date').boundingBox();
  await page.touchscreen.tap(box.x + box.width / 2, box.y + box.height / 2);
  await page.waitForSelector('.mark.chosen[data-season="1"]');
  const tap = await placeOf(page, 1, 'drill.date', dayOf(2028, 2, 18));
  await answered(page, () => page.touchscreen.tap(tap.to.x, tap.to.y + 40));
  holds(`tap and tap gives ${await textOf(page)}`, /spring-barley\n\s+drill: \{date: (17|18|19) Feb\}/.test(await textOf(page)));
  const small = await page.evaluate(() =>
    [...document.querySelectorAll('button, input, select, summary, .mark .hit')]
      .filter((e) => {
        const r = e.getBoundingClientRect();
        return r.width > 0 && e.type !== 'radio' && (r.width < 24 || r.height < 24);
      })
      .map((e) => e.outerHTML.slice(0, 80)),
  );
  is('targets under 24 px', small, []);
  await page.evaluate(() => document.getElementById('cards').scrollIntoView());
  const head = await page.locator('#verdict').boundingBox();
  holds(`the answer is out of sight at ${JSON.stringify(head)}`, head && head.y >= 0 && head.y < 200);
  await shot(page, 'phone-seasons');
  await shot(page, 'phone-all', true);
  log.axe.push(...(await checked(page, 'phone')));
}

// A plan is broken in the text and mended by what the page says.
export async function breakAndMend({ browser, start, log, is, holds }) {
  const app = await start({ 'plan.yaml': wheat }, 'plan.yaml');
  const page = await opened(browser, app, {}, log);
  await page.click('#do-text');
  await shot(page, 'text');
  log.axe.push(...(await checked(page, 'text open')));
  await page.fill('#text', wheat.replace('latest: 15 Nov', 'latest: 1 Sep'));
  await page.waitForSelector('.broken');
  const says = await page.locator('.broken').innerText();
  holds(`it says ${says}`, says.includes('days on; at most 120') || says.includes('comes before'));
  holds('the mark is not shown as wrong', (await mark(page, 0, 'drill.latest').getAttribute('aria-invalid')) === 'true');
  await shot(page, 'broken');
  log.axe.push(...(await checked(page, 'broken')));
  await page.click('.broken .place');
  await page.waitForSelector('.inspector #day');
  await answered(page, async () => {
    await page.fill('#day', '20 Nov');
    await page.keyboard.press('Enter');
  });
  is('mended', await textOf(page), wheat.replace('15 Nov', '20 Nov'));
  is('nothing is left to mend', await page.locator('.broken').count(), 0);
}

// A plan that is broken from the start is mended in the text; a hostile name is shown and never obeyed.
export async function brokenFromTheStart({ browser, start, log, is, holds }) {
  const hostile = '<img src=x onerror=alert(1)><script>alert(2)</script>';
  const text = wheat.replace('Far Piece (invented)   #', `"${hostile}"   #`).replace('soil: clay', 'soil: claay');
  const app = await start({ 'plan.yaml': text }, 'plan.yaml');
  const page = await entered(browser, app, {}, log);
  page.on('dialog', (d) => {
    log.wrong.push('a dialog: ' + d.message());
    d.dismiss();
  });
  await page.waitForSelector('.broken');
  holds('it does not say what is wrong', (await page.locator('.broken').innerText()).includes('claay'));
  log.axe.push(...(await checked(page, 'broken from the start')));
  await page.click('.broken .place');
  is(
    'the place in the text',
    await page.evaluate(() => {
      const t = document.getElementById('text');
      return t.value.slice(t.selectionStart, t.selectionEnd);
    }),
    '  soil: claay',
  );
  await answered(page, () => page.fill('#text', text.replace('claay', 'clay')));
  is('the name is shown as it is', await page.locator('#title').innerText(), hostile);
  is('cards', await page.locator('.card').count(), 2);
}

// Versions are kept and set against each other; another value is tried and nothing of it saved.
export async function keepAndTry({ browser, start, log, is, holds }) {
  const app = await start({ 'plan.yaml': wheat }, 'plan.yaml');
  const page = await opened(browser, app, {}, log);
  await answered(page, () => drag(page, 0, 'drill.date', dayOf(2026, 10, 18)));
  await answered(page, () => page.click('#do-keep'));
  await answered(page, () => drag(page, 0, 'drill.date', dayOf(2026, 10, 5)));
  const against = await page.locator('.difference').innerText();
  holds(`against A: ${against}`, against.includes('5 Oct instead of 18 Oct') && /more heads/.test(against));
  await answered(page, () => page.selectOption('#against-which', '0'));
  holds('against the plan as opened', (await page.locator('.difference').innerText()).includes('5 Oct instead of 25 Sep'));
  await page.click('.whatif summary');
  await answered(page, () => page.selectOption('#whatif', 'crops/winter-wheat/price'));
  await answered(page, () =>
    page.evaluate(() => {
      const s = document.querySelector('.slide input');
      s.value = s.max;
      s.dispatchEvent(new Event('change', { bubbles: true }));
    }),
  );
  await shot(page, 'what-if');
  log.axe.push(...(await checked(page, 'kept and tried')));
  is('the text after what if', await textOf(page), wheat.replace('25 Sep', '5 Oct'));
}

// One season alone of a list that is repeated.
export async function oneAlone({ browser, start, log, is, holds }) {
  const text = wheat + 'repeat: 2   # twice\n';
  const app = await start({ 'plan.yaml': text }, 'plan.yaml');
  const page = await opened(browser, app, {}, log);
  is('seasons', await page.locator('.card').count(), 4);
  await mark(page, 2, 'drill.date').click();
  await page.click('.inspector .alone label:nth-of-type(2)');
  await answered(page, () => page.click('.inspector [aria-label="a week later"]'));
  const now = await textOf(page);
  is(
    'wheat drilled',
    [...now.matchAll(/drill: \{date: (\d+ \w+)/g)].map((m) => m[1]),
    ['25 Sep', '2 Oct'],
  );
  is('comments', now.split('# the wheat').length - 1, 2);
  holds('repeat is still there', !now.includes('repeat'));
  is('seasons after', await page.locator('.card').count(), 4);
}

// The full report opens as a document of its own, under its own policy.
export async function fullReport({ browser, start, log, is, holds }) {
  const app = await start({ 'plan.yaml': wheat }, 'plan.yaml');
  const page = await opened(browser, app, {}, log);
  const [tab] = await Promise.all([page.context().waitForEvent('page'), page.click('#do-report')]);
  tab.on('console', (m) => {
    if (['error', 'warning'].includes(m.type())) log.said.push('report: ' + m.text());
  });
  await tab.waitForURL(/\/report\//, { timeout: 60000 });
  await tab.waitForSelector('figure svg');
  holds('the report does not name the field', (await tab.locator('main').innerText()).includes('Far Piece (invented)'));
}

// Counts are typed in and let into the forecast.
export async function countsIn({ browser, start, log, is, holds }) {
  const app = await start({ 'plan.yaml': wheat }, 'plan.yaml');
  const page = await opened(browser, app, {}, log);
  await page.evaluate(() => {
    document.addEventListener('updated', () => {
      heard.updated = true;
    });
  });
  await page.click('#counts summary');
  await page.fill('#count-date', '2027-04-12');
  await page.fill('#count-numbers', '9 14 22 0 31 18');
  await page.click('#count-add');
  is('the lines', (await page.inputValue('#count-text')).split('\n').length, 8);
  log.axe.push(...(await checked(page, 'counts')));
  await page.click('#count-go');
  await page.waitForFunction(() => heard.updated, null, { timeout: 120000 });
  const says = await page.locator('.after').innerText();
  holds(`after the counts it says ${says}`, /on 12 Apr 2027 the field has about/.test(says));
  log.axe.push(...(await checked(page, 'after counts')));
  await page.locator('#counts').scrollIntoViewIfNeeded();
  await shot(page, 'counts');
}

// Changes that come fast: none of a change that was given up is painted.
export async function fastChanges({ browser, start, log, is, holds }) {
  const app = await start({ 'plan.yaml': wheat }, 'plan.yaml');
  const page = await opened(browser, app, {}, log);
  const before = await page.evaluate(() => heard.painted.length);
  await answered(page, async () => {
    await focusOn(page, 0, 'drill.date');
    for (let n = 0; n < 4; n++) {
      await page.keyboard.press('ArrowRight');
      await page.keyboard.press('Enter');
    }
  });
  const painted = (await page.evaluate(() => heard.painted)).slice(before).map((p) => p.runs);
  holds(`painted ${painted}`, painted.at(-1) === 2000 && painted.at(-2) === 200 && painted.filter((n) => n === 2000).length === 1);
  holds('the last text', (await textOf(page)).includes('29 Sep'));
}

// The page in the dark, with dialogs and choices open: axe finds nothing. A draft survives a
// reload, and the end of the program is said.
export async function states({ browser, start, log, is, holds }) {
  const app = await start({ 'plan.yaml': wheat }, 'plan.yaml');
  const page = await opened(browser, app, { colorScheme: 'dark', reducedMotion: 'reduce' }, log);
  await shot(page, 'dark');
  log.axe.push(...(await checked(page, 'dark')));
  await mark(page, 0, 'drill.date').click();
  await shot(page, 'dark-mark');
  log.axe.push(...(await checked(page, 'dark, a mark chosen')));
  await page.click('[data-card="1"] .season');
  log.axe.push(...(await checked(page, 'dark, a season chosen')));
  await page.click('#do-save-as');
  log.axe.push(...(await checked(page, 'dark, a question')));
  await page.click('dialog [data-answer="Leave it"]');
  await page.emulateMedia({ colorScheme: 'light' });
  log.axe.push(...(await checked(page, 'light, a season chosen')));
  await answered(page, () => page.fill('#field-name', 'Long Bank').then(() => page.keyboard.press('Tab')));
  page.on('dialog', (d) => d.accept());
  await page.reload();
  await page.waitForFunction(() => globalThis.heard?.sure > 0, null, { timeout: 60000 });
  holds('the draft is lost', (await textOf(page)).includes('name: Long Bank   # any name'));
  is('what the head says', await page.locator('#saved').innerText(), '(changed)');
  await page.emulateMedia({ media: 'print' });
  const { writeFileSync } = await import('node:fs');
  const { shots } = await import('./help.mjs');
  const pdf = await page.pdf({ preferCSSPageSize: true, printBackground: true });
  if (shots !== '-') writeFileSync(shots + '/planner-print.pdf', pdf);
  is('pages in print', (pdf.toString('latin1').match(/\/Type\s*\/Page\b(?!s)/g) ?? []).length <= 2, true);
  await page.emulateMedia({ media: 'screen' });
  await app.stop();
  const said = log.said.length;
  await focusOn(page, 0, 'drill.date');
  await page.keyboard.press('ArrowRight');
  await page.waitForSelector('#notices .notice:has-text("has ended")');
  log.said.length = said; // that nobody answers is what was wanted
  holds('the text is gone', (await textOf(page)).includes('Long Bank'));
}
