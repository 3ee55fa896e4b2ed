/**
 * Drawing over a photo with a finger, a mouse or the keys. Everything is in fractions of the photo's width and height.
 *
 * @typedef {{kind: "ring"|"arrow"|"line"|"box", points: [number, number][], label?: string}} Shape
 */

const SVG = "http://www.w3.org/2000/svg";
const STROKE = 1 / 130; // of the longer side, as on paper
const STEP = 0.01;
const LEAST = 0.01; // a drag shorter than this is a slip of the finger

export class Drawing {
  #svg;
  #wide;
  #high;
  #cross;
  #at = [0.5, 0.5];
  #open = null;

  /**
   * @param {HTMLElement} box that holds the picture
   * @param {{kind: () => string, label: () => string, say: (what: string, values: object) => void, name: string}} more
   */
  constructor(box, more) {
    this.more = more;
    this.shapes = [];
    this.#wide = Number(box.dataset.width);
    this.#high = Number(box.dataset.height);
    this.#svg = document.createElementNS(SVG, "svg");
    this.#svg.setAttribute("viewBox", `0 0 ${this.#wide} ${this.#high}`);
    this.#svg.setAttribute("class", "drawn drawing");
    this.#svg.setAttribute("tabindex", "0");
    this.#svg.setAttribute("role", "application");
    this.#svg.setAttribute("aria-label", more.name);
    box.querySelector(".photo").append(this.#svg);
    this.#svg.addEventListener("pointerdown", (event) => this.#down(event));
    this.#svg.addEventListener("pointermove", (event) => this.#move(event));
    this.#svg.addEventListener("pointerup", (event) => this.#up(event));
    this.#svg.addEventListener("pointercancel", () => this.#up());
    this.#svg.addEventListener("keydown", (event) => this.#key(event));
    this.#svg.addEventListener("focus", () => this.show());
    this.#svg.addEventListener("blur", () => this.show());
  }

  /** @param {Shape[]} shapes */
  set(shapes) {
    this.shapes = [...shapes];
    this.#open = null;
    this.show();
  }

  undo() {
    if (this.#open) this.#open = null;
    else this.shapes.pop();
    this.more.say("gone", { n: this.shapes.length });
    this.show();
  }

  remove() {
    this.#svg.remove();
  }

  #place({ clientX, clientY }) {
    const box = this.#svg.getBoundingClientRect();
    const inside = (value) => Math.min(1, Math.max(0, Math.round(value * 10000) / 10000));
    return [inside((clientX - box.left) / box.width), inside((clientY - box.top) / box.height)];
  }

  #down(event) {
    event.preventDefault();
    this.#svg.setPointerCapture(event.pointerId);
    this.#at = this.#place(event);
    this.#open = { kind: this.more.kind(), points: [this.#at, this.#at], drag: true };
    this.show();
  }

  #move(event) {
    if (!this.#open?.drag) return;
    const at = this.#place(event);
    const points = this.#open.points;
    if (this.#open.kind !== "line") points[1] = at;
    else if (far(points.at(-1), at) >= LEAST && points.length < 200) points.push(at);
    this.#at = at;
    this.show();
  }

  #up(event) {
    if (!this.#open?.drag) return;
    if (event) this.#move(event); // a quick stroke may end where no move was told
    const shape = this.#open;
    this.#open = null;
    this.#finish(shape);
  }

  #finish({ kind, points }) {
    const kept = kind === "line" ? points.filter((each, i) => i === 0 || far(points[i - 1], each) > 0) : points;
    const long = kept.length > 1 && kept.some((each) => far(kept[0], each) >= LEAST);
    if (long) {
      this.shapes.push({ kind, points: kept, label: this.more.label() });
      this.more.say("done", { n: this.shapes.length });
    }
    this.show();
  }

  #key(event) {
    const step = event.shiftKey ? STEP * 5 : STEP;
    const moves = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, -step], ArrowDown: [0, step] };
    if (event.key in moves) {
      const [x, y] = moves[event.key];
      const inside = (value) => Math.min(1, Math.max(0, Math.round(value * 10000) / 10000));
      this.#at = [inside(this.#at[0] + x), inside(this.#at[1] + y)];
      if (this.#open) this.#open.points[this.#open.points.length - 1] = this.#at;
      this.more.say("at", { x: Math.round(this.#at[0] * 100), y: Math.round(this.#at[1] * 100) });
    } else if (event.key === "Enter" || event.key === " ") this.#press();
    else if (event.key === "Backspace" || event.key === "Delete") this.undo();
    else if (event.key === "Escape" && this.#open) this.#open = null;
    else return;
    event.preventDefault();
    this.show();
  }

  #press() {
    const open = this.#open;
    if (!open) {
      this.#open = { kind: this.more.kind(), points: [this.#at, this.#at] };
      this.more.say("begin", {});
      return;
    }
    const [last, before] = [open.points.at(-1), open.points.at(-2)];
    if (open.kind === "line" && far(last, before) > 0) {
      open.points.push(this.#at);
      return;
    }
    this.#open = null;
    this.#finish(open);
  }

  show() {
    const drawn = [...this.shapes, ...(this.#open ? [this.#open] : [])].flatMap((each) => this.#draw(each));
    this.#svg.replaceChildren(...drawn, ...this.#crosshair());
  }

  #crosshair() {
    if (document.activeElement !== this.#svg || !this.#svg.matches(":focus-visible")) return [];
    const [x, y] = [this.#at[0] * this.#wide, this.#at[1] * this.#high];
    const arm = Math.max(this.#wide, this.#high) * 0.025;
    return this.#twice(`M${x - arm},${y}H${x + arm}M${x},${y - arm}V${y + arm}`);
  }

  #draw({ kind, points, label }) {
    const at = points.map(([x, y]) => [x * this.#wide, y * this.#high]);
    if (kind === "box") return [element("rect", { class: "mask-box", ...rectangle(at[0], at[1]) })];
    const found = this.#twice(SHAPES[kind](at, Math.max(this.#wide, this.#high) * STROKE));
    if (label) found.push(this.#text(kind, at, label));
    return found;
  }

  #twice(path) {
    const stroke = Math.max(this.#wide, this.#high) * STROKE;
    return [
      element("path", { class: "mark-under", "stroke-width": 2.5 * stroke, d: path }),
      element("path", { class: "mark-over", "stroke-width": stroke, d: path }),
    ];
  }

  #text(kind, at, label) {
    const longer = Math.max(this.#wide, this.#high);
    const size = Math.min(longer / 24, this.#wide / (0.62 * label.length + 0.5));
    const away = 1.5 * longer * STROKE;
    let [x, y] = kind === "line" ? at.at(-1) : at[0];
    if (kind === "ring") [x, y] = [Math.min(at[0][0], at[1][0]) - away, Math.max(at[0][1], at[1][1])];
    x = Math.max(0, Math.min(x + away, this.#wide - 0.62 * label.length * size));
    y = Math.max(0, Math.min(y + away, this.#high - 1.3 * size)) + size;
    const text = element("text", { class: "mark-label", "stroke-width": 1.4 * longer * STROKE, x, y, "font-size": size });
    text.textContent = label;
    return text;
  }
}

const far = ([x1, y1], [x2, y2]) => Math.hypot(x2 - x1, y2 - y1);

const rectangle = ([x1, y1], [x2, y2]) => ({
  x: Math.min(x1, x2),
  y: Math.min(y1, y2),
  width: Math.abs(x2 - x1),
  height: Math.abs(y2 - y1),
});

function element(name, attributes) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  return made;
}

const SHAPES = {
  ring([[x1, y1], [x2, y2]]) {
    const [rx, ry] = [Math.abs(x2 - x1) / 2, Math.abs(y2 - y1) / 2];
    return `M${Math.min(x1, x2)},${(y1 + y2) / 2}a${rx},${ry} 0 1,0 ${2 * rx},0a${rx},${ry} 0 1,0 ${-2 * rx},0`;
  },
  arrow([[x1, y1], [x2, y2]], stroke) {
    const back = Math.atan2(y1 - y2, x1 - x2);
    const head = Math.min(5 * stroke, Math.hypot(x2 - x1, y2 - y1));
    const [a, b] = [-Math.PI / 6, Math.PI / 6].map((turn) => [
      x2 + head * Math.cos(back + turn),
      y2 + head * Math.sin(back + turn),
    ]);
    return `M${x1},${y1}L${x2},${y2}M${a}L${x2},${y2}L${b}`;
  },
  line: (points) => `M${points.map((each) => each.join(",")).join("L")}`,
};
