// Force along the run, pulling and pushing, with a cursor that is also seen in space.

import { app } from "./app.js";
import { h } from "./tree.js";
import { force, length } from "./words.js";

const WIDE = 600, HIGH = 150, LEFT = 52, BELOW = 24, TOP = 10;

function at(along, values, s) {
  const next = along.findIndex((each) => each >= s), i = Math.max(1, next < 0 ? along.length - 1 : next);
  const [a, b] = [values[i - 1], values[i]];
  if (a === null || b === null) return null;
  const part = along[i] > along[i - 1] ? (s - along[i - 1]) / (along[i] - along[i - 1]) : 1;
  return a + (b - a) * part;
}

// Where along a drawn line a distance is.
function pointAt(line, s) {
  let gone = 0;
  for (let i = 1; i < line.length; i += 1) {
    const step = Math.hypot(...line[i].map((value, axis) => value - line[i - 1][axis]));
    if (gone + step >= s && step > 0) return line[i].map((value, axis) => line[i - 1][axis] + ((value - line[i - 1][axis]) * (s - gone)) / step);
    gone += step;
  }
  return line.at(-1);
}

function band(along, [low, high], place, name) {
  const whole = high.map((value, i) => i).filter((i) => high[i] !== null && low[i] !== null);
  if (whole.length < 2) return null;
  const up = whole.map((i) => place(along[i], high[i]).join(" ")), down = whole.map((i) => place(along[i], low[i]).join(" ")).reverse();
  return [h("path", { d: `M${[...up, ...down].join("L")}Z`, class: `band ${name}` }), h("path", { d: `M${up.join("L")}`, class: `edge ${name}` })];
}

export function forces() {
  const place = app.answer ? app.answer.cables.indexOf(app.cable) : -1, drawn = place < 0 ? null : app.answer.scene.cables[place];
  if (!drawn || !drawn.forces) {
    if (app.cursor) app.cursor = null;
    return drawn && h("p", { class: "quiet" }, "Forces of a pair are under the findings and in the report.");
  }
  const { along_mm: along, pull_n: pull, push_n: push } = drawn.forces, end = along.at(-1), unit = app.state.force_unit;
  const most = Math.max(1, ...[pull, push].filter(Boolean).flat(2).filter((value) => value !== null)) * 1.15;
  const put = (s, f) => [(LEFT + (s / end) * (WIDE - LEFT - 8)).toFixed(1), (HIGH - BELOW - (f / most) * (HIGH - BELOW - TOP)).toFixed(1)];
  const move = (s) => { app.cursorAt = s; app.cursor = pointAt(drawn.line, s); app.change(); };
  const s = Math.min(app.cursorAt ?? 0, end), [x] = put(s, 0);
  const told = [["pull", pull], ["push", push]].filter(([, rows]) => rows)
    .map(([word, rows]) => `${word} ${force(at(along, rows[0], s), unit)} to ${at(along, rows[1], s) === null ? "locked" : force(at(along, rows[1], s), unit)}`).join(", ");
  const over = (event) => {
    const frame = event.currentTarget.getBoundingClientRect(), px = ((event.clientX - frame.left) / frame.width) * WIDE;
    move(Math.min(end, Math.max(0, ((px - LEFT) / (WIDE - LEFT - 8)) * end)));
  };
  return h("figure", { class: app.isOld ? "along old" : "along", key: "along" },
    h("svg", { viewBox: `0 0 ${WIDE} ${HIGH}`, "aria-hidden": "true", onpointermove: over, onpointerdown: over },
      h("path", { d: `M${LEFT} ${TOP}V${HIGH - BELOW}H${WIDE - 8}`, class: "axis" }),
      h("text", { x: LEFT - 6, y: TOP + 10, "text-anchor": "end", class: "plain" }, force(most / 1.15, unit)),
      h("text", { x: LEFT - 6, y: HIGH - BELOW, "text-anchor": "end", class: "plain" }, "0"),
      h("text", { x: LEFT, y: HIGH - 6, class: "plain" }, "hand end"),
      h("text", { x: WIDE - 8, y: HIGH - 6, "text-anchor": "end", class: "plain" }, `far end, ${length(end, app.unit)}`),
      band(along, pull, put, "pull"), push && band(along, push, put, "push"),
      app.cursor && h("path", { d: `M${x} ${TOP}V${HIGH - BELOW}`, class: "cursor-line" })),
    h("label", { for: "cursor" }, `Force along ${drawn.name}`, push && ": pull with a full line, push broken"),
    h("input", { id: "cursor", type: "range", min: "0", max: String(end), step: String(end / 200), value: String(s),
                 "aria-valuetext": `${length(s, app.unit)}: ${told}`, oninput: (event) => move(Number(event.target.value)) }),
    h("figcaption", null, `${length(s, app.unit)} from the hand end: ${told}`));
}
