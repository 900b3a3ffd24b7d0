// The strip that is always in sight: verdict, force, length, what is saved; and what goes wrong.

import { app } from "./app.js";
import { button } from "./fields.js";
import { h } from "./tree.js";
import { force, length, sorry } from "./words.js";

// The greatest force at the hand, either way; null where the core locks up.
function handForce({ pull, push, pair }) {
  const all = pair ? [pair.out.hand_n, pair.back.hand_n] : [pull.input_n, ...(push ? [push.input_n] : [])];
  return all.includes(null) ? null : Math.max(...all);
}

// What to order, as the stock is measured: with the exposed ends if that is overall.
function lengths({ least_mm: least, advised_mm: advised, need_mm: need, conduit_mm: conduit }) {
  if (least === undefined) return [["order", length(need ?? conduit, app.unit)]];
  const ends = need - conduit;
  return [["at least", length(least + ends, app.unit)], ["to lie easy", length(advised + ends, app.unit)]];
}

function figures() {
  const { force_unit: unit } = app.state, told = app.judged();
  if (!told) return null;
  const { order } = told, hand = handForce(told);
  const rows = [["hand force", hand === null ? "locks up" : force(hand, unit)], ...lengths(order),
                ["stock", order.cut_conduit_mm ? "cut to length" : order.stock_mm === null ? "none" : length(order.stock_mm, app.unit)]];
  return h("dl", { class: "figures", "aria-label": `Figures of ${told.name}` },
    rows.map(([name, value]) => h("div", null, h("dt", null, name), h("dd", null, value))));
}

export function verdictWords() {
  if (!app.answer) return "nothing to judge yet";
  return app.answer.verdict.toUpperCase();
}

function saved() {
  const { server } = app;
  if (server.link === "gone") return `server gone, ${sorry(server.queue.length, "edit")} kept here`;
  if (server.link === "refused") return "not let in";
  if (app.state.outside) return "changed outside";
  if (server.waiting) return "saving and judging …";
  if (app.draft) return "a point is not whole yet";
  if (app.trying) return "judging …";
  if (app.typed.size) return "not saved: press Enter";
  if (app.trials.length) return app.isTrial ? "not saved yet" : "not saved: see the form";
  return "saved";
}

export function head() {
  const { state, server } = app, isStill = !server.waiting && server.link === "here";
  return [
    h("div", { class: "name" },
      h("h1", null, state.title || state.file),
      h("p", { class: "quiet" }, h("span", { class: "file" }, state.file), " ", h("span", { id: "saved" }, saved()))),
    h("div", { class: app.isOld ? "verdicts old" : "verdicts", "aria-busy": String(app.isJudging) },
      h("p", { id: "verdict", class: `verdict ${app.answer ? app.answer.verdict : "none"}` }, app.isTrial && h("small", null, "would be "), verdictWords()),
      figures(),
      app.isJudging && h("progress", { class: "soon", "aria-label": "judging" })),
    h("div", { class: "buttons", role: "group", "aria-label": "Steps" },
      button("Undo", () => app.server.does("undo"), { id: "undo", disabled: !state.undo || !isStill || Boolean(state.outside), "aria-label": `Undo, ${sorry(state.undo, "step")}` }),
      button("Redo", () => app.server.does("redo"), { id: "redo", disabled: !state.redo || !isStill || Boolean(state.outside), "aria-label": `Redo, ${sorry(state.redo, "step")}` }))];
}

function newAddress() {
  const take = (event) => {
    event.preventDefault();
    app.server.enter(event.target.elements.address.value.trim().replace(/^.*#/, ""));
  };
  return h("form", { class: "field wide", onsubmit: take },
    h("label", { for: "address" }, "the address as the command prints it"),
    h("input", { id: "address", name: "address", autocomplete: "off", spellcheck: "false" }),
    h("button", { type: "submit" }, "Go on"));
}

function outside() {
  const { outside: other } = app.state;
  return h("div", { class: "notice" },
    h("p", null, h("b", null, "Another program has changed the file. "), "Nothing is saved until you choose."),
    other.faults.length > 0 && h("p", { class: "wrong" }, other.faults.map((fault) => fault.message).join("; ")),
    h("details", null, h("summary", null, "Look at the file as it is on disk"), h("pre", { tabindex: "0" }, other.text || "(empty or gone)")),
    h("div", { class: "buttons" },
      button("Take the file on disk", () => app.server.does("take", { which: "disk" })),
      button("Keep this page's", () => app.server.does("take", { which: "page" }))));
}

function lost() {
  const { server } = app;
  const words = (edit) => edit.ops.map((op) => `${op.op} ${op.path.join(" ")}${op.value === undefined ? "" : `: ${JSON.stringify(op.value)}`}`).join("; ");
  return h("div", { class: "notice" },
    h("p", null, "These were not saved, for another page or program changed the same rows meanwhile:"),
    h("ul", null, server.lost.map((edit) => h("li", null, words(edit)))),
    h("div", { class: "buttons" }, button("Seen", () => { server.lost = []; app.change(); })));
}

export function news() {
  const { server } = app, said = app.messages.get("") || app.messages.get("[]");
  return [
    server.link === "gone" && h("p", { class: "notice", key: "gone" },
      h("b", null, "The server is gone. "), "Edits are kept in this page and sent when it is back. Figures are those of before."),
    server.link === "refused" && h("div", { class: "notice", key: "refused" },
      h("p", null, h("b", null, server.error || "The server asks for its address with the token. "),
        server.queue.length > 0 && ` ${sorry(server.queue.length, "edit")} kept here.`), newAddress()),
    app.state && app.state.outside && outside(),
    server.lost.length > 0 && lost(),
    said && h("div", { class: "notice", key: "said" }, h("p", { class: "wrong" }, said),
      button("Seen", () => { app.messages.delete(""); app.messages.delete("[]"); app.change(); }))];
}

const LEVELS = ["fail", "marginal", "note"];

// Findings, each with a way to the row it speaks of.
export function findings(go) {
  const told = [
    ...app.state.faults.map((fault) => ({ ...fault, level: "fail", where: "the file" })),
    ...app.state.lacks.map((lack) => ({ ...lack, level: "note", where: nameOf(lack.path) })),
    ...(app.answer ? app.answer.findings : [])].sort((a, b) => LEVELS.indexOf(a.level) - LEVELS.indexOf(b.level));
  const row = (each, i) => h("li", { key: `f${i}`, tabindex: "-1", id: each.path[2] === "points" && each.path[1] === app.cable ? `found-${each.path[3]}` : null },
    h("span", { class: `badge ${each.level}` }, each.level.toUpperCase()), " ",
    h("button", { type: "button", class: "link", onclick: () => go(each.path) }, [each.of, each.where].filter(Boolean).join(", ")),
    h("p", null, each.message));
  return [
    h("h2", null, "Findings"),
    told.length ? h("ul", { class: app.isOld ? "remarks old" : "remarks" }, told.map(row))
      : h("p", null, "Nothing to say against it.")];
}

function nameOf(path) {
  const cable = path[0] === "cable" && (app.document.cable || [])[path[1]];
  return cable ? cable.name : "the file";
}
