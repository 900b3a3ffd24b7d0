// What is printed of the chosen cable besides the strip, the view and the findings: its points and
// its levers, of the file as it is saved. It is drawn only for the printer.

import { app } from "./app.js";
import { leversOf } from "./levers.js";
import { wayOf } from "./points.js";
import { h } from "./tree.js";

const measured = {
  at: (point) => point.at.join(", "),
  on: (point) => `on ${point.on}, along ${point.along}, clock ${point.clock}`,
  tape: (point) => `${Object.entries(point.tape).map(([node, text]) => `${text} from ${node}`).join(", ")}${point.side ? `, ${point.side}` : ""}`,
};

function row(point, i) {
  const { label = "", fix = "", heading } = point;
  const held = [fix, heading && `along ${heading}`, point.passes === "inside" && "inside the corner"].filter(Boolean).join(", ");
  return h("tr", null, h("th", { scope: "row" }, String(i + 1)), [label, measured[wayOf(point)](point), held].map((words) => h("td", null, words)));
}

export function paper() {
  const cable = (app.server.document.cable || [])[app.cable];
  if (!app.isPrinting || !cable) return null;
  return [
    h("h2", null, `${cable.name}: points from the hand end to the far end`),
    h("table", null,
      h("thead", null, h("tr", null, ["", "point", `as measured, bare figures in ${app.unit}`, "held by"].map((head) => h("th", { scope: "col" }, head)))),
      h("tbody", null, (cable.points || []).map(row))),
    leversOf(cable)];
}
