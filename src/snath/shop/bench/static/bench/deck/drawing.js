// The picture of a drawing: every pulley to scale where it stands, the belt as the bench laid it.

const SVG = "http://www.w3.org/2000/svg";
const MARGIN = 70; // mm round the outermost rims, for words
const FINGER = 24; // px, half the least width of what a thumb can hit
const WORDS = 14; // px

const put = (node, attributes) => { for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value); };
const make = (tag, attributes, parent) => {
  const node = document.createElementNS(SVG, tag);
  put(node, attributes);
  parent?.append(node);
  return node;
};

export class Drawing {
  constructor(svg, words) {
    this.svg = svg;
    this.words = words;
    this.way = make("g", { class: "deck-ways" }, svg);
    this.belt = make("path", { class: "pic-heavy deck-belt", d: "" }, svg);
    this.grips = make("g", {}, svg);
    this.names = make("g", { class: "deck-names" }, svg);
    this.bar = make("g", { class: "deck-bar" }, svg);
    this.held = new Map();
  }

  get scale() { return this.svg.getScreenCTM()?.a || 1; }

  // From a place on the screen to mm in the drawing.
  millimetres(x, y) {
    const point = new DOMPoint(x, y).matrixTransform(this.svg.getScreenCTM().inverse());
    return [point.x, point.y];
  }

  fit(wheels) {
    const xs = [], ys = [];
    for (const wheel of wheels) for (const [x, y] of Object.values(wheel.points)) {
      xs.push(x - wheel.radius, x + wheel.radius);
      ys.push(y - wheel.radius, y + wheel.radius);
    }
    const left = Math.min(...xs) - MARGIN, top = Math.min(...ys) - MARGIN;
    this.view = { left, top, width: Math.max(...xs) + MARGIN - left, height: Math.max(...ys) + MARGIN - top };
    put(this.svg, { viewBox: `${left} ${top} ${this.view.width} ${this.view.height}` });
  }

  // Something that can be held: a pulley, or the other places of one that moves.
  grip(wheel, place) {
    const key = `${wheel.at}:${place}`;
    if (!this.held.has(key)) {
      const group = make("g", { tabindex: "0", role: "button", class: "deck-grip", "data-at": wheel.at, "data-place": place }, this.grips);
      make("circle", { class: "deck-hit" }, group);
      make("circle", { class: place === "at" ? "pic-part" : "pic-dashed" }, group);
      make("text", { class: "pic-text", "text-anchor": "middle", "font-weight": "bold" }, group);
      this.held.set(key, group);
    }
    return this.held.get(key);
  }

  show(state, fresh) {
    if (!this.view || fresh) this.fit(state.wheels);
    const px = 1 / (this.scale || 1);
    const used = new Set();
    this.names.replaceChildren();
    this.way.replaceChildren();
    for (const wheel of state.wheels) {
      for (const [place, at] of Object.entries(wheel.points)) {
        used.add(`${wheel.at}:${place}`);
        this.one(wheel, place, place === "at" && wheel.sits && !wheel.pulled ? wheel.sits : at, px);
      }
      this.ways(wheel);
    }
    for (const [key, group] of this.held) if (!used.has(key)) { group.remove(); this.held.delete(key); }
    put(this.belt, { d: state.path || this.dotted(state.wheels), class: state.path ? "pic-heavy deck-belt" : "pic-dotted deck-belt" });
    this.label(state, px);
    this.scaleBar(px);
  }

  one(wheel, place, [x, y], px) {
    const group = this.grip(wheel, place);
    const [hit, rim, number] = group.children;
    const radius = place === "at" ? wheel.radius : place === "slack" ? wheel.radius : 5 * px;
    put(hit, { cx: x, cy: y, r: Math.max(place === "slack" ? 0 : radius, FINGER * px) });
    put(rim, { cx: x, cy: y, r: radius });
    group.classList.toggle("drawn-only", Boolean(wheel.drawn_only));
    put(number, { x, y: y + (WORDS * px) / 3, "font-size": WORDS * px });
    number.textContent = place === "at" ? (wheel.order || "") : place === "slack" ? "" : "";
    const pattern = place === "at" ? (wheel.order ? this.words.sayOn : this.words.sayOff) : place === "slack" ? this.words.saySlack : this.words.sayPivot;
    const words = pattern.replace("{name}", wheel.name).replace("{size}", wheel.size).replace("{order}", wheel.order);
    put(group, { "aria-label": [words, ...wheel.facts].join(", ") });
  }

  // Name and size beside each rim, where they cover least of the belt, of other rims and of other words.
  label(state, px) {
    const taken = [...this.points(state)];
    for (const wheel of state.wheels) for (const [place, at] of Object.entries(wheel.points)) {
      const [x, y] = place === "at" && wheel.sits && !wheel.pulled ? wheel.sits : at;
      const say = place === "at" ? `${wheel.name} ${wheel.size}` : place === "slack" ? this.words.wordSlack : this.words.wordPivot;
      const text = make("text", { "font-size": (WORDS - 2) * px, "text-anchor": "middle", class: "pic-text" }, this.names);
      text.textContent = say;
      const half = text.getComputedTextLength() / 2, high = WORDS * px;
      const spots = [...Array(48).keys()].map((turn) => { // three rings, the nearest first
        const angle = (turn * Math.PI) / 8;
        const reach = (place === "pivot" ? 5 * px : wheel.radius) + 4 * px + Math.floor(turn / 16) * high;
        return [x + (reach + half * Math.abs(Math.sin(angle))) * Math.sin(angle), y - (reach + (high / 2) * Math.abs(Math.cos(angle))) * Math.cos(angle)];
      });
      const covered = ([cx, cy]) => {
        const off = cx - half < this.view.left || cx + half > this.view.left + this.view.width || cy - high < this.view.top || cy + high > this.view.top + this.view.height;
        return taken.filter(([px_, py_]) => Math.abs(px_ - cx) < half + 2 * px && Math.abs(py_ - cy) < high * 0.6).length + (off ? 1000 : 0);
      };
      const [cx, cy] = spots.map((spot) => [covered(spot), spot]).sort((one, other) => one[0] - other[0])[0][1];
      put(text, { x: cx, y: cy + high / 3 });
      for (let i = 0; i <= 8; i += 1) taken.push([cx - half + (i * half) / 4, cy]);
    }
  }

  // Places along the belt and the rims.
  *points(state) {
    const length = this.belt.getAttribute("d") ? this.belt.getTotalLength() : 0;
    for (let i = 0; i < 160 && length; i += 1) { const { x, y } = this.belt.getPointAtLength((length * i) / 160); yield [x, y]; }
    for (const wheel of state.wheels) for (const [place, [x, y]] of Object.entries(wheel.points)) {
      if (place === "pivot") { yield [x, y]; continue; }
      for (let i = 0; i < 24; i += 1) for (const share of [0.5, 1]) {
        yield [x + share * wheel.radius * Math.cos((i * Math.PI) / 12), y + share * wheel.radius * Math.sin((i * Math.PI) / 12)];
      }
    }
  }

  ways(wheel) {
    const { at, slack, pivot } = wheel.points;
    if (slack) make("line", { class: "pic-dashed", x1: at[0], y1: at[1], x2: slack[0], y2: slack[1] }, this.way);
    if (pivot) make("line", { class: "pic-line", x1: at[0], y1: at[1], x2: pivot[0], y2: pivot[1] }, this.way);
  }

  dotted(wheels) {
    const on = wheels.filter((wheel) => wheel.order).sort((a, b) => a.order - b.order);
    return on.map((wheel, i) => `${i ? "L" : "M"}${wheel.points.at.join(" ")}`).join(" ");
  }

  scaleBar(px) {
    this.bar.replaceChildren();
    const inch = this.words.unit === "in";
    const length = inch ? 101.6 : 100;
    const x = this.view.left + 10 * px, y = this.view.top + this.view.height - 10 * px;
    make("path", { class: "pic-line", d: `M${x} ${y - 5 * px}V${y}H${x + length}V${y - 5 * px}` }, this.bar);
    make("text", { class: "pic-text", x: x + length + 6 * px, y, "font-size": (WORDS - 2) * px }, this.bar).textContent = inch ? "4 in" : "100 mm";
  }
}
