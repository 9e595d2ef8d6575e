// One question at a time: a new one gives the old one up, and of those that come meanwhile
// the newest waits.

export class Asking {
  constructor(work) {
    this.work = work;
    this.running = null;
    this.next = null;
  }

  ask(what) {
    this.next = { what };
    if (this.running) this.running.abort();
    else this.#go();
  }

  stop() {
    this.next = null;
    this.running?.abort();
  }

  async #go() {
    while (this.next) {
      const { what } = this.next;
      this.next = null;
      this.running = new AbortController();
      try {
        await this.work(what, this.running.signal);
      } finally {
        this.running = null;
      }
    }
  }
}
