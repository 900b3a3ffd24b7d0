// The run in space beside the readings: what is chosen is marked, points are dragged, places tapped.

import { app } from "./app.js";
import { draw } from "/view/space.js";
import { button } from "./fields.js";
import { wayOf } from "./points.js";
import { ghosts, takeSide } from "./tapes.js";

import { feetInches, length, PER } from "./words.js";

const NEAR = 16, SQUARE = ["plan", "side", "front"];
const EMPTY = { unit: "mm", mm_per_unit: 1, cables: [], tubes: [], zones: [], nodes: [] };
// What a tape is read to, in mm.
const STEPS = { mm: 1, cm: 1, m: 1, in: 25.4 / 16, ft: 25.4 / 16 };
let view = null, drawn = "";

function scene() {
  const { answer } = app;
  if (!answer) return { ...EMPTY, ghosts: ghosts() };
  const cables = answer.scene.cables.map((cable, i) => {
    const isHere = answer.cables[i] === app.cable;
    const points = cable.points.map((spot) => ({ ...spot, chosen: isHere && spot.row === app.row }));
    const { nearest } = cable;
    const words = nearest && `R ${length(nearest.radius_mm, app.unit)}, least ${length(nearest.least_mm, app.unit)}`;
    return { ...cable, points, nearest: isHere && nearest ? { ...nearest, words } : null };
  });
  return { ...answer.scene, cables, ghosts: ghosts(), cursor: app.cursor };
}

function near(event, eye, spots) {
  const frame = event.currentTarget.getBoundingClientRect();
  const [x, y] = [event.clientX - frame.left, event.clientY - frame.top];
  const far = (spot) => { const [a, b] = eye.place(spot.at); return Math.hypot(a - x, b - y); };
  const best = [...spots].sort((a, b) => far(a) - far(b))[0];
  return best && far(best) < NEAR ? best : null;
}

// A length as the tape would read it.
function asRead(mm) {
  const { unit } = app, step = STEPS[unit], snapped = Math.round(mm / step) * step;
  if (unit === "in" || unit === "ft") return feetInches(snapped).replaceAll("\u00a0", " ").replace("−", "-");
  return Number((snapped / PER[unit]).toFixed(3));
}

function take(event, eye, shown) {
  const ghost = near(event, eye, shown.ghosts || []);
  if (ghost) return { move: () => {}, end: (isWhole) => { if (isWhole) takeSide(ghost.side); } };
  const here = app.answer ? app.answer.cables.indexOf(app.cable) : -1;
  const spot = here < 0 ? null : near(event, eye, shown.cables[here].points);
  if (!spot) return null;
  const point = app.points[spot.row];
  const isFree = !app.draft && wayOf(point) === "at" && SQUARE.includes(eye.view);
  return drag(spot, isFree, eye);
}

function drag(spot, isFree, eye) {
  const path = ["cable", app.cable, "points", spot.row, "at"], far = [0, 0];
  const moved = () => {
    const way = eye.way(...far);
    return [0, 1, 2].filter((i) => Math.abs(way[i]) > 1e-9).map((i) => [i, asRead(spot.at[i] + way[i])]);
  };
  const isMoved = () => Math.hypot(...far) > 4;
  return {
    move(dx, dy) {
      far[0] += dx;
      far[1] += dy;
      if (isFree && isMoved()) for (const [i, text] of moved()) app.type([...path, i], String(text));
    },
    end(isWhole) {
      const ops = moved().map(([i, value]) => ({ op: "set", path: [...path, i], value }));
      for (const i of [0, 1, 2]) app.typed.delete(JSON.stringify([...path, i]));
      app.row = spot.row;
      if (isWhole && isFree && isMoved()) app.edit(ops);
      else app.change();
    },
  };
}

export function views() {
  const words = [["plan", "Plan"], ["side", "Side"], ["front", "Front"], ["reset", "Reset"]];
  return [words.map(([name, word]) => button(word, () => view.show(name))),
          button("+", () => view.zoom("in"), { "aria-label": "Zoom in" }),
          button("−", () => view.zoom("out"), { "aria-label": "Zoom out" })];
}

export function showView() {
  const now = scene(), key = JSON.stringify(now), svg = document.getElementById("space");
  svg.setAttribute("aria-label", `The runs in space: ${now.cables.map((cable) => cable.name).join(", ") || "none yet"}`);
  svg.classList.toggle("old", app.isOld);
  if (key === drawn) return;
  drawn = key;
  if (view) view.update(now);
  else view = draw({ svg, seen: document.getElementById("space-seen"), key: document.getElementById("space-key") }, now, { take });
}

