// What could be moved or left out, each with its effect; applied and undone with a tap.

import { app } from "./app.js";
import { cablePick } from "./cables.js";
import { button, tell } from "./fields.js";
import { focusOn } from "./focus.js";
import { h } from "./tree.js";
import { force, length } from "./words.js";

let applied = null;

function change(words, before, after) {
  return h("li", null, before === after ? `${words} ${before}` : `${words} ${before} → ${after}`);
}

function effect({ before, after, brings }) {
  const newton = (each) => force(each.hand_n, app.state.force_unit);
  return [
    h("ul", { class: "effect" },
      change("verdict", before.verdict, after.verdict), change("hand force", newton(before), newton(after)),
      change("bends", `${Math.round(before.wrap_deg)}°`, `${Math.round(after.wrap_deg)}°`),
      change("run", length(before.length_mm, app.unit), length(after.length_mm, app.unit))),
    brings.length > 0 && h("ul", { class: "brings" }, brings.map((each) =>
      h("li", null, h("span", { class: `badge ${each.level}` }, each.level.toUpperCase()), ` ${each.where}: ${each.message}`)))];
}

async function apply(offer) {
  const words = offer.words;
  focusOn(() => document.getElementById("undo-it"));
  if (!(await app.edit(offer.ops))) applied = { words, version: app.state.version };
  app.change();
}

export function offers() {
  const cable = (app.document.cable || [])[app.cable];
  const isLast = applied && applied.version === app.state.version;
  const undone = () => {
    applied = null;
    focusOn(() => !app.server.waiting && document.querySelector("#panel .remarks button"));
    app.server.does("undo");
  };
  const found = cable && app.judged() ? app.asked(`/api/suggestions?cable=${encodeURIComponent(cable.name)}`) : undefined;
  return [
    cablePick(),
    h("h2", null, "What to move or leave out"),
    isLast && h("p", { class: "notice", key: "done" }, `${applied.words}: done. `, button("Undo it", undone, { id: "undo-it" })),
    found === undefined && h("p", { class: "quiet" }, "Nothing to suggest before the run has two points."),
    found === null && h("p", null, h("progress", { "aria-label": "looking" }), " Looking for moves …"),
    found && found.error && tell([found.error]),
    found && found.told && (found.told.suggestions.length ? h("ul", { class: "remarks", key: "list" }, found.told.suggestions.map((offer, i) =>
      h("li", { key: i }, button(offer.words, () => apply(offer)), effect(offer.effect)))) : h("p", null, "Nothing that would help."))];
}
