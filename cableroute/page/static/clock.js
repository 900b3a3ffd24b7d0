// A tube seen end-on, with a hand that is turned to where the conduit lies.

import { app } from "./app.js";
import { h } from "./tree.js";

const STEP = 5;

// What was typed as degrees, if it can be told: a number, `90 deg`, `3 o'clock`, `4:30`.
export function degreesOf(clock) {
  const text = String(clock ?? "").trim();
  const time = /^(\d{1,2})(?::(\d{2}))?\s*(o['’`]?\s?clock)?$/.exec(text);
  if (typeof clock === "string" && time && (time[2] || time[3])) return ((Number(time[1]) % 12) + Number(time[2] || 0) / 60) * 30;
  const bare = /^([+-]?[\d.]+)\s*(°|deg|degrees)?$/.exec(text);
  return bare ? Number(bare[1]) : 0;
}

function isUpright(tube) {
  const place = (node) => (app.answer ? (app.answer.scene.nodes.find((each) => each.name === node) || {}).at : null);
  const [a, b] = [place(tube.from), place(tube.to)];
  if (!a || !b) return false;
  const way = b.map((value, i) => value - a[i]);
  return Math.hypot(way[0], way[1]) < Math.hypot(...way) * Math.sin((5 * Math.PI) / 180);
}

function turned(event) {
  const frame = event.currentTarget.getBoundingClientRect();
  const [x, y] = [event.clientX - frame.left - frame.width / 2, event.clientY - frame.top - frame.height / 2];
  const degrees = (Math.atan2(x, -y) * 180) / Math.PI;
  return ((Math.round(degrees / STEP) * STEP) % 360 + 360) % 360;
}

export function clockFace(path, point) {
  const tube = (app.document.tubes || {})[point.on], clock = [...path, "clock"];
  if (!tube) return h("p", { class: "quiet" }, "Tubes are made under Frame.");
  const degrees = degreesOf(app.typed.get(JSON.stringify(clock)) ?? point.clock), radians = (degrees * Math.PI) / 180;
  const put = (value) => { app.typed.delete(JSON.stringify(clock)); app.set(clock, ((value % 360) + 360) % 360); };
  const [x, y] = [Math.sin(radians) * 66, -Math.cos(radians) * 66];
  const hours = [...Array(12).keys()].map((hour) => {
    const a = (hour * Math.PI) / 6;
    return h("text", { x: Math.sin(a) * 88, y: -Math.cos(a) * 88 + 4, "text-anchor": "middle", class: "plain" }, String(hour || 12));
  });
  const up = isUpright(tube) ? "forward" : "up";
  return h("figure", { class: "clock", key: "clock" },
    h("svg", {
      viewBox: "-104 -116 208 224", role: "slider", tabindex: "0", "aria-label": `clock on ${point.on}`,
      "aria-valuemin": "0", "aria-valuemax": "360", "aria-valuenow": String(Math.round(degrees)), "aria-valuetext": `${Math.round(degrees)} degrees, ${up} is 12`,
      onpointerdown: (event) => { event.currentTarget.setPointerCapture(event.pointerId); app.type(clock, String(turned(event))); },
      onpointermove: (event) => { if (event.buttons) app.type(clock, String(turned(event))); },
      onpointerup: () => app.commit(clock),
      onkeydown: (event) => {
        const by = { ArrowRight: STEP, ArrowUp: STEP, ArrowLeft: -STEP, ArrowDown: -STEP, PageUp: 30, PageDown: -30 }[event.key];
        if (by === undefined) return;
        event.preventDefault();
        put(degrees + by);
      },
    },
    h("circle", { r: 54, class: "tube-end" }), h("circle", { r: 44, class: "bore" }),
    h("path", { d: `M0 0L${x.toFixed(1)} ${y.toFixed(1)}`, class: "hand" }),
    h("circle", { cx: x.toFixed(1), cy: y.toFixed(1), r: 11, class: "conduit" }),
    h("path", { d: "M0 -30V-16M-4 -24L0 -30L4 -24", class: "hand" }),
    h("text", { y: -4, "text-anchor": "middle", class: "plain" }, up), hours),
    h("figcaption", null, `${point.on} end-on: you look from ${tube.from} towards ${tube.to}; ${up} is at 12. `,
      "Turn the hand, or use the arrow keys."));
}
