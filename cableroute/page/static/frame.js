// What the points are measured from: nodes, tubes, the tape; and what to keep clear of.

import { app } from "./app.js";
import { button, choice, field, form, sorryFor } from "./fields.js";
import { recordList } from "./record.js";
import { nodes } from "./tapes.js";
import { h } from "./tree.js";

const put = async (path, value) => sorryFor(await app.edit([app.with(path, value)]));
const gone = (path) => button("Remove", () => app.set(path, undefined), { "aria-label": `remove ${path.at(-1)}` });

function machine() {
  const units = ["mm", "cm", "m", "in", "ft"].map((unit) => [unit, unit]);
  return h("div", { class: "fields", key: "machine" },
    field(["title"], "title"),
    choice(["unit"], "unit of bare figures", units, { whenNone: "mm" }),
    field(["tape_tolerance"], "one reading is good to ±", { echo: true, hint: "3 mm if not given" }));
}

function nodeList() {
  const known = Object.entries(app.document.nodes || {});
  const add = (typed) => (typed.name ? put(["nodes", typed.name], [typed.x, typed.y, typed.z]) : "expected a name");
  return [
    h("h2", null, "Nodes"),
    h("p", { class: "quiet" }, "Known points of the frame, by coordinates from the datum: x forward, y left, z up."),
    known.map(([name, at]) => h("div", { class: "fields", key: `node-${name}` },
      h("p", { class: "name-of" }, h("b", null, name)),
      Array.isArray(at) && ["x", "y", "z"].map((axis, i) => field(["nodes", name, i], axis, { echo: true })), gone(["nodes", name]))),
    form("new-node", [["name", "new node", true], ["x", "x"], ["y", "y"], ["z", "z"]], "Add the node", add)];
}

function tubeList() {
  const all = nodes(), known = Object.entries(app.document.tubes || {}), ends = all.map((node) => [node, node]);
  const add = ({ name, ...tube }) => (name ? put(["tubes", name], tube) : "expected a name");
  return [
    h("h2", null, "Tubes"),
    known.map(([name]) => h("div", { class: "fields", key: `tube-${name}` },
      h("p", { class: "name-of" }, h("b", null, name)),
      choice(["tubes", name, "from"], "from", ends), choice(["tubes", name, "to"], "to", ends),
      field(["tubes", name, "diameter"], "outside diameter", { echo: true }), gone(["tubes", name]))),
    all.length < 2 ? h("p", { class: "quiet" }, "A tube runs between two nodes.")
      : form("new-tube", [["name", "new tube", true], ["from", "from", true, all], ["to", "to", true, all], ["diameter", "outside diameter"]], "Add the tube", add)];
}

export function frame() {
  return [
    h("h2", null, "Machine and tape"), machine(), nodeList(),
    h("h3", null, "Tapes between nodes"),
    h("p", { class: "quiet" }, "They tie up nodes without coordinates, and check the others."),
    recordList(["node_tape"], "NodeTapeEntry", "tape", { names: { from: nodes(), to: nodes() } }),
    tubeList(),
    h("h2", null, "Keep out of"), recordList(["keepout"], "KeepOutEntry", "space to keep out of")];
}
