// A point by tapes: a reading to each of three nodes or more, and which of two places is meant.

import { app } from "./app.js";
import { keyOf } from "./edits.js";
import { button, field } from "./fields.js";
import { ask } from "./server.js";
import { h } from "./tree.js";
import { bothLengths, length } from "./words.js";

const found = new Map();

export const nodes = () => {
  const taped = (app.document.node_tape || []).flatMap((each) => [each.from, each.to]);
  return [...new Set([...Object.keys(app.document.nodes || {}), ...taped])];
};

export function newTape() {
  return Object.fromEntries(nodes().slice(0, 3).map((node) => [node, ""]));
}

// Where a point would be: asked once for each state of it.
export function places(point) {
  const read = Object.fromEntries(Object.entries(point.tape || {}).filter(([, text]) => text !== ""));
  if (Object.keys(read).length < 3) return null;
  const asked = { cable: app.cable, point: { tape: read } }, key = `${app.state.version} ${keyOf(asked)}`;
  if (!found.has(key)) {
    found.set(key, null);
    ask("/api/locate", asked).then(([status, told]) => {
      found.set(key, status === 200 ? told : { places: [], doubt: told.error, doubt_mm: null });
      app.change();
    }).catch(() => found.delete(key));
  }
  return found.get(key);
}

// An older word of files is read as the one that is written now.
const sideOf = ({ side }) => (side === "fore" ? "forward" : side);

// The two places as marks that can be tapped.
export function ghosts() {
  const point = app.open === null ? null : app.points[app.open];
  const told = point && point.tape ? places(point) : null;
  if (!told || told.places.length < 2) return [];
  return told.places.map(({ at_mm: at, side }) => ({ at, side, name: sideOf(point) === side ? `${side}: taken` : `${side}?` }));
}

export function takeSide(side) {
  app.set(["cable", app.cable, "points", app.open, "side"], side);
}

function answers(path, point) {
  const told = places(point);
  if (!told) return null;
  const words = told.places.map(({ at_mm: at, side }) => {
    const where = at.map((mm, i) => `${"xyz"[i]} ${length(mm, app.unit)}`).join(", ");
    if (!side) return h("p", { class: "echo" }, `It is at ${where}.`);
    return button(`${side}: ${where}`, () => takeSide(side), { "aria-pressed": String(sideOf(point) === side), class: "pressed" });
  });
  return h("div", { class: "answers", key: "answers", role: "group", "aria-label": "Where the point is" },
    told.places.length > 1 && h("p", null, "The tapes meet in two places, drawn in the view. Tap the right one:"),
    words,
    told.doubt_mm !== null && h("p", { class: "echo" }, `Good to ± ${bothLengths(told.doubt_mm)}.`),
    told.doubt && h("p", { class: "wrong" }, told.doubt));
}

export function tapes(path, point) {
  const read = point.tape || {}, others = nodes().filter((node) => !(node in read));
  const addTape = (event) => {
    const node = event.target.value;
    if (!node) return;
    if (!app.inDraft(path)) app.start(path[3], structuredClone(point), false);
    app.set([...path, "tape", node], "");
  };
  return h("div", { class: "tape", key: "tape" },
    nodes().length < 3 && h("p", { class: "wrong" }, "Tapes need three nodes at least: make them under Frame."),
    h("div", { class: "fields" }, Object.keys(read).map((node) => h("div", { key: `tape-${node}`, class: "with-button" },
      field([...path, "tape", node], `from ${node}`, { echo: true }),
      button("×", () => app.set([...path, "tape", node], undefined), { "aria-label": `no tape from ${node}`, disabled: Object.keys(read).length <= 3 && !app.inDraft(path) })))),
    others.length > 0 && h("div", { class: "field", key: "another" },
      h("label", { for: "another-node" }, "another node"),
      h("select", { id: "another-node", onchange: addTape, value: "" }, h("option", { value: "" }, "choose"), others.map((node) => h("option", { value: node }, node)))),
    answers(path, point));
}
