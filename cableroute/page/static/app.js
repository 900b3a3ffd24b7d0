// What the page knows besides the file: what is chosen, what is being typed, what is not whole yet.

import { applied, at, keyOf } from "./edits.js";
import { Server, ask } from "./server.js";
import { shownValue, typedRange, typedValue } from "./words.js";

// How long typing rests before it is judged, in ms.
export const PAUSE = 90;
// How what is typed under a key is read, where it is not a figure.
const words = (text) => text;
const READ = { label: words, name: words, title: words, lubricant: words, size: words,
               friction: typedRange, temperature: typedRange, bending_stiffness: typedRange };

class App {
  constructor() {
    Object.assign(this, {
      tab: "points", side: "enter", cable: 0, row: 0, open: null, draft: null, tried: null, cursor: null,
      typed: new Map(), messages: new Map(), echoes: new Map(), answers: new Map(), fields: new Set(), forms: new Map(), trials: [], asTried: "", trying: false, isPrinting: false, starters: null,
      draws: () => {}, drawing: false,
    });
    this.server = new Server({ change: () => this.change() });
  }

  change() {
    if (this.drawing) return;
    this.drawing = true;
    queueMicrotask(() => {
      this.drawing = false;
      if (this.server.state) this.settle();
      this.draws();
    });
  }

  settle() {
    const cables = this.document.cable || [];
    this.cable = Math.max(0, Math.min(this.cable, cables.length - 1));
    if (this.draft && !(this.draft.cable < cables.length)) this.draft = null;
  }

  get state() { return this.server.state; }
  get unit() { return this.state.unit; }
  get isJudging() { return this.server.waiting || (this.trying && !this.isPrinting) || this.server.link !== "here"; }
  get isOld() { return this.isJudging || Boolean(this.trial && !this.trial.answer); }
  // What is typed as it would be; on paper there is only what is saved.
  get trial() { return this.isPrinting ? null : this.tried; }
  get isTrial() { return Boolean(this.trial && this.trial.answer); }
  get answer() { return (this.trial && this.trial.answer) || this.state.answer; }
  get points() { return at(this.document, ["cable", this.cable, "points"]) || []; }

  get document() {
    return this.draft ? applied(this.server.document, [this.draftOp()]) : this.server.document;
  }

  draftOp() {
    const { cable, index, value, isNew } = this.draft, path = ["cable", cable, "points"];
    const there = at(this.server.document, path);
    if (!there) return { op: "set", path, value: [value] };
    return { op: isNew ? "insert" : "set", path: [...path, index], value };
  }

  // What was judged of the chosen cable, if it was.
  judged(cable = this.cable) {
    const place = this.answer ? this.answer.cables.indexOf(cable) : -1;
    return place < 0 ? null : this.answer.assessment.cables[place];
  }

  inDraft(path) {
    const { draft } = this;
    return Boolean(draft) && path[0] === "cable" && path[1] === draft.cable && path[2] === "points" && path[3] === draft.index;
  }

  // The path in the file of what is shown at a path: a row that is not whole yet is not in it.
  real(path) {
    const { draft } = this;
    if (!draft || !draft.isNew || path[0] !== "cable" || path[1] !== draft.cable || path[2] !== "points") return path;
    return path[3] > draft.index ? [...path.slice(0, 3), path[3] - 1, ...path.slice(4)] : path;
  }

  value(path) { return at(this.document, path); }

  // -- typing -------------------------------------------------------------------------------------

  shown(path) {
    return this.typed.get(keyOf(path)) ?? shownValue(this.value(path));
  }

  type(path, text) {
    const key = keyOf(path);
    this.messages.delete(key);
    if (text === shownValue(this.value(path))) this.typed.delete(key);
    else this.typed.set(key, text);
    this.change();
  }

  // What is typed and not saved: in fields, and in the forms that are in sight.
  unsaved() {
    const paths = [...this.typed.keys()].map((key) => JSON.parse(key)).filter((path) => !this.inDraft(path));
    return [...paths.map((path) => this.opOf(path, this.typed.get(keyOf(path)))).filter(Boolean), ...this.trials];
  }

  opOf(path, text) {
    if (text.trim() === "" && typeof path.at(-1) === "string") return this.value(path) === undefined ? null : this.without(path);
    return this.with(path, READ[path.at(-1)]?.(text) ?? typedValue(text));
  }

  // The op that puts a value at a path; a table that is not there yet comes with it.
  with(path, value) {
    const table = path.slice(0, -1);
    const isThere = typeof path.at(-1) === "number" || !table.length || this.value(table) !== undefined;
    return isThere ? { op: "set", path: this.real(path), value } : this.with(table, { [path.at(-1)]: value });
  }

  // The op that takes a key away, and a table within a cable that it would leave empty.
  without(path) {
    const table = path.slice(0, -1), inner = this.value(table);
    const isLast = table.length > 2 && typeof table.at(-1) === "string" && inner && Object.keys(inner).length === 1;
    return isLast ? this.without(table) : { op: "delete", path: this.real(path) };
  }

  // Have what is not saved judged, after a pause; once for each state of it and of the file.
  heed() {
    const { link, waiting } = this.server, ops = link === "here" && !waiting ? this.unsaved() : [];
    const now = ops.length ? keyOf([this.state.version, ops]) : "";
    if (!now && !waiting) this.tried = null;
    if (now === this.asTried) return;
    this.asTried = now;
    this.trying = now !== "";
    clearTimeout(this.pause);
    if (now) this.pause = setTimeout(() => this.tryOut(ops, now), PAUSE);
  }

  // Judge edits without saving them.
  async tryOut(ops, now) {
    let told = null;
    try {
      const [status, found] = await ask("/api/try", { ops });
      told = status === 200 ? found : { answer: null, faults: found.faults || [], lacks: [] };
    } catch {
      this.server.link = "gone";
    }
    if (now !== this.asTried) return;
    this.trying = false;
    this.tried = told;
    this.change();
  }

  commit(path) {
    const key = keyOf(path), text = this.typed.get(key);
    if (text === undefined) return Promise.resolve();
    if (this.inDraft(path)) {
      this.typed.delete(key);
      return this.set(path, text.trim() === "" ? "" : this.opOf(path, text).value);
    }
    const op = this.opOf(path, text);
    if (!op) {
      this.typed.delete(key);
      this.change();
      return Promise.resolve();
    }
    return this.edit([op], path, text);
  }

  // Save what is typed before rows change their places.
  commitAll() {
    for (const key of [...this.typed.keys()]) this.commit(JSON.parse(key));
  }

  forget(path) {
    this.typed.delete(keyOf(path));
    this.messages.delete(keyOf(path));
    this.tried = null;
    this.change();
  }

  // -- editing ------------------------------------------------------------------------------------

  set(path, value) {
    const isGone = value === undefined;
    if (!this.inDraft(path)) {
      if (isGone && this.value(path) === undefined) return null;
      return this.edit([isGone ? this.without(path) : this.with(path, value)], path);
    }
    this.draft.value = applied(this.draft.value, [{ op: isGone ? "delete" : "set", path: path.slice(4), value }]);
    this.change();
    return this.finish();
  }

  async edit(ops, path = null, text = undefined) {
    const key = path ? keyOf(path) : "";
    const settled = this.server.edit(ops);
    if (this.typed.get(key) === text) this.typed.delete(key);
    this.messages.delete(key);
    const refused = await settled;
    if (refused) this.refuse(refused, path, text);
    else this.tried = null;
    this.change();
    return refused;
  }

  refuse(refused, path, text) {
    const key = path ? keyOf(path) : "";
    if (text !== undefined && !this.typed.has(key)) this.typed.set(key, text);
    const faults = refused.faults && refused.faults.length ? refused.faults : [{ path: [], message: refused.error }];
    const own = faults.filter((fault) => keyOf(fault.path) === key);
    for (const fault of own.length ? own : faults) this.messages.set(path ? key : keyOf(fault.path), fault.message);
  }

  // What is wrong with the figure at a path, if anything.
  wrong(path) {
    const key = keyOf(path);
    const known = [...(this.tried ? this.tried.faults : []), ...this.state.faults];
    return this.messages.get(key) || (known.find((fault) => keyOf(fault.path) === key) || {}).message || "";
  }

  // What is wrong under a path, where no field says so.
  wrongUnder(path) {
    const start = keyOf(path).slice(0, -1);
    const known = [...this.state.faults, ...(this.tried ? this.tried.faults : []),
                   ...[...this.messages].map(([key, message]) => ({ path: key ? JSON.parse(key) : [], message }))];
    const here = known.filter((fault) => keyOf(fault.path).startsWith(start) && !this.fields.has(keyOf(fault.path)));
    return [...new Set(here.map((fault) => fault.message))];
  }

  // -- a point that is not whole yet ------------------------------------------------------------------

  start(index, value, isNew) {
    this.draft = { cable: this.cable, index, value, isNew };
    this.row = index;
    this.change();
  }

  isWhole(point) {
    const has = (each) => each !== undefined && each !== null && String(each).trim() !== "";
    if (point.at) return point.at.length === 3 && point.at.every(has);
    if (point.on !== undefined) return [point.on, point.along, point.clock].every(has);
    return Object.values(point.tape || {}).filter(has).length >= 3;
  }

  async finish() {
    if (!this.draft || !this.isWhole(this.draft.value)) return;
    const { draft } = this, op = this.draftOp();
    const tape = op.value.tape;
    if (tape) op.value = { ...op.value, tape: Object.fromEntries(Object.entries(tape).filter(([, read]) => read !== "")) };
    this.draft = null;
    const refused = await this.server.edit([op]);
    if (refused) {
      this.draft = draft;
      this.refuse(refused, null);
    }
    this.change();
  }

  dropDraft() {
    this.draft = null;
    this.messages.clear();
    this.change();
  }

  // -- asked of the server ------------------------------------------------------------------------------

  // An answer for the file as it is now, as soon as that is known: {told} or {error, faults}; null until then.
  asked(path, body) {
    const key = `${this.state.version} ${path} ${body ? keyOf(body) : ""}`;
    if (!this.answers.has(key)) {
      for (const old of this.answers.keys()) if (!old.startsWith(`${this.state.version} `)) this.answers.delete(old);
      this.answers.set(key, null);
      ask(path, body).then(([status, told]) => this.answers.set(key, status === 200 ? { told } : told))
        .catch(() => this.answers.delete(key)).finally(() => this.change());
    }
    return this.answers.get(key);
  }

  // What a length comes to, as soon as that is known.
  echo(text, unit = this.unit) {
    const key = `${unit} ${text}`;
    if (!this.echoes.has(key)) {
      this.echoes.set(key, null);
      ask("/api/echo", { text: typedValue(text), unit }).then(([, told]) => {
        this.echoes.set(key, told);
        this.change();
      }).catch(() => this.echoes.delete(key));
    }
    return this.echoes.get(key);
  }
}

export const app = new App();
