// The planner page in a real browser:
//
//   node planner.mjs CHROMIUM SHOTS PROGRAM WORK TOOLS
//
// Every trial gives what went wrong, what the browser complained of, and what was asked of other
// addresses; all of it as JSON on standard output. Waits are for events of the page, never for a time.
import { chromium, executable, start } from './help.mjs';
import * as trials from './trials.mjs';
import * as guarded from './guarded.mjs';

const browser = await chromium.launch({
  executablePath: executable,
  args: [
    '--headless',
    '--no-sandbox',
    '--disable-gpu',
    '--disable-quic',
    '--no-first-run',
    '--disable-background-networking',
    '--disable-component-update',
    '--disable-sync',
  ],
});
const results = [];
const wanted = process.argv.slice(7); // names of trials; all where none is given
for (const [name, trial] of [...Object.entries(trials), ...Object.entries(guarded)]) {
  if (typeof trial !== 'function' || (wanted.length > 0 && !wanted.includes(name))) continue;
  const log = { name, wrong: [], said: [], elsewhere: [], axe: [], notes: [] };
  const apps = [];
  try {
    await trial({
      browser,
      log,
      start: async (...args) => {
        const app = await start(...args);
        apps.push(app);
        return app;
      },
      is: (what, got, want) => {
        if (JSON.stringify(got) !== JSON.stringify(want)) log.wrong.push(`${what}: ${JSON.stringify(got)}, want ${JSON.stringify(want)}`);
      },
      holds: (what, ok) => {
        if (!ok) log.wrong.push(what);
      },
    });
  } catch (e) {
    log.wrong.push(e.stack ?? String(e));
  }
  for (const context of browser.contexts()) await context.close();
  for (const app of apps) await app.stop();
  results.push(log);
}
await browser.close();
process.stdout.write(JSON.stringify(results));
