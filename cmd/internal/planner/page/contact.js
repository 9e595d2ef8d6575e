// Talking to the program: calls and streams with the key, and what is done when it has gone.
import { reader } from './stream.js';

const place = 'rundown-key';
export const keep = (key) => localStorage.setItem(place, key);

// Refused is an answer that says no, in words.
export class Refused extends Error {
  constructor(status, said) {
    super(said.text ?? 'The program says no.');
    this.status = status;
    this.said = said;
  }
}

// Gone is a program that does not answer.
export class Gone extends Error {}

let lost = false;

async function sent(path, body, signal) {
  if (lost) throw new Gone('The program has ended.');
  const headers = { 'Rundown-Key': localStorage.getItem(place) ?? '' };
  if (body !== undefined) headers['Content-Type'] = 'application/json';
  let answer;
  try {
    answer = await fetch(path, {
      method: body === undefined ? 'GET' : 'POST',
      headers,
      body: body === undefined ? undefined : JSON.stringify(body),
      signal,
      redirect: 'error',
    });
  } catch (e) {
    if (signal?.aborted) throw e;
    lose();
    throw new Gone('The program has ended.');
  }
  if (!answer.ok) throw new Refused(answer.status, await answer.json().catch(() => ({ text: 'The program says no.' })));
  return answer;
}

// call asks for something and gives what is answered.
export const call = async (path, body) => (await sent(path, body)).json();

// stream asks for a stream of events and gives each to on(name, data). Aborted, it ends quietly.
export async function stream(path, body, signal, on) {
  try {
    const answer = await sent(path, body, signal);
    const feed = reader(on);
    const bytes = answer.body.pipeThrough(new TextDecoderStream()).getReader();
    for (;;) {
      const { done, value } = await bytes.read();
      if (done) return;
      feed(value);
    }
  } catch (e) {
    if (signal.aborted) return;
    if (e instanceof Refused || e instanceof Gone) throw e;
    lose();
    throw new Gone('The program has ended.');
  }
}

let told = () => {};
// whenGone is told of contact lost (true) and found again (false).
export const whenGone = (f) => {
  told = f;
};

// After contact was lost another program may have the port: nothing is sent but a ping without
// the key, until the name of the start that this page came from is heard again.
function lose() {
  if (lost) return;
  lost = true;
  told(true);
  const name = document.querySelector('meta[name=start]').content;
  const ask = async () => {
    try {
      const said = await (await fetch('/ping', { redirect: 'error' })).json();
      if (said.start === name) {
        lost = false;
        told(false);
        return;
      }
    } catch {
      /* still gone */
    }
    setTimeout(ask, 3000);
  };
  setTimeout(ask, 1000);
}

// beat says every minute that this page is open.
export function beat() {
  setInterval(() => {
    if (!lost) call('/api/beat', {}).catch(() => {});
  }, 60000);
}
