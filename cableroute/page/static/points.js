// The table of points: one row each, as measured; what is chosen opens beneath its row.

import { app } from "./app.js";
import { cablePick } from "./cables.js";
import { clockFace } from "./clock.js";
import { button, choice, field, tell } from "./fields.js";
import { focusOn } from "./focus.js";
import { newTape, tapes } from "./tapes.js";
import { h } from "./tree.js";
import { length } from "./words.js";

const FIXES = [["", "free"], ["clip", "clip"], ["anchor", "anchor"]];
const WAYS = [["at", "coordinates"], ["on", "on a tube"], ["tape", "by tapes"]];
const HEADINGS = [["", "not held"], ["forward", "forward"], ["aft", "aft"], ["left", "left"], ["right", "right"],
                  ["up", "up"], ["down", "down"]];
const MOVES = [["", "as usual"], ["no", "not at all"], ["x", "along x"], ["y", "along y"], ["z", "along z"], ["free", "anywhere"]];
const pathOf = (row, ...more) => ["cable", app.cable, "points", row, ...more];
export const wayOf = (point) => WAYS.map(([way]) => way).find((way) => point[way] !== undefined) || "at";

// Finds the field of a path.
export function atPath(path) {
  const wanted = JSON.stringify(path);
  return () => [...document.querySelectorAll("[data-path]")].find((each) => each.dataset.path === wanted);
}

function readings(point, row) {
  const way = wayOf(point);
  if (way === "at") {
    return ["x", "y", "z"].map((axis, i) => field(pathOf(row, "at", i), axis, { echo: app.row === row }));
  }
  if (way === "on") {
    const tubes = Object.keys(app.document.tubes || {}).map((name) => [name, name]);
    return [choice(pathOf(row, "on"), "tube", [["", "choose"], ...tubes]),
            field(pathOf(row, "along"), "along", { echo: app.row === row }), field(pathOf(row, "clock"), "clock")];
  }
  const read = Object.entries(point.tape || {}).map(([node, text]) => `${node} ${text}`).join(", ");
  return h("p", { class: "tapes" }, read || "no tape yet: open the point");
}

function newPoint(way, before = {}) {
  const { label, fix, radius } = before, kept = Object.fromEntries(Object.entries({ label, fix, radius }).filter(([, v]) => v !== undefined));
  if (way === "on") return { on: Object.keys(app.document.tubes || {})[0] ?? "", along: "", clock: "", ...kept };
  if (way === "tape") return { tape: newTape(), ...kept };
  return { at: ["", "", ""], ...kept };
}

function turnInto(row, way) {
  const point = app.points[row];
  if (app.inDraft(pathOf(row))) app.draft.value = newPoint(way, point);
  else app.start(row, newPoint(way, point), false);
  app.open = row;
  app.change();
}

export function insert(index) {
  app.commitAll();
  if (app.draft) return focusOn(atPath(pathOf(app.draft.index, "at", 0)));
  const before = app.points[Math.max(0, index - 1)];
  app.start(index, newPoint(before ? wayOf(before) : "at"), true);
  return focusOn(atPath(pathOf(index, ...(before && wayOf(before) === "on" ? ["along"] : ["at", 0]))));
}

export function remove(row) {
  app.commitAll();
  if (app.inDraft(pathOf(row))) return app.dropDraft();
  const path = app.real(pathOf(row));
  app.open = null;
  app.row = Math.max(0, row - 1);
  return app.edit([{ op: "delete", path }]);
}

export function move(row, by) {
  const to = row + by;
  if (app.draft || to < 0 || to >= app.points.length) return;
  app.commitAll();
  app.row = to;
  if (app.open === row) app.open = to;
  const { dataset, id } = document.activeElement;
  focusOn(dataset.path ? atPath(JSON.parse(dataset.path).map((part, i) => (i === 3 ? to : part)))
    : () => document.getElementById(id.replace(/\d+$/, to)));
  app.edit([{ op: "move", path: pathOf(row), to }]);
}

function details(point, row) {
  const can = (key) => app.starters && app.starters.keys.point.includes(key), way = wayOf(point);
  const isEnd = row === 0 || row === app.points.length - 1;
  return h("div", { class: "details", key: "details" },
    way === "on" && clockFace(pathOf(row), point),
    way === "tape" && tapes(pathOf(row), point),
    h("div", { class: "fields" },
      choice(pathOf(row, "way"), "measured", WAYS, { whenNone: way, then: (value) => turnInto(row, value) }),
      can("passes") && !isEnd && choice(pathOf(row, "passes"), "the cable passes",
        [["", "through the point"], ["inside", "inside the corner"]]),
      can("heading") && choice(pathOf(row, "heading"), "held along",
        way === "on" ? [...HEADINGS, ["tube", "the tube"]] : HEADINGS),
      field(pathOf(row, "radius"), "least radius here", { echo: true }),
      choice(pathOf(row, "move"), "may be moved", way === "on" ? [["", "as usual"], ["no", "not at all"], ["tube", "along its tube"]] : MOVES)),
    h("div", { class: "buttons" },
      button("Insert before", () => insert(row)),
      button("Insert after", () => insert(row + 1)),
      button("Move up", () => move(row, -1), { id: `up-${row}`, disabled: row === 0 || Boolean(app.draft) }),
      button("Move down", () => move(row, 1), { id: `down-${row}`, disabled: row === app.points.length - 1 || Boolean(app.draft) }),
      button("Delete", () => remove(row))));
}

function keys(event, row) {
  const { key, altKey, ctrlKey, metaKey } = event;
  if (key === "Enter" && (ctrlKey || metaKey)) insert(row + 1);
  else if (altKey && key === "ArrowUp") move(row, -1);
  else if (altKey && key === "ArrowDown") move(row, 1);
  else return;
  event.preventDefault();
}

function said(row) {
  const judged = app.answer && app.judged() ? app.answer.findings : [];
  const levels = judged.filter((each) => JSON.stringify(each.path) === JSON.stringify(app.real(pathOf(row)))).map((each) => each.level);
  const worst = ["fail", "marginal", "note"].find((level) => levels.includes(level));
  return worst && h("a", { class: `badge ${worst}`, href: `#found-${row}`, "aria-label": `${worst}: to the finding` }, worst.toUpperCase());
}

// A row is chosen by the focus; not under a finger that is still down, for what is shown with it
// would move the very thing that is pressed.
let pressed = false;
addEventListener("pointerdown", () => { pressed = true; }, true);
for (const end of ["pointerup", "pointercancel"]) addEventListener(end, () => setTimeout(() => { pressed = false; }, 30), true);

function choose(row) {
  if (app.row === row) return;
  if (pressed) {
    addEventListener("pointerup", () => setTimeout(() => choose(row), 60), { once: true });
    return;
  }
  if (!document.activeElement.closest(`#point-${row}`)) return;
  app.row = row;
  app.change();
}

function unfold(open, row) {
  [app.open, app.row] = [open, row];
  app.change();
  if (open !== null) setTimeout(() => document.getElementById(`point-${row}`)?.scrollIntoView({ block: "nearest" }), 30);
}

function rowOf(point, row) {
  const isDraft = app.inDraft(pathOf(row)), isOpen = app.open === row;
  const inner = [
    h("div", { class: "main", key: "main" },
      h("button", {
        type: "button", class: "number", "aria-expanded": String(isOpen), "aria-label": `point ${row + 1}, ${isOpen ? "less" : "more"}`,
        onclick: () => unfold(isOpen ? null : row, row),
      }, String(row + 1)),
      field(pathOf(row, "label"), "label", { wide: true }),
      readings(point, row),
      choice(pathOf(row, "fix"), "held by", FIXES),
      h("span", { class: "said", key: "said" }, isDraft ? h("span", { class: "badge note" }, "NOT WHOLE YET") : said(row))),
    isOpen && details(point, row)];
  return h("div", {
    key: `point-${row}`, id: `point-${row}`, class: app.row === row ? "point chosen" : "point", role: "group", "aria-label": `point ${row + 1} ${point.label || ""}`,
    onfocusin: () => choose(row), onkeydown: (event) => keys(event, row),
  }, inner, tell(app.wrongUnder(pathOf(row))),
  isDraft && h("p", { class: "echo" }, "Saved as soon as it has all its readings. ",
    button("Leave it", () => app.dropDraft())));
}

export function points() {
  const cables = app.document.cable || [], here = app.points;
  const chosen = app.judged();
  return [
    cables.length > 1 && cablePick(),
    h("h2", null, cables.length ? `${cables[app.cable].name}: points from the hand end to the far end` : "No cable yet"),
    h("p", { class: "quiet" }, `x forward, y left, z up, in ${app.unit} or as the tape reads: 3' 4 1/2", 1.2 m. `,
      chosen && `Run ${length(chosen.route.length_mm, app.unit)}, ${Math.round(chosen.route.wrap_deg)}° of bends.`),
    h("div", { class: "points", key: "points" }, here.map(rowOf)),
    cables.length > 0 && h("div", { class: "buttons" },
      button("Add a point", () => insert(app.points.length), { id: "add-point" })),
    h("p", { class: "quiet" }, "Enter saves a figure, Escape takes it back. Ctrl+Enter: a point after this one. Alt+↑, Alt+↓: move it.")];
}
