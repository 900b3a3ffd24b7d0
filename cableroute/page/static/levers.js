// Linkages, each member drawn square to its plane: at neutral, at both ends, and where the slider is.

import { app } from "./app.js";
import { button, tell } from "./fields.js";
import { recordList } from "./record.js";
import { h } from "./tree.js";
import { force, length } from "./words.js";

const WIDE = 280, HIGH = 230, MARGIN = 34;
const hands = new Map();  // where each slider is
const flat = (lines) => lines.flat().filter(([x]) => x !== null);

// A way to put what is drawn of a member into the picture, all of its positions.
function frame(member) {
  const all = [...member.arms.flatMap(flat), ...member.rods.flatMap(flat), ...flat([member.path, member.needed])];
  const [xs, ys] = [0, 1].map((i) => all.map((point) => point[i]));
  const middle = (values) => (Math.min(...values) + Math.max(...values)) / 2;
  const span = (values) => Math.max(...values) - Math.min(...values) || 1;
  const scale = Math.min((WIDE - 2 * MARGIN) / span(xs), (HIGH - 2 * MARGIN) / span(ys));
  const [mx, my] = [middle(xs), middle(ys)];
  return ([x, y]) => [WIDE / 2 + (x - mx) * scale, HIGH / 2 - (y - my) * scale];
}

function path(points, put, more) {
  const whole = points.filter(([x]) => x !== null);
  return whole.length > 1 && h("path", { d: `M${whole.map((point) => put(point).map((v) => v.toFixed(1)).join(" ")).join("L")}`, ...more });
}

const lines = (all, put, name) => all.map((each) => path(each, put, { class: name }));

function arrow(from, way, put, name) {
  const [x, y] = put(from), size = Math.hypot(...way) || 1, [dx, dy] = [(way[0] / size) * 34, (-way[1] / size) * 34];
  const [tx, ty] = [x + dx, y + dy], [ux, uy] = [dx / 34, dy / 34];
  return h("path", { class: name, d: `M${x.toFixed(1)} ${y.toFixed(1)}L${tx.toFixed(1)} ${ty.toFixed(1)}`
    + `M${(tx - ux * 9 - uy * 5).toFixed(1)} ${(ty - uy * 9 + ux * 5).toFixed(1)}L${tx.toFixed(1)} ${ty.toFixed(1)}L${(tx - ux * 9 + uy * 5).toFixed(1)} ${(ty - uy * 9 - ux * 5).toFixed(1)}` });
}

// Which way a member's working point goes as the hand goes the wanted way.
function going(member, neutral, last) {
  const [a, b] = [member.path[neutral], member.path[last]];
  return a && b && a[0] !== null && b[0] !== null ? [b[0] - a[0], b[1] - a[1]] : null;
}

function drawing(linkage, member, at) {
  const put = frame(member), { stroke, mirrored } = linkage, end = stroke.length - 1;
  const neutral = stroke.reduce((best, row, i) => (Math.abs(row.hand_deg) < Math.abs(stroke[best].hand_deg) ? i : best), 0);
  const toward = linkage.hand_sense > 0 ? end : 0, way = going(member, neutral, toward), from = member.path[neutral];
  const [cx, cy] = put(member.middle);
  const seen = `${member.heading}: at ${Math.round(stroke[at].hand_deg)}° of the hand`;
  return h("figure", { key: member.name, class: "member" },
    h("svg", { viewBox: `0 0 ${WIDE} ${HIGH}`, role: "img", "aria-label": seen },
      path(member.path, put, { class: "swept" }), path(member.needed, put, { class: "needed" }), path(member.cone, put, { class: "cone" }),
      path(member.drum, put, { class: "rod" }),
      [0, end].map((i) => [lines(member.arms[i], put, "arm end"), lines(member.rods[i], put, "rod end")]),
      lines(member.arms[neutral], put, "arm neutral"), lines(member.rods[neutral], put, "rod neutral"),
      lines(member.rods[at], put, "rod now"), lines(member.arms[at], put, "arm now"),
      way && from && arrow(from, way, put, mirrored && member.last ? "goes wrong-way" : "goes"),
      mirrored && member.last && member.wanted.length > 0 && from && Math.hypot(...member.wanted) > 0.05 && arrow(from, member.wanted, put, "goes wanted"),
      h("circle", { cx: cx.toFixed(1), cy: cy.toFixed(1), r: 4, class: "pivot" }),
      h("text", { x: 8, y: HIGH - 8, class: "plain quiet" }, `${member.x}, ${member.y}`)),
    h("figcaption", null, member.heading));
}

function figures(linkage, at) {
  const row = linkage.stroke[at], unit = app.state.force_unit;
  const grip = [["pulling", row.pulling_n], ["pushing", row.pushing_n]].filter(([, value]) => value !== null && value !== undefined);
  const far = row.far_deg === null || row.far_deg === undefined ? length(row.far_mm, app.unit) : `${length(row.far_mm, app.unit)}, ${row.far_deg.toFixed(1)}°`;
  return h("dl", { class: "figures" }, [["hand", `${row.hand_deg.toFixed(1)}°`], ["cable", length(row.cable_mm, app.unit)],
    ["arrives", length(row.arriving_mm, app.unit)], ["far end", far], ...grip.map(([word, value]) => [`hand force ${word}`, force(value, unit)])]
    .map(([name, value]) => h("div", null, h("dt", null, name), h("dd", null, value))));
}

function mends(linkage) {
  if (!linkage.mirrored) return null;
  const found = app.asked(`/api/mends?linkage=${encodeURIComponent(linkage.name)}`), tried = found && found.told ? found.told.mends : linkage.mends;
  const words = ({ what, verdict }) => `${what[0].toUpperCase()}${what.slice(1)}${verdict ? `: the linkage then is ${verdict.toUpperCase()}` : ""}`;
  return h("div", { class: "notice", key: "mends" },
    h("p", null, h("b", null, "MIRRORED: "), "the far end goes the wrong way. One of these mends it; more than one may not. ",
      "The run itself is not led round by it: see the findings then."),
    found === null && h("p", null, h("progress", { "aria-label": "trying the mends" }), " Trying each …"),
    found && found.error && tell([found.error]),
    h("ul", { class: "away" }, tried.map((mend) => h("li", { key: mend.kind },
      mend.ops && mend.ops.length ? button(words(mend), () => app.edit(mend.ops)) : h("p", null, words(mend))))));
}

function linkage(each, isPaper = false) {
  const { stroke } = each, end = stroke.length - 1, middle = stroke.findIndex((row) => row.hand_deg >= -1e-9);
  const at = Math.min(hands.get(each.name) ?? Math.max(0, middle), end), id = `hand-${each.name.replace(/\W/g, "_")}`;
  const row = stroke[at];
  return h("section", { key: `linkage-${each.name}`, "aria-label": each.name },
    h("h2", null, `${each.name}, by ${each.cable} `, h("span", { class: `badge ${each.verdict}` }, each.verdict.toUpperCase())),
    h("p", null, each.direction || "Which way it goes cannot be worked out."), !isPaper && mends(each),
    stroke.length > 1 && [
      h("div", { class: "members" }, each.members.map((member) => drawing(each, member, at))),
      !isPaper && h("label", { for: id }, "Hand, from end to end"),
      !isPaper && h("input", { id, type: "range", min: "0", max: String(end), step: "1", value: String(at), "aria-valuetext": `${row.hand_deg.toFixed(0)} degrees, far end ${length(row.far_mm, app.unit)}`,
                   oninput: (event) => { hands.set(each.name, Number(event.target.value)); app.change(); } }),
      figures(each, at)],
    h("p", { class: "quiet" }, `Travel at the far end ${length(each.travel && each.travel.far_mm, app.unit)}, needed ${length(each.travel && each.travel.far_needed_mm, app.unit)}.`));
}

function gate(each) {
  return h("li", { key: each.gate, class: each.reached ? "gate reached" : "gate missed" },
    h("b", null, each.gate), ` ${each.reached ? "reached" : "MISSED"}`,
    !each.reached && h("span", { class: "quiet" }, ` select ${each.select.outcome}, shift ${each.shift.outcome}`));
}

// The pattern as the knob goes: gates where the driver finds them.
function pattern(selector) {
  const gates = selector.gates.filter((each) => each.knob_mm.every((value) => value !== null));
  const spread = (i) => Math.max(1, ...gates.map((each) => Math.abs(each.knob_mm[i])));
  const put = (each) => [120 - (each.knob_mm[1] / spread(1)) * 85, 90 - (each.knob_mm[0] / spread(0)) * 60];
  const columns = [...new Set(gates.map((each) => Math.round(put(each)[0])))];
  return h("section", { key: `selector-${selector.name}`, "aria-label": selector.name },
    h("h2", null, `${selector.name} `, h("span", { class: `badge ${selector.verdict}` }, selector.verdict.toUpperCase())),
    h("p", null, `Pattern: ${selector.pattern ?? "cannot be worked out"}. Knob from above, forward up, left on the left.`),
    h("svg", { viewBox: "0 0 240 180", class: "pattern", role: "img", "aria-label": `Pattern of ${selector.name}` },
      h("path", { class: "slot", d: `M${Math.min(...columns, 120)} 90H${Math.max(...columns, 120)}` }),
      gates.map((each) => { const [x, y] = put(each); return h("path", { class: "slot", d: `M${x.toFixed(1)} 90V${y.toFixed(1)}` }); }),
      gates.map((each) => { const [x, y] = put(each); return [
        h("circle", { cx: x.toFixed(1), cy: y.toFixed(1), r: 15, class: each.reached ? "gate-ring" : "gate-ring missed" }),
        h("text", { x: x.toFixed(1), y: (y + 5).toFixed(1), "text-anchor": "middle", class: "plain strong" }, each.gate)]; })),
    h("ul", { class: "gates" }, selector.gates.map(gate)));
}

// What is drawn, or why nothing is.
function drawn() {
  const has = (app.document.linkage || []).length;
  if (!has) return h("p", { key: "none" }, "No linkage yet: a lever, pedal or grip that works a cable, and what the cable moves. Add one below; it is drawn here.");
  const found = app.asked("/api/linkages");
  if (found === null) return h("p", { key: "soon" }, h("progress", { "aria-label": "working out the levers" }), " Working out the levers …");
  if (found.error) return tell([found.error]);
  return [found.told.linkages.length === 0 && h("p", { key: "none" }, "Nothing to draw yet; see the findings."),
          found.told.linkages.map((each) => linkage(each)), found.told.selectors.map(pattern)];
}

// The levers of one cable, to be printed, once they are known; asked for when nothing else is.
export function leversOf(cable) {
  const { told } = app.asked("/api/linkages") || {}, own = told ? told.linkages.filter((each) => each.cable === cable.name) : [];
  const names = own.map((each) => each.name);
  return [own.map((each) => linkage(each, true)),
          told && told.selectors.filter((each) => names.includes(each.select) || names.includes(each.shift)).map(pattern)];
}

export function levers() {
  const names = (key) => (app.document[key] || []).map((each) => each.name);
  return [
    drawn(),
    h("h2", { key: "written" }, "As measured"),
    recordList(["linkage"], "LinkageEntry", "linkage", { names: { cable: names("cable") } }),
    names("linkage").length > 1 && recordList(["selector"], "SelectorEntry", "selector", { names: { select: names("linkage"), shift: names("linkage") } })];
}
