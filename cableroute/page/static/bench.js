// Spring-scale readings on a mock-up, the friction they come to, and taking it over.

import { app, PAUSE } from "./app.js";
import { cablePick } from "./cables.js";
import { at, keyOf } from "./edits.js";
import { button } from "./fields.js";
import { h } from "./tree.js";
import { force } from "./words.js";

const PARTS = [["load_n", "load at far end"], ["hand_n", "hand force"], ["wrap_deg", "bends, degrees"], ["label", "label"]];
const blank = () => ({ load_n: "", hand_n: "", wrap_deg: "", label: "" });
const whole = ({ load_n: load, hand_n: hand }) => load.trim() && hand.trim();
const LEAST = 3;  // of readings, to tell friction from drag
let rows = [blank(), blank(), blank()], read = [], pause = 0, last = {};

function type(row, key, text) {
  row[key] = text;
  clearTimeout(pause);
  pause = setTimeout(() => { read = structuredClone(rows.filter(whole)); app.change(); }, PAUSE);
  app.change();
}

// What the readings that are whole come to; the last that was known, as old, until that is.
function fitOf(cable) {
  const isRead = keyOf(rows.filter(whole)) === keyOf(read);
  if (read.length < LEAST) return {};
  const found = isRead ? app.asked("/api/calibrate", { cable: cable.name, readings: read }) : null;
  if (found) last = { ...found, of: cable.name };
  return found || { told: last.of === cable.name && last.told, isOld: true };
}

function cell(row, i, [key, label], faults) {
  const id = `bench-${i}-${key}`, place = rows.filter(whole).indexOf(row);
  const wrong = (faults.find(({ path }) => path[1] === place && path[2] === key) || {}).message;
  return h("div", { class: "field", key: id },
    h("label", { for: id }, label),
    h("input", { id, value: row[key], autocomplete: "off", "aria-invalid": wrong ? "true" : null, "aria-describedby": wrong ? `${id}-says` : null,
                 oninput: (event) => type(row, key, event.target.value) }),
    wrong && h("p", { id: `${id}-says`, class: "wrong" }, wrong));
}

const between = ([low, high], told) => `between ${told(low)} and ${told(high)}`;

function fitted({ told, isOld }) {
  const { ops } = told, figure = (value) => Number(value.toPrecision(3)), newton = (value) => force(value, app.state.force_unit);
  const isTaken = ops.length > 0 && ops.every((op) => keyOf(at(app.document, op.path)) === keyOf(op.value));
  if (!isTaken && !isOld) app.trials.push(...ops);
  return h("div", { key: "fit", class: isOld ? "fit old" : "fit", role: "status" },
    h("p", null, told.words),
    typeof told.friction === "number" && h("p", null, h("b", null, `Friction ${figure(told.friction)}, `),
      `${between(told.friction_interval, figure)} with 95 % confidence; drag ${newton(told.drag_n)}, ${between(told.drag_interval_n, newton)}.`),
    told.why_not && h("p", { class: "wrong" }, `It cannot be taken over: ${told.why_not}`),
    isTaken ? h("p", null, "Taken over into the file.")
      : ops.length > 0 && h("div", { class: "buttons" }, button("Take it over into the file", () => app.edit(ops), { disabled: isOld })));
}

export function bench() {
  const cable = (app.document.cable || [])[app.cable];
  if (!cable) return h("p", null, "No cable yet.");
  const fit = fitOf(cable), faults = fit.faults || [], general = faults.filter(({ path }) => path.length < 3).map((each) => each.message).join("; ");
  return [
    cablePick(),
    h("h2", null, `Friction of ${cable.name} on the bench`),
    h("p", { class: "quiet" }, "Lay the cable as it will run, hang a load on it and pull slowly with a spring scale. Forces in N, or with their unit. ",
      "Bends, all of them together: left empty, those of this run."),
    h("ol", { class: "readings", key: "readings" }, rows.map((row, i) => h("li", { key: i }, h("div", { class: "fields" }, PARTS.map((part) => cell(row, i, part, faults)))))),
    h("div", { class: "buttons", key: "buttons" },
      button("Another reading", () => { rows = [...rows, blank()]; app.change(); })),
    h("p", { key: "lacks", class: "echo", role: "status" },
      read.length < LEAST ? "Three readings at least, at other loads or wraps." : general || fit.isOld && "Fitting …"),
    fit.told && fitted(fit)];
}
