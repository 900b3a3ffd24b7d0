// A table of the file as a form, made of what its model says it may hold: words, units, what is
// needed. What is typed stays in the page until it is saved, all of it in one step.

import { app } from "./app.js";
import { keyOf } from "./edits.js";
import { button } from "./fields.js";
import { focusOn } from "./focus.js";
import { listOf, textOf, kinds, tableOf, typedTable, writtenTable } from "./tables.js";
import { ask } from "./server.js";
import { h } from "./tree.js";
import { bothLengths } from "./words.js";

let tables = null, asked = false;
const open = new Map();  // what is being typed, by the path of its table
const idOf = (path) => `r-${path.join("-").replace(/[^\w-]/g, (sign) => `_${sign.codePointAt(0)}`)}`;
const focus = (id) => focusOn(() => document.getElementById(id));

// The tables are asked for once, when a form is first opened.
function known() {
  if (!asked) {
    asked = true;
    ask("/api/tables").then(([status, told]) => {
      asked = status === 200;
      tables = asked ? told.tables : null;
    }).catch(() => { asked = false; }).finally(() => app.change());
  }
  return tables;
}

// `LINKAGE.hand.range_deg` in words, and what it is counted in.
function wordsOf(key, schema) {
  const formats = kinds(schema).flatMap((each) => [each, ...kinds(each.items || {}), ...kinds((each.prefixItems || [{}])[0])]).map((each) => each.format);
  const said = /\[([^\]]+)\]\.?$/.exec(schema.description || "");
  const unit = formats.includes("length") ? app.unit : formats.includes("force") ? app.document.force_unit || "N" : said && !said[1].includes(",") ? said[1] : "";
  const name = key.replace(/_(deg|nmm)$/, "").replaceAll("_", " ");
  return unit ? `${name}, ${unit}` : name;
}

const isWithin = (path) => (fault) => keyOf(fault.path).startsWith(keyOf(path).slice(0, -1));
const isAt = (path) => (fault) => keyOf(fault.path) === keyOf(path);
const told = (faults) => [...new Set(faults.map((fault) => fault.message))].join("; ");
// What the form as it stands would bring that cannot be read; it is told at once.
const tried = () => (app.tried ? app.tried.faults.filter((fault) => !app.state.faults.some((old) => old.message === fault.message)) : []);

// What goes for a field: what is wrong with it, what it comes to, or what it means.
function beneath(form, path, schema, text) {
  const wrong = told([...form.faults, ...(text.trim() ? tried() : [])].filter(isWithin(path)));
  if (wrong) return ["wrong", wrong];
  const isLength = kinds(schema).some((each) => each.format === "length");
  const echo = isLength && text.trim() ? app.echo(text) : null;
  const comes = echo && echo.mm !== undefined ? `${bothLengths(echo.mm)}. ` : "";
  const standing = ["string", "number", "boolean"].includes(typeof schema.default) && schema.default !== "" ? ` If not given: ${schema.default}.` : "";
  return ["echo", `${comes}${schema.description || ""}${standing}`];
}

function leaf(form, path, schema, draft, isNeeded) {
  const key = path.at(-1), id = idOf(path), [kind, says] = beneath(form, path, schema, draft[key]), names = form.names[key];
  const type = (event) => { draft[key] = event.target.value; form.faults = form.faults.filter((fault) => !isWithin(path)(fault)); app.change(); };
  const own = { id, "aria-invalid": kind === "wrong" ? "true" : null, "aria-describedby": `${id}-says`, "aria-required": isNeeded ? "true" : null };
  const choices = (kinds(schema).find((each) => each.enum) || {}).enum || (kinds(schema).some((each) => each.type === "boolean") ? ["true", "false"] : null);
  return h("div", { class: "field", key },
    h("label", { for: id }, wordsOf(key, schema), isNeeded && " (needed)"),
    choices ? h("select", { ...own, onchange: type }, ["", ...choices].map((each) =>
      h("option", { value: each, selected: each === draft[key] }, { "": "not given", true: "yes", false: "no" }[each] ?? each)))
      : h("input", { ...own, value: draft[key], autocomplete: "off", spellcheck: "false", autocapitalize: "none", list: names ? `${id}-names` : null, oninput: type }),
    names && h("datalist", { id: `${id}-names` }, names.map((each) => h("option", { value: each }))),
    h("p", { id: `${id}-says`, class: kind }, says));
}

// A table within the form: always there if it is needed, else put in and taken out.
function inner(form, path, schema, table, draft, isNeeded) {
  const key = path.at(-1), words = key.replaceAll("_", " "), id = idOf([...path, "in"]);
  const turn = (value) => { draft[key] = value; app.change(); focus(id); };
  if (draft[key] === undefined) {
    return h("div", { key }, button(`Put in: ${words}`, () => turn(typedTable(tables, table, {})), { id, "aria-describedby": `${id}-says` }),
      h("p", { id: `${id}-says`, class: "echo" }, schema.description));
  }
  return h("fieldset", { key }, h("legend", null, words),
    h("p", { class: "echo" }, schema.description),
    !isNeeded && button(`Leave out: ${words}`, () => turn(undefined), { id }), group(form, path, table, draft[key]));
}

function several(form, path, schema, table, draft) {
  const key = path.at(-1), rows = draft[key], words = key.replace(/s$/, "").replaceAll("_", " ");
  const put = (value) => { draft[key] = value; app.change(); };
  return h("fieldset", { key }, h("legend", null, words), h("p", { class: "echo" }, schema.description),
    rows.map((row, i) => h("fieldset", { key: i }, h("legend", null, `${words} ${i + 1}`), group(form, [...path, i], table, row),
      button(`Leave out ${words} ${i + 1}`, () => put(rows.filter((_, j) => j !== i))))),
    button(`Put in a ${words}`, () => put([...rows, typedTable(tables, table, {})])));
}

function group(form, path, table, draft) {
  const needed = table.required || [], wrong = told(form.faults.filter(isAt(path))), soon = told(tried().filter(isAt(path))), isPlain = (schema) => !tableOf(tables, schema) && !listOf(tables, schema);
  const all = Object.entries(table.properties), [plain, rest] = [all.filter(([, schema]) => isPlain(schema)), all.filter(([, schema]) => !isPlain(schema))];
  return [
    (wrong || soon) && h("p", { class: wrong ? "wrong" : "echo", key: "wrong" }, wrong || `Still to come: ${soon}`),
    plain.length > 0 && h("div", { class: "fields", key: "plain" }, plain.map(([key, schema]) => leaf(form, [...path, key], schema, draft, needed.includes(key)))),
    rest.map(([key, schema]) => {
      const one = tableOf(tables, schema);
      return one ? inner(form, [...path, key], schema, one, draft, needed.includes(key)) : several(form, [...path, key], schema, listOf(tables, schema), draft);
    })];
}

// The edit that saves a table: a new one of a list goes to its end.
function editOf(form, path, table) {
  const value = writtenTable(tables, table, form.draft, form.isNew ? {} : app.value(path));
  if (typeof path.at(-1) !== "number" || !form.isNew) return app.with(path, value);
  const parent = path.slice(0, -1), rows = app.value(parent);
  return rows ? { op: "insert", path: [...parent, rows.length], value } : app.with(parent, [value]);
}

async function save(form, path, table) {
  const refused = await app.server.edit([editOf(form, path, table)]);
  if (!refused) return close(path);
  form.faults = refused.faults && refused.faults.length ? refused.faults : [{ path: [], message: refused.error }];
  app.change();
  const inForm = (what) => () => document.querySelector(`#${idOf(path)}-form ${what}`);
  if (inForm(":focus")()) focusOn(inForm("[aria-invalid]"));
}

function close(path) {
  open.delete(keyOf(path));
  app.change();
}

function begin(path, model, names) {
  open.set(keyOf(path), { model, names, draft: null, faults: [], isNew: app.value(path) === undefined });
  app.change();
  focusOn(() => document.getElementById(`${idOf(path)}-form`)?.querySelector("input, select, button"));
}

function typing(form, path, table, name) {
  form.draft ??= typedTable(tables, table, app.value(path) || {});
  form.before ??= keyOf(form.draft);
  if (keyOf(form.draft) !== form.before) app.trials.push(editOf(form, path, table));
  const others = told([...form.faults, ...tried()].filter((fault) => !isWithin(path)(fault)));
  const send = (event) => { event.preventDefault(); save(form, path, table); };
  const leave = (event) => { if (event.key === "Escape") close(path); };
  return h("form", { key: "form", id: `${idOf(path)}-form`, class: "record", "aria-label": name, onsubmit: send, onkeydown: leave, novalidate: true },
    group(form, path, table, form.draft),
    others && h("p", { class: "wrong", role: "alert", key: "others" }, others),
    form.faults.length > 0 && !others && h("p", { class: "wrong", role: "alert", key: "sum" }, "Not saved: see above."),
    h("div", { class: "buttons", key: "ends" }, h("button", { type: "submit" }, "Save it"), button("Leave it as it was", () => close(path))));
}

// One table of the file: a button to write or change it, and its form while that is open.
export function record(path, model, words, { names = {}, name = "", remove = null } = {}) {
  const form = open.get(keyOf(path)), value = app.value(path), isThere = value !== undefined;
  const table = form && known() && tables[form.model];  // until it is here, what was pressed stays
  const said = isThere ? Object.keys(value).map((key) => key.replaceAll("_", " ")).join(", ") : "";
  const gone = remove || (() => app.set(path, undefined));
  return h("div", { key: `record-${keyOf(path)}`, class: "recorded" },
    !table && h("div", { class: "buttons", key: "begin" },
      button(isThere ? `Change ${name || words}` : `Add ${name || words}`, () => begin(path, model, names), { id: idOf(path) }),
      isThere && button("Remove", gone, { "aria-label": `remove ${name || words}` }), said && h("span", { class: "quiet" }, said),
      form && h("progress", { "aria-label": "asking what it may hold" })),
    table && typing(form, path, table, words));
}

// A list of such tables, and one more.
export function recordList(path, model, words, { names = {} } = {}) {
  const rows = app.value(path) || [];
  const nameOf = (row, i) => row.name || (row.from !== undefined ? `${words} ${row.from} to ${row.to}` : `${words} ${i + 1}`);
  const remove = (i) => () => app.edit([rows.length === 1 ? app.without(path) : { op: "delete", path: [...path, i] }]);
  return h("div", { key: `records-${keyOf(path)}` },
    rows.map((row, i) => record([...path, i], model, words, { names, name: `${words} ${textOf(nameOf(row, i)).replace(`${words} `, "")}`, remove: remove(i) })),
    record([...path, rows.length], model, words, { names, name: `a ${words}` }));
}
