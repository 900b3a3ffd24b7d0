// Fields of a form: each shows the file's own words, what they come to, and what is wrong with them.

import { app } from "./app.js";
import { keyOf } from "./edits.js";
import { h } from "./tree.js";
import { bothLengths, typedValue } from "./words.js";

const nameOf = (path) => `f-${path.join("-").replace(/[^\w-]/g, (sign) => `_${sign.codePointAt(0)}`)}`;

function keys(event, path) {
  if (event.key === "Enter") app.commit(path);
  else if (event.key === "Escape" && app.typed.has(keyOf(path))) {
    app.forget(path);
    event.stopPropagation();
  }
}

// A figure or words at a path. `echo` tells a length in both units beneath.
export function field(path, label, { echo = false, hint = "", list = "", wide = false } = {}) {
  const id = nameOf(path), wrong = app.wrong(path), text = app.shown(path);
  app.fields.add(keyOf(path));
  const told = echo && text.trim() ? app.echo(text) : null;
  const comes = told && told.mm !== undefined ? bothLengths(told.mm) : "";
  const misread = wrong || (app.typed.has(keyOf(path)) && told && told.error) || "";
  const beneath = misread || comes || hint;
  return h("div", { class: wide ? "field wide" : "field", key: id },
    h("label", { for: id }, label),
    h("input", {
      id, value: text, autocomplete: "off", spellcheck: "false", autocapitalize: "none", "data-path": keyOf(path),
      list: list || null, "aria-invalid": misread ? "true" : null, "aria-describedby": beneath ? `${id}-says` : null,
      oninput: (event) => app.type(path, event.target.value),
      onchange: () => app.commit(path),
      onkeydown: (event) => keys(event, path),
    }),
    beneath && h("p", { id: `${id}-says`, class: misread ? "wrong" : "echo" }, beneath));
}

// One of a few; `options` as [value, words].
export function choice(path, label, options, { whenNone = null, then = null } = {}) {
  const id = nameOf(path), typed = app.value(path), wrong = app.wrong(path);
  const now = typeof typed === "boolean" ? String(typed) : typed; // as the option that stands for it
  app.fields.add(keyOf(path));
  const known = options.some(([value]) => value === (now ?? ""));
  const all = known || now === undefined ? options : [...options, [now, String(now)]];
  return h("div", { class: "field", key: id },
    h("label", { for: id }, label),
    h("select", {
      id, "data-path": keyOf(path), "aria-invalid": wrong ? "true" : null, "aria-describedby": wrong ? `${id}-says` : null,
      onchange: (event) => {
        const value = event.target.value === "" ? undefined : event.target.value;
        if (then) then(value);
        else app.set(path, value);
      },
    }, all.map(([value, words]) => h("option", { value, selected: value === (now ?? whenNone ?? "") }, words))),
    wrong && h("p", { id: `${id}-says`, class: "wrong" }, wrong));
}

// One that can do nothing now says so and keeps the focus.
export function button(words, onclick, { disabled = false, ...more } = {}) {
  return h("button", { type: "button", "aria-disabled": disabled ? "true" : null, onclick: disabled ? null : onclick, ...more }, words);
}

export function tell(messages) {
  return messages.length > 0 && h("ul", { class: "wrongs" }, messages.map((message) => h("li", null, message)));
}

// A few new things typed together and sent at once: `parts` as [key, words, is it words and no length].
export function form(id, parts, words, done) {
  const typed = app.forms.get(id) || {}, { wrong } = typed;
  const textOf = ([key, , , options]) => typed[key] ?? (options ? options[0] : "");
  const send = async (event) => {
    event.preventDefault();
    const refused = await done(Object.fromEntries(parts.map((part) => [part[0], part[2] ? textOf(part).trim() : typedValue(textOf(part))])));
    if (refused) app.forms.set(id, { ...app.forms.get(id), wrong: refused });
    else if (app.forms.get(id) === typed) app.forms.delete(id);  // what was typed since is the next one's
    app.change();
  };
  const entry = (part) => {
    const [key, label, isWords, options] = part, own = { id: `${id}-${key}`, name: key }, text = textOf(part);
    const type = (event) => { app.forms.set(id, { ...app.forms.get(id), [key]: event.target.value, wrong: "" }); app.change(); };
    const told = !isWords && text.trim() ? app.echo(text) : null, misread = (told && told.error) || "";
    const beneath = misread || (told && told.mm !== undefined ? bothLengths(told.mm) : "");
    return h("div", { class: "field", key },
      h("label", { for: own.id }, label),
      options ? h("select", { ...own, onchange: type }, options.map((each) => h("option", { value: each, selected: each === text }, each)))
        : h("input", { ...own, value: text, autocomplete: "off", spellcheck: "false", oninput: type,
                       "aria-invalid": misread ? "true" : null, "aria-describedby": beneath ? `${own.id}-says` : wrong ? `${id}-says` : null }),
      beneath && h("p", { id: `${own.id}-says`, class: misread ? "wrong" : "echo" }, beneath));
  };
  return h("form", { key: id, id, class: "fields form", onsubmit: send }, parts.map(entry),
    h("button", { type: "submit" }, words),
    wrong && h("p", { id: `${id}-says`, class: "wrong", role: "alert" }, wrong));
}

// What to say of a refusal, in one line.
export function sorryFor(refused) {
  if (!refused) return "";
  return refused.faults && refused.faults.length ? refused.faults.map((fault) => fault.message).join("; ") : refused.error;
}
