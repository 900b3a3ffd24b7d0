// Puts the parts of the page where they belong, whenever there is something else to show.

import { app } from "./app.js";
import { away } from "./away.js";
import { bench } from "./bench.js";
import { cables } from "./cables.js";
import { button } from "./fields.js";
import { focusOn, keepFocus } from "./focus.js";
import { forces } from "./forces.js";
import { frame } from "./frame.js";
import { findings, head, news, verdictWords } from "./head.js";
import { levers } from "./levers.js";
import { offers } from "./offers.js";
import { paper } from "./paper.js";
import { atPath, points } from "./points.js";
import { ask } from "./server.js";
import { render, h } from "./tree.js";
import { showView, views } from "./view.js";

const TABS = [["points", "Points", points], ["frame", "Frame", frame], ["cables", "Cables", cables], ["offers", "Suggestions", offers],
              ["levers", "Levers", levers], ["bench", "Bench", bench], ["away", "Take away", away]];
const by = (id) => document.getElementById(id);
const REST = 1000;  // ms; then the levers are worked out, should they be printed
let said = "", rest = 0;

function pick(tab) {
  app.tab = tab;
  app.change();
}

function tabs() {
  const turn = (event) => {
    const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
    if (!step) return;
    event.preventDefault();
    const next = TABS[(TABS.findIndex(([name]) => name === app.tab) + step + TABS.length) % TABS.length][0];
    pick(next);
    focusOn(() => by(`tab-${next}`));
  };
  return TABS.map(([name, words]) => h("button", {
    type: "button", role: "tab", id: `tab-${name}`, key: name, "aria-selected": String(app.tab === name), "aria-controls": "panel",
    tabindex: app.tab === name ? "0" : "-1", onclick: () => pick(name), onkeydown: turn,
  }, words));
}

function sides() {
  const see = (side) => { app.side = side; app.change(); };
  return [["enter", "Readings"], ["see", "View"]].map(([side, words]) =>
    button(words, () => see(side), { "aria-pressed": String(app.side === side), class: "pressed" }));
}

// Go to the row that a finding speaks of.
function go(path) {
  if (path[0] === "cable" && typeof path[1] === "number") app.cable = path[1];
  app.side = "enter";
  app.tab = TAB_OF[path[0]] || (path[2] === "points" ? "points" : "cables");
  if (!TABS.some(([name]) => name === app.tab)) app.tab = "points";
  if (path[2] === "points" && path[3] !== undefined) [app.row, app.open] = [path[3], path[3]];
  focusOn(path[3] === undefined ? () => by("panel") : atPath(["cable", path[1], "points", path[3], "label"]));
  app.change();
}
const TAB_OF = { linkage: "levers", selector: "levers", keepout: "frame", nodes: "frame", tubes: "frame" };

// The verdict is said once it is settled, and once only.
function say() {
  const words = app.isOld ? said : `${by("verdict").textContent} ${by("head").querySelector(".figures")?.innerText.replace(/\s+/g, " ") || ""}`;
  if (words !== said) by("live").textContent = words;
  said = words;
}

function show() {
  render(by("news"), news());
  if (!app.state) return;
  learn();
  app.fields.clear();
  app.trials = [];
  document.title = `${app.state.title || app.state.file}: ${verdictWords()}`;
  document.body.dataset.side = app.side;
  render(by("sides"), sides());
  render(by("tabs"), tabs());
  const panel = by("panel");
  panel.setAttribute("aria-labelledby", `tab-${app.tab}`);
  render(panel, TABS.find(([name]) => name === app.tab)[2]());
  app.heed();
  render(by("head"), head());
  render(by("views"), views());
  render(by("forces"), forces());
  render(by("paper"), paper());
  render(by("told"), findings(go));
  render(by("foot"), h("ul", { class: "cautions" }, app.state.cautions.map((words) => h("li", null, words))));
  showView();
  say();
  document.documentElement.dataset.ready = app.isOld ? "" : "1";
  clearTimeout(rest);
  if (!app.isOld && app.document.linkage) rest = setTimeout(() => app.asked("/api/linkages"), REST);
}

addEventListener("keydown", (event) => {
  const way = { z: event.shiftKey ? "redo" : "undo", y: "redo" }[event.key.toLowerCase()];
  const isTyping = app.typed.size > 0 || document.activeElement?.closest("form");
  if (!way || !(event.ctrlKey || event.metaKey) || isTyping || !app.state) return;
  event.preventDefault();
  if (app.state[way]) app.server.does(way);
});
// What was typed and not yet left is not lost with the page.
addEventListener("pagehide", () => app.commitAll());

// What new rows begin with is asked once the page is let in.
let asked = false;
function learn() {
  if (asked) return;
  asked = true;
  ask("/api/starters").then(([status, told]) => {
    asked = status === 200;
    if (asked) app.starters = told;
    app.change();
  }).catch(() => { asked = false; });
}

app.draws = () => keepFocus(show);
for (const [when, isPrinting] of [["beforeprint", true], ["afterprint", false]]) {
  addEventListener(when, () => { app.isPrinting = isPrinting; app.draws(); });
}
app.server.start();
