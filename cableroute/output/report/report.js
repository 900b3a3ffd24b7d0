
"use strict";
// The runs in space: seen without perspective, so that parallel tubes stay parallel and lengths
// square to the eye are true. x forward, y left, z up, as in the file.
(() => {
  const scene = JSON.parse(document.getElementById("scene").textContent);
  const svg = document.getElementById("space");
  const seen = document.getElementById("space-seen");
  const NS = "http://www.w3.org/2000/svg";
  const TURN = 5, ZOOM = 1.2, STEP = 24, MARGIN = 56;
  const VIEWS = { plan: [0, 90], side: [0, 0], front: [90, 0], reset: [45, 35.264] };
  const NAMES = { plan: "Plan, from above.", side: "From the right.", front: "From ahead.",
                  reset: "From ahead, right and above." };
  const eye = { turn: 45, tilt: 35.264, scale: 1, x: 0, y: 0 };
  let size = { wide: 600, high: 400 }, axes = null;

  const add = (parent, name, attributes, text) => {
    const made = document.createElementNS(NS, name);
    for (const [key, value] of Object.entries(attributes || {})) made.setAttribute(key, value);
    if (text !== undefined) made.textContent = text;
    return parent.appendChild(made);
  };

  // -- geometry ---------------------------------------------------------------------------------

  const boxCorners = ({ low, high }) => [0, 1, 2, 3, 4, 5, 6, 7].map(
    (n) => [0, 1, 2].map((axis) => ((n >> axis) & 1 ? high : low)[axis]));
  const everything = [
    ...scene.cables.flatMap((cable) => [...cable.line, ...cable.points.map((p) => p.at)]),
    ...scene.tubes.flatMap((tube) => [tube.start, tube.end]),
    ...scene.zones.flatMap((zone) => (zone.kind === "box" ? boxCorners(zone) : [zone.start, zone.end])),
  ];
  const lowest = [0, 1, 2].map((axis) => everything.reduce((m, p) => Math.min(m, p[axis]), Infinity));
  const highest = [0, 1, 2].map((axis) => everything.reduce((m, p) => Math.max(m, p[axis]), -Infinity));
  const middle = lowest.map((low, axis) => (low + highest[axis]) / 2);

  const look = () => {
    const [a, e] = [eye.turn, eye.tilt].map((degrees) => (degrees * Math.PI) / 180);
    axes = {
      across: [Math.cos(a), Math.sin(a), 0],
      up: [-Math.sin(a) * Math.sin(e), Math.cos(a) * Math.sin(e), Math.cos(e)],
    };
  };
  const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
  const flat = (point) => {
    const from = point.map((value, axis) => value - middle[axis]);
    return [dot(from, axes.across), dot(from, axes.up)];
  };
  const place = (point) => {
    const [x, y] = flat(point);
    return [size.wide / 2 + eye.x + x * eye.scale, size.high / 2 + eye.y - y * eye.scale];
  };
  const path = (points) => "M" + points.map((p) => place(p).map((v) => v.toFixed(1)).join(" ")).join("L");

  const fit = () => {
    look();
    const shown = everything.map(flat);
    const [xs, ys] = [0, 1].map((axis) => shown.map((p) => p[axis]));
    const span = (values) => values.reduce((m, v) => Math.max(m, v), -Infinity)
      - values.reduce((m, v) => Math.min(m, v), Infinity);
    const centre = (values) => values.reduce((m, v) => Math.max(m, v), -Infinity) - span(values) / 2;
    eye.scale = Math.min(Math.max(size.wide - 2 * MARGIN, 80) / Math.max(span(xs), 1),
                         Math.max(size.high - 2 * MARGIN, 80) / Math.max(span(ys), 1));
    eye.x = -centre(xs) * eye.scale;
    eye.y = centre(ys) * eye.scale;
  };

  // -- what is drawn: each part knows how to draw itself anew -------------------------------------

  const parts = [];
  const line = (points, attributes, diameter) => {
    const made = add(svg, "path", { fill: "none", "stroke-linecap": "round",
                                    "stroke-linejoin": "round", ...attributes });
    parts.push(() => {
      made.setAttribute("d", path(points));
      if (diameter) made.setAttribute("stroke-width", Math.max(diameter * eye.scale, 1.5).toFixed(2));
    });
  };
  const FACES = [[0, 1, 3, 2], [4, 5, 7, 6], [0, 1, 5, 4], [2, 3, 7, 6], [0, 2, 6, 4], [1, 3, 7, 5]];
  const zone = (solid) => {
    const red = { stroke: "#a3200d" };
    if (solid.kind === "box") {
      const corners = boxCorners(solid);
      for (const face of FACES) {
        line([...face, face[0]].map((n) => corners[n]),
             { ...red, fill: "#a3200d", "fill-opacity": 0.06, "stroke-width": 0.8 });
      }
    } else {  // a bar with round ends is a thick line with round ends, from wherever it is seen
      line([solid.start, solid.end], { ...red, "stroke-opacity": 0.22 }, solid.diameter);
      line([solid.start, solid.end], { ...red, "stroke-width": 1, "stroke-dasharray": "6 4" });
    }
  };

  const labels = [];
  const label = (text, point, weight, quiet) => {
    const made = add(svg, "text", {
      "font-size": quiet ? 12 : 13, fill: quiet ? "#595959" : "#222222", stroke: "#fbfbfa",
      "stroke-width": 3, "paint-order": "stroke", "font-style": quiet ? "italic" : "normal",
    }, text);
    labels.push({ made, point, weight, wide: 0 });
  };
  const SPOTS = [[9, -8, 0], [9, 17, 0], [-9, -8, 1], [-9, 17, 1], [9, 5, 0], [-9, 5, 1],
                 [0, -12, 0.5], [0, 22, 0.5]];
  const layLabels = () => {
    const taken = scene.cables.flatMap((cable) => cable.points.map((spot) => {
      const [x, y] = place(spot.at);
      return [x - 5, y - 5, 10, 10];
    }));
    for (const each of labels) {
      each.wide = each.wide || each.made.getComputedTextLength();
      const [x, y] = place(each.point);
      const boxes = SPOTS.map(([dx, dy, left]) => [x + dx - left * each.wide, y + dy - 12, each.wide, 16]);
      const free = boxes.find(([bx, by, w, h]) => bx > 2 && by > 2 && bx + w < size.wide - 2
        && by + h < size.high - 2
        && taken.every(([tx, ty, tw, th]) => bx + w < tx || tx + tw < bx || by + h < ty || ty + th < by));
      each.made.setAttribute("visibility", free ? "visible" : "hidden");
      if (free) {
        taken.push(free);
        each.made.setAttribute("x", free[0].toFixed(1));
        each.made.setAttribute("y", (free[1] + 12).toFixed(1));
      }
    }
  };

  const mark = (spot, colour) => {
    const made = spot.fix === "anchor"
      ? add(svg, "rect", { width: 9, height: 9 }) : add(svg, "circle", { r: spot.fix === "clip" ? 4.5 : 2.5 });
    made.setAttribute("fill", spot.fix === "clip" ? "#ffffff" : colour);
    made.setAttribute("stroke", colour);
    made.setAttribute("stroke-width", 2);
    parts.push(() => {
      const [x, y] = place(spot.at);
      const names = spot.fix === "anchor" ? [["x", x - 4.5], ["y", y - 4.5]] : [["cx", x], ["cy", y]];
      for (const [name, value] of names) made.setAttribute(name, value.toFixed(1));
    });
  };

  const trihedron = () => {
    const ways = [["x forward", [1, 0, 0]], ["y left", [0, 1, 0]], ["z up", [0, 0, 1]]];
    for (const [name, way] of ways) {
      const arm = add(svg, "path", { stroke: "#595959", "stroke-width": 1.6 });
      const word = add(svg, "text", { "font-size": 11, fill: "#595959" }, name);
      parts.push(() => {
        const [x, y] = [dot(way, axes.across), -dot(way, axes.up)];
        const [ox, oy] = [62, size.high - 48];
        arm.setAttribute("d", `M${ox} ${oy}L${(ox + 26 * x).toFixed(1)} ${(oy + 26 * y).toFixed(1)}`);
        word.setAttribute("x", (ox + 31 * x).toFixed(1));
        word.setAttribute("y", (oy + 31 * y + 4).toFixed(1));
        word.setAttribute("text-anchor", x < -0.2 ? "end" : x > 0.2 ? "start" : "middle");
        word.setAttribute("visibility", Math.hypot(x, y) > 0.15 ? "visible" : "hidden");
      });
    }
  };
  const scaleBar = () => {
    const bar = add(svg, "path", { stroke: "#222222", "stroke-width": 2, fill: "none" });
    const word = add(svg, "text", { "font-size": 12, fill: "#222222", "text-anchor": "end" });
    parts.push(() => {
      const most = 130 / (eye.scale * scene.mm_per_unit), ten = 10 ** Math.floor(Math.log10(most));
      const length = ten * [5, 2, 1].find((n) => n * ten <= most);
      const [right, y] = [size.wide - 14, size.high - 12];
      const left = right - length * scene.mm_per_unit * eye.scale;
      bar.setAttribute("d", `M${left.toFixed(1)} ${y - 5}V${y}H${right}V${y - 5}`);
      word.textContent = `${Number(length.toPrecision(3))} ${scene.unit}`;
      word.setAttribute("x", right);
      word.setAttribute("y", y - 10);
    });
  };

  const build = () => {
    for (const each of scene.zones) zone(each);
    for (const tube of scene.tubes) {
      line([tube.start, tube.end], { stroke: "#8a8a8a", "stroke-opacity": 0.35 }, tube.diameter);
    }
    for (const cable of scene.cables) {
      const shadow = cable.line.map(([x, y]) => [x, y, lowest[2]]);
      line(shadow, { stroke: "#8a8a8a", "stroke-width": 1, "stroke-dasharray": "1 4" });
    }
    for (const cable of scene.cables) {
      line(cable.line, { stroke: cable.colour }, Math.max(cable.diameter, 1));
      for (const arc of cable.tight) {
        line(arc, { stroke: "#ffffff", "stroke-width": 1.5, "stroke-dasharray": "4 5" });
      }
      for (const spot of cable.points) mark(spot, cable.colour);
    }
    for (const cable of scene.cables) {
      for (const spot of cable.points) label(spot.name, spot.at, spot.weight, false);
    }
    const between = (a, b) => a.map((value, axis) => (value + b[axis]) / 2);
    for (const each of scene.zones) {
      label(each.name, each.kind === "box" ? between(each.low, each.high)
        : between(each.start, each.end), 1, true);
    }
    for (const tube of scene.tubes) label(tube.name, between(tube.start, tube.end), 0, true);
    labels.sort((a, b) => b.weight - a.weight);
    trihedron();
    scaleBar();
  };

  const key = () => {
    const list = document.getElementById("space-key");
    const entry = (text, attributes, doubled) => {
      const item = list.appendChild(document.createElement("li"));
      const swatch = add(item, "svg", { viewBox: "0 0 32 10", "aria-hidden": "true" });
      add(swatch, "path", { d: "M1 5H31", ...attributes });
      if (doubled) add(swatch, "path", { d: "M1 5H31", ...doubled });
      item.appendChild(document.createTextNode(text));
    };
    for (const cable of scene.cables) entry(cable.name, { stroke: cable.colour, "stroke-width": 5 });
    const tight = scene.cables.find((cable) => cable.tight.length);
    if (tight) {
      entry("bend too tight", { stroke: tight.colour, "stroke-width": 5 },
            { stroke: "#ffffff", "stroke-width": 1.5, "stroke-dasharray": "4 5" });
    }
    if (scene.tubes.length) entry("tube", { stroke: "#8a8a8a", "stroke-opacity": 0.35, "stroke-width": 8 });
    if (scene.zones.length) entry("keep out", { stroke: "#a3200d", "stroke-opacity": 0.3, "stroke-width": 8 });
    const spots = [["square: anchor", "anchor"], ["ring: clip", "clip"]];
    for (const [text, fix] of spots) {
      if (scene.cables.some((cable) => cable.points.some((p) => p.fix === fix))) {
        list.appendChild(document.createElement("li")).textContent = text;
      }
    }
  };

  // -- turning it -----------------------------------------------------------------------------

  let waiting = false;
  const redraw = () => {
    look();
    for (const part of parts) part();
    layLabels();
    svg.dataset.view = [eye.turn, eye.tilt, eye.scale, eye.x, eye.y].map((v) => v.toFixed(3)).join(" ");
  };
  const soon = () => {
    if (waiting) return;
    waiting = true;
    requestAnimationFrame(() => { waiting = false; redraw(); });
  };
  const say = (words) => {
    const round = ((Math.round(eye.turn) % 360) + 360) % 360;
    const tilt = Math.round(eye.tilt), way = tilt < 0 ? "up" : "down";
    seen.textContent = `${words || ""} Turned ${round}°, looking ${way} ${Math.abs(tilt)}°.`.trim();
  };
  const show = (view) => {
    [eye.turn, eye.tilt] = VIEWS[view];
    fit();
    redraw();
    say(NAMES[view]);
  };
  const turn = (across, down) => {
    eye.turn -= across;
    eye.tilt = Math.min(90, Math.max(-90, eye.tilt + down));
    soon();
  };
  const zoom = (factor, x = size.wide / 2, y = size.high / 2) => {
    const scale = Math.min(Math.max(eye.scale * factor, 1e-4), 50);
    const ratio = scale / eye.scale;
    eye.x = (eye.x - x + size.wide / 2) * ratio + x - size.wide / 2;
    eye.y = (eye.y - y + size.high / 2) * ratio + y - size.high / 2;
    eye.scale = scale;
    soon();
  };
  const move = (x, y) => { eye.x += x; eye.y += y; soon(); };

  const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
  svg.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const way = ARROWS[event.key];
    if (way && event.shiftKey) move(way[0] * STEP, way[1] * STEP);
    else if (way) turn(way[0] * TURN, way[1] * TURN);
    else if (event.key === "+" || event.key === "=") zoom(ZOOM);
    else if (event.key === "-" || event.key === "_") zoom(1 / ZOOM);
    else if (event.key === "Home" || event.key === "0") show("reset");
    else return;
    event.preventDefault();
    if (way && !event.shiftKey) say();
  });

  const fingers = new Map();
  const spread = () => {
    const [a, b] = [...fingers.values()];
    return { apart: Math.hypot(a[0] - b[0], a[1] - b[1]), x: (a[0] + b[0]) / 2, y: (a[1] + b[1]) / 2 };
  };
  svg.addEventListener("pointerdown", (event) => {
    if (event.button) return;
    svg.setPointerCapture(event.pointerId);
    svg.focus({ preventScroll: true });
    fingers.set(event.pointerId, [event.clientX, event.clientY]);
  });
  svg.addEventListener("pointermove", (event) => {
    const last = fingers.get(event.pointerId);
    if (!last) return;
    const before = fingers.size === 2 ? spread() : null;
    fingers.set(event.pointerId, [event.clientX, event.clientY]);
    if (before) {
      const after = spread(), frame = svg.getBoundingClientRect();
      zoom(after.apart / Math.max(before.apart, 1), after.x - frame.left, after.y - frame.top);
      move(after.x - before.x, after.y - before.y);
    } else if (fingers.size === 1) {
      const [x, y] = [event.clientX - last[0], event.clientY - last[1]];
      if (event.shiftKey) move(x, y); else turn(x * 0.4, y * 0.4);
    }
  });
  for (const end of ["pointerup", "pointercancel"]) {
    svg.addEventListener(end, (event) => { if (fingers.delete(event.pointerId)) say(); });
  }
  svg.addEventListener("wheel", (event) => {
    if (document.activeElement !== svg && !event.ctrlKey) return;  // else the page scrolls on
    event.preventDefault();
    const frame = svg.getBoundingClientRect();
    zoom(Math.exp(-event.deltaY * (event.deltaMode ? 0.05 : 0.0015)),
         event.clientX - frame.left, event.clientY - frame.top);
  }, { passive: false });

  for (const button of document.querySelectorAll("[data-view]:not(svg)")) {
    button.addEventListener("click", () => show(button.dataset.view));
  }
  for (const button of document.querySelectorAll("[data-zoom]")) {
    button.addEventListener("click", () => zoom(button.dataset.zoom === "in" ? ZOOM : 1 / ZOOM));
  }

  const measure = () => {
    const frame = svg.getBoundingClientRect();
    if (!frame.width) return;
    size = { wide: frame.width, high: frame.height };
    svg.setAttribute("viewBox", `0 0 ${size.wide} ${size.high}`);
    fit();
    redraw();
  };
  document.getElementById("turn").hidden = false;
  build();
  key();
  measure();
  show("reset");
  window.addEventListener("resize", measure);
  document.documentElement.dataset.ready = "1";
})();
