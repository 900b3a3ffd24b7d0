// Spring-scale readings on a mock-up, the friction they come to, and taking it over.

import { app } from "./app.js";
import { cablePick } from "./cables.js";
import { button, tell } from "./fields.js";
import { ask } from "./server.js";
import { h } from "./tree.js";

const PARTS = [["load_n", "load at the far end"], ["hand_n", "force at the hand"], ["wrap_deg", "bends in all, degrees"], ["label", "label"]];
const blank = () => ({ load_n: "", hand_n: "", wrap_deg: "", label: "" });
let rows = [blank(), blank(), blank()], told = null, wrongs = [], ops = null;

async function fit(cable) {
  const readings = rows.filter((row) => row.load_n.trim() || row.hand_n.trim());
  const [status, found] = await ask("/api/calibrate", { cable: cable.name, readings });
  told = status === 200 ? found : null;
  wrongs = status === 200 ? [] : (found.faults || []).length ? found.faults : [{ path: [], message: found.error }];
  ops = told && told.ops.length ? told.ops : null;
  app.change();
}

function cell(row, i, [key, label]) {
  const id = `bench-${i}-${key}`, wrong = (wrongs.find(({ path }) => path[1] === i && path[2] === key) || {}).message;
  return h("div", { class: "field", key: id },
    h("label", { for: id }, label),
    h("input", { id, value: row[key], autocomplete: "off", "aria-invalid": wrong ? "true" : null, "aria-describedby": wrong ? `${id}-says` : null,
                 oninput: (event) => { row[key] = event.target.value; [told, ops] = [null, null]; app.change(); } }),
    wrong && h("p", { id: `${id}-says`, class: "wrong" }, wrong));
}

function fitted() {
  const take = async () => { if (!(await app.edit(ops))) ops = null; app.change(); };
  const figure = (value) => Number(value.toPrecision(3));
  return h("div", { key: "fit", role: "status" },
    h("p", null, told.words),
    typeof told.friction === "number" && h("p", null, h("b", null, `Friction ${figure(told.friction)}`)),
    told.why_not && h("p", { class: "wrong" }, `It cannot be taken over: ${told.why_not}`),
    ops && h("div", { class: "buttons" }, button("Take it over into the file", take)),
    told.ops.length > 0 && !ops && h("p", null, "Taken over into the file."));
}

export function bench() {
  const cable = (app.document.cable || [])[app.cable];
  if (!cable) return h("p", null, "No cable yet.");
  const general = wrongs.filter(({ path }) => path.length < 3).map((each) => each.message);
  return [
    cablePick(),
    h("h2", null, `Friction of ${cable.name} on the bench`),
    h("p", { class: "quiet" }, "Lay the cable as it will run, hang a load on it and pull slowly with a spring scale. Forces in N, or with their unit. ",
      "Bends in all: left empty, those of this run."),
    h("ol", { class: "readings", key: "readings" }, rows.map((row, i) => h("li", { key: i }, h("div", { class: "fields" }, PARTS.map((part) => cell(row, i, part)))))),
    h("div", { class: "buttons", key: "buttons" },
      button("Another reading", () => { rows = [...rows, blank()]; app.change(); }),
      button("Fit friction", () => fit(cable).catch(() => { app.server.link = "gone"; app.change(); }))),
    tell(general), told && fitted()];
}
