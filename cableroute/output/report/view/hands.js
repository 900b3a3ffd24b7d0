// Keys, fingers, mouse and wheel turn, move and zoom the view. `on.take(event)` may take a press
// for itself by returning {move(dx, dy, event), end()}; else the press turns the picture.

const TURN = 5, ZOOM = 1.2, STEP = 24;
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

export function zoomButton(eye, way, soon) {
  eye.zoomBy(way === "in" ? ZOOM : 1 / ZOOM);
  soon();
}

export function hold(svg, eye, { soon, say, show, take = () => null }) {
  svg.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const way = ARROWS[event.key];
    if (way && event.shiftKey) eye.moveBy(way[0] * STEP, way[1] * STEP);
    else if (way) eye.turnBy(way[0] * TURN, way[1] * TURN);
    else if (event.key === "+" || event.key === "=") eye.zoomBy(ZOOM);
    else if (event.key === "-" || event.key === "_") eye.zoomBy(1 / ZOOM);
    else if (event.key === "Home" || event.key === "0") show("reset");
    else return;
    event.preventDefault();
    soon();
    if (way && !event.shiftKey) say();
  });
  byPointer(svg, eye, { soon, say, take });
  svg.addEventListener("wheel", (event) => {
    if (document.activeElement !== svg && !event.ctrlKey) return;  // else the page scrolls on
    event.preventDefault();
    const frame = svg.getBoundingClientRect();
    eye.zoomBy(Math.exp(-event.deltaY * (event.deltaMode ? 0.05 : 0.0015)),
               event.clientX - frame.left, event.clientY - frame.top);
    soon();
  }, { passive: false });
}

function byPointer(svg, eye, { soon, say, take }) {
  const fingers = new Map();
  let taken = null;
  const spread = () => {
    const [a, b] = [...fingers.values()];
    return { apart: Math.hypot(a[0] - b[0], a[1] - b[1]), x: (a[0] + b[0]) / 2, y: (a[1] + b[1]) / 2 };
  };
  const pinch = (before) => {
    const after = spread(), frame = svg.getBoundingClientRect();
    eye.zoomBy(after.apart / Math.max(before.apart, 1), after.x - frame.left, after.y - frame.top);
    eye.moveBy(after.x - before.x, after.y - before.y);
  };
  svg.addEventListener("pointerdown", (event) => {
    if (event.button) return;
    svg.setPointerCapture(event.pointerId);
    svg.focus({ preventScroll: true });
    if (!fingers.size) taken = take(event);
    fingers.set(event.pointerId, [event.clientX, event.clientY]);
  });
  svg.addEventListener("pointermove", (event) => {
    const last = fingers.get(event.pointerId);
    if (!last) return;
    const before = fingers.size === 2 ? spread() : null;
    const [x, y] = [event.clientX - last[0], event.clientY - last[1]];
    fingers.set(event.pointerId, [event.clientX, event.clientY]);
    if (before) pinch(before);
    else if (taken) taken.move(x, y, event);
    else if (fingers.size === 1 && event.shiftKey) eye.moveBy(x, y);
    else if (fingers.size === 1) eye.turnBy(x * 0.4, y * 0.4);
    soon();
  });
  for (const end of ["pointerup", "pointercancel"]) {
    svg.addEventListener(end, (event) => {
      if (!fingers.delete(event.pointerId)) return;
      if (taken) taken.end(end === "pointerup");
      else say();
      taken = null;
    });
  }
}
