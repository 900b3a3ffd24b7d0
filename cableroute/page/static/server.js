// Talks to the server: one edit after the other, kept while it is gone, and news of the file.

import { applied, seenBy } from "./edits.js";

const PATIENCE = 1000;
const kept = "cableroute-kept";
const later = (ms) => new Promise((done) => setTimeout(done, ms));

export async function ask(path, body, signal) {
  const how = body === undefined ? {} : {
    method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body),
  };
  const reply = await fetch(path, { ...how, signal, cache: "no-store" });
  return [reply.status, await reply.json()];
}

export class Server {
  // `on.change()` is called whenever there is something else to show.
  constructor(on) {
    Object.assign(this, { on, state: null, queue: [], busy: false, link: "opening", lost: [], error: "", taken: 0 });
  }

  // What waits for news when the server is found to be gone need not wait any longer.
  set link(found) {
    this.found = found;
    if (found === "gone") this.news?.abort();
  }

  get link() { return this.found; }

  // The document with the edits that are still on their way.
  get document() {
    return this.queue.reduce((document, edit) => applied(document, edit.ops), this.state.document);
  }

  get waiting() {
    return this.busy || this.queue.length > 0;
  }

  async start() {
    addEventListener("hashchange", () => this.enter(location.hash.slice(1)));
    if (location.hash.length > 1) await this.enter(location.hash.slice(1));
    this.recall();
    for (;;) {
      try {
        await this.follow();
      } catch {
        if (this.link !== "refused") this.link = "gone";
      }
      this.on.change();
      await later(PATIENCE);
    }
  }

  async enter(token) {
    history.replaceState(null, "", "/");
    try {
      const [status, told] = await ask("/api/enter", { token: decodeURIComponent(token) });
      this.error = status === 200 ? "" : told.error;
      if (status === 200 && this.link === "refused") this.link = "opening";
    } catch {
      this.link = "gone";
    }
    this.on.change();
  }

  async follow() {
    let taken = this.taken, [status, state] = await ask("/api/state");
    while (status === 200) {
      this.link = "here";
      // news that were asked for before the last edit may be older than its answer
      if (!this.busy && taken === this.taken) this.adopt(state);
      this.send();
      this.on.change();
      taken = this.taken;
      const version = encodeURIComponent(this.state.version);
      this.news = new AbortController();
      [status, state] = await ask(`/api/wait?version=${version}`, undefined, this.news.signal);
    }
    this.link = status === 401 ? "refused" : "gone";
  }

  // Take a new state; edits not yet made that would mean something else in it are put aside.
  adopt(state) {
    this.taken += 1;
    const isOther = this.state && this.state.version !== state.version;
    this.state = state;
    if (this.recalled && this.recalled !== state.file) this.queue = [];
    if (isOther || this.recalled) this.sift();
    this.recalled = "";
  }

  sift() {
    let document = this.state.document;
    this.queue = this.queue.filter((edit) => {
      const isSame = seenBy(document, edit.ops) === edit.seen;
      if (isSame) document = applied(document, edit.ops);
      else this.lost.push(edit);
      return isSame;
    });
    this.keep();
  }

  edit(ops, about = {}) {
    return new Promise((done) => {
      this.queue.push({ ops, about, seen: seenBy(this.document, ops), done });
      this.keep();
      this.on.change();
      this.send();
    });
  }

  async send() {
    if (this.busy || !this.queue.length || this.link === "gone" || this.state.outside) return;
    this.busy = true;
    try {
      while (this.queue.length && !this.state.outside) await this.sendFirst();
    } catch {
      this.link = "gone";
    }
    this.busy = false;
    this.on.change();
  }

  async sendFirst() {
    const edit = this.queue[0];
    const [status, told] = await ask("/api/edit", { base: this.state.version, ops: edit.ops });
    if (status === 200) {
      this.queue.shift();
      this.adopt(told);
    } else if (status === 409 || status === 401) {
      const [now, state] = await ask("/api/state");
      if (now !== 200) throw new Error("no state");
      this.adopt(state);
    } else {
      this.queue.shift();
      if (!edit.done) this.lost.push(edit);
    }
    this.keep();
    if (edit.done && this.queue[0] !== edit) edit.done(status === 200 ? null : told);
    this.on.change();
  }

  // Undo, redo, take: only when nothing is on its way.
  async does(what, more = {}) {
    if (this.waiting) return null;
    this.busy = true;
    this.on.change();
    let refused = null;
    try {
      const [status, told] = await ask(`/api/${what}`, { base: this.state.version, ...more });
      if (status === 200) this.adopt(told);
      else refused = told;
    } catch {
      this.link = "gone";
    }
    this.busy = false;
    this.send();
    this.on.change();
    return refused;
  }

  keep() {
    const edits = this.queue.map(({ ops, about, seen }) => ({ ops, about, seen }));
    if (edits.length) sessionStorage.setItem(kept, JSON.stringify({ file: this.state.file, edits }));
    else sessionStorage.removeItem(kept);
  }

  // Edits that a page of this tab could not send before it was loaded anew.
  recall() {
    try {
      const { file, edits } = JSON.parse(sessionStorage.getItem(kept));
      [this.queue, this.recalled] = [edits, file];
    } catch {
      this.queue = [];
    }
  }
}
