// Where the eye is: a view without perspective, so that parallel tubes stay parallel and lengths
// square to the eye are true. x forward, y left, z up, as in the file.

const MARGIN = 56;
export const VIEWS = { plan: [0, 90], side: [0, 0], front: [90, 0], reset: [45, 35.264] };
export const NAMES = { plan: "Plan, from above.", side: "From the right.", front: "From ahead.",
                       reset: "From ahead, right and above." };

const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const span = (values) => {
  const low = values.reduce((m, v) => Math.min(m, v), Infinity);
  const high = values.reduce((m, v) => Math.max(m, v), -Infinity);
  return values.length ? { low, wide: high - low, middle: (low + high) / 2 } : { low: 0, wide: 0, middle: 0 };
};

export class Eye {
  constructor() {
    Object.assign(this, { turn: 45, tilt: 35.264, scale: 1, x: 0, y: 0, wide: 600, high: 400 });
    this.own = false;  // whether somebody has set it otherwise than it sets itself
    this.about([]);
  }

  // Look at these points, about their middle.
  about(points) {
    this.points = points;
    const spans = [0, 1, 2].map((axis) => span(points.map((p) => p[axis])));
    this.middle = spans.map((each) => each.middle);
    this.lowest = spans.map((each) => each.low);
    this.look();
  }

  look() {
    const [a, e] = [this.turn, this.tilt].map((degrees) => (degrees * Math.PI) / 180);
    this.across = [Math.cos(a), Math.sin(a), 0];
    this.up = [-Math.sin(a) * Math.sin(e), Math.cos(a) * Math.sin(e), Math.cos(e)];
  }

  flat(point) {
    const from = point.map((value, axis) => value - this.middle[axis]);
    return [dot(from, this.across), dot(from, this.up)];
  }

  place(point) {
    const [x, y] = this.flat(point);
    return [this.wide / 2 + this.x + x * this.scale, this.high / 2 + this.y - y * this.scale];
  }

  path(points) {
    return "M" + points.map((p) => this.place(p).map((v) => v.toFixed(1)).join(" ")).join("L");
  }

  // The way in space that a way on the screen is, square to the eye.
  way(dx, dy) {
    return [0, 1, 2].map((i) => (this.across[i] * dx - this.up[i] * dy) / this.scale);
  }

  fit() {
    this.look();
    const shown = this.points.map((point) => this.flat(point));
    const [xs, ys] = [0, 1].map((axis) => span(shown.map((p) => p[axis])));
    this.scale = Math.min(Math.max(this.wide - 2 * MARGIN, 80) / Math.max(xs.wide, 1),
                          Math.max(this.high - 2 * MARGIN, 80) / Math.max(ys.wide, 1));
    this.x = -xs.middle * this.scale;
    this.y = ys.middle * this.scale;
  }

  show(view) {
    [this.turn, this.tilt] = VIEWS[view];
    this.own = false;
    this.fit();
  }

  turnBy(across, down) {
    this.turn -= across;
    this.tilt = Math.min(90, Math.max(-90, this.tilt + down));
    this.own = true;
  }

  zoomBy(factor, x = this.wide / 2, y = this.high / 2) {
    const scale = Math.min(Math.max(this.scale * factor, 1e-4), 50), ratio = scale / this.scale;
    this.x = (this.x - x + this.wide / 2) * ratio + x - this.wide / 2;
    this.y = (this.y - y + this.high / 2) * ratio + y - this.high / 2;
    this.scale = scale;
    this.own = true;
  }

  moveBy(x, y) {
    this.x += x;
    this.y += y;
    this.own = true;
  }

  // Square views are those in which a point can be moved along two axes truly.
  get view() {
    return Object.keys(VIEWS).find((name) => VIEWS[name][0] === this.turn && VIEWS[name][1] === this.tilt);
  }

  get words() {
    const round = ((Math.round(this.turn) % 360) + 360) % 360, tilt = Math.round(this.tilt);
    return `Turned ${round}°, looking ${tilt < 0 ? "up" : "down"} ${Math.abs(tilt)}°.`;
  }
}
