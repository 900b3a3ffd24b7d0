// The cables: what each is, what it must do, what holds its ends, and which family would do.

import { app } from "./app.js";
import { button, choice, field, sorryFor, tell } from "./fields.js";
import { record, recordList } from "./record.js";
import { h } from "./tree.js";
import { force, length } from "./words.js";

const KINDS = ["push-pull", "pull", "pull-pair"];
const same = (values) => values.map((value) => [value, value]);
const pathOf = (...more) => ["cable", app.cable, ...more];

function nameFor(wanted) {
  const taken = new Set((app.document.cable || []).map((cable) => cable.name));
  if (!taken.has(wanted)) return wanted;
  for (let n = 2; ; n += 1) if (!taken.has(`${wanted} ${n}`)) return `${wanted} ${n}`;
}

async function add(value) {
  const all = app.document.cable, place = (all || []).length;
  const op = all ? { op: "insert", path: ["cable", place], value } : { op: "set", path: ["cable"], value: [value] };
  const refused = await app.server.edit([op]);
  if (!refused) [app.cable, app.row, app.open] = [place, 0, null];
  app.change();
  return sorryFor(refused);
}

export function cablePick() {
  const cables = app.document.cable || [];
  return h("div", { class: "pick", key: "pick", role: "group", "aria-label": "Cable" }, cables.map((cable, i) =>
    button(cable.name || `cable ${i + 1}`, () => { app.cable = i; app.row = 0; app.open = null; app.change(); },
      { "aria-pressed": String(i === app.cable), class: "pressed", key: `cable-${i}` })));
}

function whatItIs(cable) {
  const can = (key) => app.starters && app.starters.keys.cable.includes(key);
  return [
    h("h3", null, "What it is"),
    h("div", { class: "fields" },
      field(pathOf("name"), "name"),
      choice(pathOf("kind"), "kind", same(KINDS), { whenNone: "push-pull" }),
      choice(pathOf("controls"), "it works a", [["", "not said"], ...same(["throttle", "brake", "clutch", "steering", "selector", "other"])]),
      field(pathOf("friction"), "friction, low to high", { hint: cable.friction === undefined ? "the family's" : "" }),
      field(pathOf("bend_radius"), "least bend radius", { echo: true, hint: cable.family ? "the family's" : "" }),
      can("cut") && choice(pathOf("cut"), "conduit and core", [["", "as the family says"], ["true", "cut to length"], ["false", "bought made up"]],
        { whenNone: "", then: (value) => app.set(pathOf("cut"), value === undefined ? undefined : value === "true") })),
    h("h3", null, "What it must do"),
    h("div", { class: "fields" },
      field(pathOf("load"), "load, pulling", { hint: `${app.document.force_unit || "N"}, or with its unit: 27 lbf` }),
      cable.kind !== "pull" && field(pathOf("push_load"), cable.kind === "pull-pair" ? "load, the other way" : "load, pushing"),
      cable.kind === "pull-pair" && field(pathOf("preload"), "tension as assembled"),
      field(pathOf("travel"), "travel at the far end", { echo: true }),
      field(pathOf("slack"), "slack wanted", { echo: true }),
      field(pathOf("temperature"), "coldest to hottest, °C"),
      field(pathOf("lubricant"), "lubricant", { hint: "dry, or as mineral-2" }))];
}

function hardware(cable) {
  const labels = (cable.points || []).map((point, i) => point.label || String(i + 1));
  return [
    h("h3", null, "What the far end resists with"),
    h("p", { class: "quiet" }, "As a spring scale reads it there: its spring, friction, and the places that it clicks into."),
    record(pathOf("resists"), "ResistsEntry", "what the far end resists with"),
    h("div", { class: "fields" }, field(pathOf("hand_resists"), "what brings the lever back", { hint: "N, or with its unit" })),
    h("h3", null, "What holds its ends"),
    cable.kind !== "pull" && h("div", { class: "fields" },
      choice(pathOf("rod_end"), "exposed rod held", [["", "pinned"], ["free", "free"], ["fixed-pinned", "fixed and pinned"], ["fixed", "fixed at both"]])),
    ["hand", "far"].map((end) => record(pathOf("anchors", end), "AnchorEntry", `what holds the ${end} end`)),
    h("h3", null, "Taped between its points, as a check"),
    recordList(pathOf("check"), "CheckEntry", "check", { names: { from: labels, to: labels } })];
}

function familyRow(row, cable, isOld) {
  const isTaken = cable.family === row.family;
  return h("tr", { key: row.family },
    h("th", { scope: "row" }, row.family),
    h("td", null, button(isTaken ? "Taken" : "Take", () => app.edit(row.ops), { disabled: isTaken || isOld, "aria-label": `${isTaken ? "taken" : "take"} ${row.family}` })),
    h("td", null, h("span", { class: `badge ${row.verdict || "note"}` }, (row.verdict || "cannot be used").toUpperCase())),
    h("td", { class: "number" }, row.stock_mm === null ? "none" : length(row.stock_mm, app.unit)),
    h("td", { class: "number" }, force(row.hand_n, app.state.force_unit)),
    h("td", { class: "why" }, row.why[0] || ""));
}

let ranked = { of: "", rows: [] };  // the last of them: grey, with what has the focus, until the next are here

function families(cable) {
  const found = app.judged() ? app.asked(`/api/families?cable=${encodeURIComponent(cable.name)}`) : undefined;
  if (found === undefined) return h("p", { class: "quiet" }, "Families are compared once the run has two points.");
  if (found && found.error) return tell([found.error]);
  if (found) ranked = { of: cable.name, rows: found.told.families };
  const wait = !found && h("p", { key: "wait" }, h("progress", { "aria-label": "judging the families" }), " Judging this run with every family …");
  if (ranked.of !== cable.name) return wait;
  return [wait, h("div", { key: "ranked", class: found ? "scroll" : "scroll old", tabindex: "0", role: "group", "aria-label": "Families" }, h("table", { class: "families" },
    h("thead", null, h("tr", null, ["family", "", "on this run", "stock", "hand force", "why not"].map((head) => h("th", { scope: "col" }, head)))),
    h("tbody", null, ranked.rows.map((row) => familyRow(row, cable, !found)))))];
}

function familyList(cable) {
  const open = (event) => { app.familiesOpen = event.target.open; app.change(); };
  return h("details", { key: "families", ontoggle: open }, h("summary", null, `Family: ${cable.family || (cable.build ? "its own data" : "none")}. Which would do?`),
    app.familiesOpen && families(cable));
}

export function cables() {
  const all = app.document.cable || [], cable = all[app.cable];
  const copy = () => add({ ...structuredClone(cable), name: nameFor(cable.name) });
  const remove = () => { const place = app.cable; app.cable = Math.max(0, place - 1); app.edit([{ op: "delete", path: ["cable", place] }]); };
  const starter = (kind) => ({ ...app.starters.cables[kind], name: nameFor(kind) });
  return [
    all.length > 0 && cablePick(),
    cable && h("div", { key: `of-${app.cable}` }, h("h2", null, cable.name), tell(app.messages.has("") ? [app.messages.get("")] : []),
      familyList(cable), whatItIs(cable), hardware(cable),
      h("div", { class: "buttons" }, button("Copy this cable", copy), button("Remove this cable", remove))),
    h("h2", { key: "more" }, "Another cable"),
    app.starters && h("div", { class: "buttons", key: "kinds" }, KINDS.map((kind) =>
      button(`Add a ${kind} cable`, () => add(starter(kind)), { key: kind }))),
    app.starters && h("ul", { class: "quiet", key: "words" }, KINDS.map((kind) => h("li", null, `${kind}: ${app.starters.kinds[kind]}`)))];
}
