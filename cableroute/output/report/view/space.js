import { Eye, NAMES } from "./eye.js";
import { hold, zoomButton } from "./hands.js";

// The runs in space, drawn as SVG and turned by hand: `draw(at, scene)` with `at` holding `svg`,
// `seen` (says how it is turned) and `key` (a list). What a scene lacks is not drawn.

const NS = "http://www.w3.org/2000/svg";
const RED = "#a3200d", GREY = "#8a8a8a", INK = "#222222", QUIET = "#595959", SHEET = "#fbfbfa";
const FACES = [[0, 1, 3, 2], [4, 5, 7, 6], [0, 1, 5, 4], [2, 3, 7, 6], [0, 2, 6, 4], [1, 3, 7, 5]];
const SPOTS = [[9, -8, 0], [9, 17, 0], [-9, -8, 1], [-9, 17, 1], [9, 5, 0], [-9, 5, 1],
               [0, -12, 0.5], [0, 22, 0.5]];
const between = (a, b) => a.map((value, axis) => (value + b[axis]) / 2);
const boxCorners = ({ low, high }) => [0, 1, 2, 3, 4, 5, 6, 7].map(
  (n) => [0, 1, 2].map((axis) => ((n >> axis) & 1 ? high : low)[axis]));

export function add(parent, name, attributes, text) {
  const made = document.createElementNS(NS, name);
  for (const [key, value] of Object.entries(attributes || {})) made.setAttribute(key, value);
  if (text !== undefined) made.textContent = text;
  return parent.appendChild(made);
}

// Everything that a view must hold.
function everything(scene) {
  return [
    ...scene.cables.flatMap((cable) => [...cable.line, ...(cable.lay || []), ...cable.points.map((p) => p.at)]),
    ...scene.tubes.flatMap((tube) => [tube.start, tube.end]),
    ...scene.zones.flatMap((zone) => (zone.kind === "box" ? boxCorners(zone) : [zone.start, zone.end])),
    ...(scene.nodes || []).map((node) => node.at),
    ...(scene.ghosts || []).map((ghost) => ghost.at),
  ];
}

// A drawing of one scene: each part knows how to draw itself anew.
class Sheet {
  constructor(svg, eye) {
    Object.assign(this, { svg, eye, parts: [], labels: [], spots: [] });
  }

  line(points, attributes, diameter) {
    const made = add(this.svg, "path", { fill: "none", "stroke-linecap": "round",
                                         "stroke-linejoin": "round", ...attributes });
    this.parts.push(() => {
      made.setAttribute("d", this.eye.path(points));
      if (diameter) made.setAttribute("stroke-width", Math.max(diameter * this.eye.scale, 1.5).toFixed(2));
    });
  }

  zone(solid) {
    if (solid.kind === "box") {
      const corners = boxCorners(solid);
      for (const face of FACES) {
        this.line([...face, face[0]].map((n) => corners[n]),
                  { class: "zone face", stroke: RED, fill: RED, "fill-opacity": 0.06, "stroke-width": 0.8 });
      }
    } else {  // a bar with round ends is a thick line with round ends, from wherever it is seen
      this.line([solid.start, solid.end], { class: "zone", stroke: RED, "stroke-opacity": 0.22 }, solid.diameter);
      this.line([solid.start, solid.end],
                { class: "zone", stroke: RED, "stroke-width": 1, "stroke-dasharray": "6 4" });
    }
  }

  label(text, point, weight, quiet) {
    const made = add(this.svg, "text", {
      class: quiet ? "word quiet" : "word", "font-size": quiet ? 12 : 13, fill: quiet ? QUIET : INK,
      stroke: SHEET, "stroke-width": 3, "paint-order": "stroke", "font-style": quiet ? "italic" : "normal",
    }, text);
    this.labels.push({ made, point, weight, wide: 0 });
  }

  layLabels() {
    const { eye } = this;
    const taken = this.spots.map((spot) => eye.place(spot.at)).map(([x, y]) => [x - 5, y - 5, 10, 10]);
    for (const each of this.labels) {
      each.wide = each.wide || each.made.getComputedTextLength();
      const [x, y] = eye.place(each.point);
      const boxes = SPOTS.map(([dx, dy, left]) => [x + dx - left * each.wide, y + dy - 12, each.wide, 16]);
      const free = boxes.find(([bx, by, w, h]) => bx > 2 && by > 2 && bx + w < eye.wide - 2
        && by + h < eye.high - 2
        && taken.every(([tx, ty, tw, th]) => bx + w < tx || tx + tw < bx || by + h < ty || ty + th < by));
      each.made.setAttribute("visibility", free ? "visible" : "hidden");
      if (free) {
        taken.push(free);
        each.made.setAttribute("x", free[0].toFixed(1));
        each.made.setAttribute("y", (free[1] + 12).toFixed(1));
      }
    }
  }

  mark(spot, attributes, fix, size) {
    const made = fix === "anchor"
      ? add(this.svg, "rect", { width: 2 * size, height: 2 * size, ...attributes })
      : add(this.svg, "circle", { r: size, ...attributes });
    this.parts.push(() => {
      const [x, y] = this.eye.place(spot.at);
      const names = fix === "anchor" ? [["x", x - size], ["y", y - size]] : [["cx", x], ["cy", y]];
      for (const [name, value] of names) made.setAttribute(name, value.toFixed(1));
    });
  }

  point(spot, cable, number) {
    const ring = spot.fix === "clip";
    const look = { class: `cable-${number} ${ring ? "hollow" : "solid"}`, stroke: cable.colour,
                   fill: ring ? "#ffffff" : cable.colour, "stroke-width": 2 };
    this.mark(spot, look, spot.fix, spot.fix === "none" ? 2.5 : 4.5);
    if (spot.chosen) {
      this.mark(spot, { class: "chosen", fill: "none", stroke: INK, "stroke-width": 1.5 }, "clip", 10);
    }
    this.spots.push(spot);
  }

  cable(cable, number) {
    const look = { class: `cable-${number}`, stroke: cable.colour };
    if (cable.lay) this.line(cable.lay, { ...look, "stroke-width": 1.6, "stroke-dasharray": "7 4" });
    this.line(cable.line, look, Math.max(cable.diameter, 1));
    for (const arc of cable.tight) {
      this.line(arc, { class: "gap", stroke: "#ffffff", "stroke-width": 1.5, "stroke-dasharray": "4 5" });
    }
    if (cable.nearest) {
      this.line(cable.nearest.line, { class: "nearest", stroke: INK, "stroke-width": 1.2 });
      this.label(cable.nearest.words, cable.nearest.line[cable.nearest.line.length >> 1], 0.5, true);
    }
    for (const clip of cable.clips || []) {
      this.mark(clip, { ...look, class: `cable-${number} hollow`, fill: "#ffffff", "stroke-dasharray": "2 2" }, "clip", 4.5);
    }
    for (const spot of cable.points) this.point(spot, cable, number);
    for (const spot of cable.points) this.label(spot.name, spot.at, spot.weight, false);
  }

  around(scene) {
    for (const each of scene.zones) this.zone(each);
    for (const tube of scene.tubes) {
      this.line([tube.start, tube.end], { class: "tube", stroke: GREY, "stroke-opacity": 0.35 }, tube.diameter);
    }
    for (const cable of scene.cables) {
      const shadow = cable.line.map(([x, y]) => [x, y, this.eye.lowest[2]]);
      this.line(shadow, { class: "shadow", stroke: GREY, "stroke-width": 1, "stroke-dasharray": "1 4" });
    }
    for (const node of scene.nodes || []) {
      this.mark(node, { class: "node", fill: "none", stroke: QUIET, "stroke-width": 1.2 }, "none", 3);
      this.label(node.name, node.at, 0, true);
    }
    for (const each of scene.zones) {
      const middle = each.kind === "box" ? between(each.low, each.high) : between(each.start, each.end);
      this.label(each.name, middle, 1, true);
    }
    for (const tube of scene.tubes) this.label(tube.name, between(tube.start, tube.end), 0, true);
  }

  extra(scene) {
    for (const ghost of scene.ghosts || []) {
      this.mark(ghost, { class: "ghost", fill: SHEET, stroke: INK, "stroke-width": 1.5, "stroke-dasharray": "3 2" }, "clip", 8);
      this.label(ghost.name, ghost.at, 20, false);
    }
    if (scene.cursor) {
      this.mark({ at: scene.cursor }, { class: "cursor", fill: "none", stroke: RED, "stroke-width": 2 }, "clip", 7);
    }
  }

  trihedron() {
    const { eye } = this;
    for (const [name, way] of [["x forward", [1, 0, 0]], ["y left", [0, 1, 0]], ["z up", [0, 0, 1]]]) {
      const arm = add(this.svg, "path", { class: "arm", stroke: QUIET, "stroke-width": 1.6 });
      const word = add(this.svg, "text", { class: "plain quiet", "font-size": 11, fill: QUIET }, name);
      this.parts.push(() => {
        const along = (to) => to[0] * way[0] + to[1] * way[1] + to[2] * way[2];
        const [x, y] = [along(eye.across), -along(eye.up)], [ox, oy] = [62, eye.high - 48];
        arm.setAttribute("d", `M${ox} ${oy}L${(ox + 26 * x).toFixed(1)} ${(oy + 26 * y).toFixed(1)}`);
        word.setAttribute("x", (ox + 31 * x).toFixed(1));
        word.setAttribute("y", (oy + 31 * y + 4).toFixed(1));
        word.setAttribute("text-anchor", x < -0.2 ? "end" : x > 0.2 ? "start" : "middle");
        word.setAttribute("visibility", Math.hypot(x, y) > 0.15 ? "visible" : "hidden");
      });
    }
  }

  scaleBar(scene) {
    const { eye } = this;
    const bar = add(this.svg, "path", { class: "bar", stroke: INK, "stroke-width": 2, fill: "none" });
    const word = add(this.svg, "text", { class: "plain", "font-size": 12, fill: INK, "text-anchor": "end" });
    this.parts.push(() => {
      const most = 130 / (eye.scale * scene.mm_per_unit), ten = 10 ** Math.floor(Math.log10(most));
      const length = ten * [5, 2, 1].find((n) => n * ten <= most);
      const [right, y] = [eye.wide - 14, eye.high - 12];
      const left = right - length * scene.mm_per_unit * eye.scale;
      bar.setAttribute("d", `M${left.toFixed(1)} ${y - 5}V${y}H${right}V${y - 5}`);
      word.textContent = `${Number(length.toPrecision(3))} ${scene.unit}`;
      word.setAttribute("x", right);
      word.setAttribute("y", y - 10);
    });
  }

  build(scene) {
    this.around(scene);
    scene.cables.forEach((cable, number) => this.cable(cable, cable.number ?? number));
    this.extra(scene);
    this.labels.sort((a, b) => b.weight - a.weight);
    this.trihedron();
    this.scaleBar(scene);
  }

  redraw() {
    this.eye.look();
    for (const part of this.parts) part();
    this.layLabels();
  }
}

// Say what the lines mean.
function tellKey(list, scene) {
  list.replaceChildren();
  const entry = (text, attributes, over) => {
    const item = list.appendChild(document.createElement("li"));
    if (attributes) {
      const swatch = add(item, "svg", { viewBox: "0 0 32 10", "aria-hidden": "true" });
      add(swatch, "path", { d: "M1 5H31", ...attributes });
      if (over) add(swatch, "path", { d: "M1 5H31", ...over });
    }
    item.appendChild(document.createTextNode(text));
  };
  const look = (cable) => ({ class: `cable-${cable.number ?? scene.cables.indexOf(cable)}`, stroke: cable.colour });
  for (const cable of scene.cables) entry(cable.name, { ...look(cable), "stroke-width": 5 });
  const [tight, lay] = [(cable) => cable.tight.length, (cable) => cable.lay].map((is) => scene.cables.find(is));
  if (lay) entry("left to itself", { ...look(lay), "stroke-width": 1.6, "stroke-dasharray": "7 4" });
  if (tight) {
    entry("bend too tight", { ...look(tight), "stroke-width": 5 },
          { class: "gap", stroke: "#ffffff", "stroke-width": 1.5, "stroke-dasharray": "4 5" });
  }
  if (scene.tubes.length) entry("tube", { class: "tube", stroke: GREY, "stroke-opacity": 0.35, "stroke-width": 8 });
  if (scene.zones.length) entry("keep out", { class: "zone", stroke: RED, "stroke-opacity": 0.3, "stroke-width": 8 });
  for (const [text, fix] of [["square: anchor", "anchor"], ["ring: clip", "clip"]]) {
    if (scene.cables.some((cable) => cable.points.some((p) => p.fix === fix))) entry(text);
  }
  if (scene.cables.some((cable) => (cable.clips || []).length)) entry("broken ring: clip suggested");
}

export function draw(at, first, on = {}) {
  const { svg, seen } = at, eye = new Eye();
  let scene = first, sheet = null, waiting = false;
  const redraw = () => {
    sheet.redraw();
    svg.dataset.view = [eye.turn, eye.tilt, eye.scale, eye.x, eye.y].map((v) => v.toFixed(3)).join(" ");
  };
  const soon = () => {
    if (waiting) return;
    waiting = true;
    requestAnimationFrame(() => { waiting = false; redraw(); });
  };
  const say = (words) => { seen.textContent = `${words || ""} ${eye.words}`.trim(); };
  const show = (view) => { eye.show(view); redraw(); say(NAMES[view]); };
  const update = (next) => {
    scene = next;
    svg.replaceChildren();
    sheet = new Sheet(svg, eye);
    if (!eye.own) eye.about(everything(scene));
    sheet.build(scene);
    tellKey(at.key, scene);
    if (!eye.own) eye.fit();
    redraw();
  };
  const measure = () => {
    const frame = svg.getBoundingClientRect();
    if (!frame.width) return;
    [eye.wide, eye.high] = [frame.width, frame.height];
    svg.setAttribute("viewBox", `0 0 ${eye.wide} ${eye.high}`);
    if (!eye.own) eye.fit();
    redraw();
  };
  const take = on.take ? (event) => on.take(event, eye, scene) : undefined;
  hold(svg, eye, { soon, say, show, take });
  update(scene);
  measure();
  show("reset");
  new ResizeObserver(measure).observe(svg);
  return { eye, show, update, zoom: (way) => zoomButton(eye, way, soon) };
}
