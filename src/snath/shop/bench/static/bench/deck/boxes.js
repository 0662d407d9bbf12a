// The boxes of a drawing: what is typed in them, and what a pulled pulley writes into them.

const SIXTEENTHS = 16;
const INCH = 25.4; // mm

export const step = (unit, small) => (unit === "in" ? (small ? INCH / 16 : INCH / 4) : small ? 1 : 5);

// A length as a tape has it: whole millimetres, or inches and sixteenths.
export const onTape = (mm, unit) => {
  const sign = mm < 0 ? "-" : "";
  if (unit !== "in") return `${sign}${Math.round(Math.abs(mm))}`.replace(/^-0$/, "0");
  const parts = Math.round((Math.abs(mm) / INCH) * SIXTEENTHS);
  if (!parts) return "0";
  const whole = Math.floor(parts / SIXTEENTHS);
  let above = parts % SIXTEENTHS;
  let below = SIXTEENTHS;
  while (above && above % 2 === 0) { above /= 2; below /= 2; }
  return sign + [whole || "", above ? `${above}/${below}` : ""].filter(String).join(" ").trim();
};

export class Boxes {
  constructor(form) {
    this.form = form;
    this.unit = form.dataset.unit;
    this.past = [];
  }

  box(at, name) { return this.form.elements[`w${at}_${name}`]; }

  get count() { return Number(this.form.elements.wheels.value); }

  text(at, name) { return this.box(at, name)?.value ?? ""; }

  put(at, name, value) {
    const box = this.box(at, name);
    if (!box || box.value === value) return;
    box.value = value;
    box.dispatchEvent(new Event("input", { bubbles: true }));
  }

  // Where a place was pulled to, on the screen: mm, to the right and down.
  place(at, place, [x, y]) {
    const [side, ahead] = { at: ["x", "y"], slack: ["sx", "sy"], pivot: ["px", "py"] }[place];
    const beside = this.text(at, "hand") === "left" ? -x : x;
    this.put(at, side, onTape(beside, this.unit));
    this.put(at, ahead, onTape(-y, this.unit));
  }

  order(at) { return Number(this.text(at, "order")) || 0; }

  get threaded() {
    return [...Array(this.count).keys()].filter((at) => this.order(at)).sort((a, b) => this.order(a) - this.order(b));
  }

  thread(at) {
    if (!this.order(at)) this.put(at, "order", String(Math.max(0, ...this.threaded.map((one) => this.order(one))) + 1));
  }

  unthread(at) {
    const left = this.threaded.filter((one) => one !== at);
    this.put(at, "order", "");
    left.forEach((one, i) => this.put(one, "order", String(i + 1)));
  }

  bare() { for (const at of this.threaded) this.put(at, "order", ""); }

  // The other side of the belt; null where a pulley has only one.
  flip(at) {
    if (!this.box(at, "side")) return null;
    this.put(at, "side", this.text(at, "side") === "flat back" ? "flat inside" : "flat back");
    return this.text(at, "side");
  }

  snapshot() {
    const kept = {};
    for (const box of this.form.elements) if (box.name && !["csrfmiddlewaretoken", "base"].includes(box.name)) kept[box.name] = box.value;
    return kept;
  }

  remember() {
    const now = this.snapshot();
    const last = this.past.at(-1);
    if (!last || Object.keys(now).some((name) => now[name] !== last[name])) this.past.push(now);
  }

  get canUndo() {
    const now = this.snapshot();
    return this.past.some((then) => Object.keys(now).some((name) => now[name] !== then[name]));
  }

  undo() {
    const now = this.snapshot();
    while (this.past.length) {
      const then = this.past.pop();
      const changed = Object.keys(now).filter((name) => name in then && now[name] !== then[name]);
      if (!changed.length) continue;
      for (const name of changed) this.form.elements[name].value = then[name];
      this.form.elements[changed[0]].dispatchEvent(new Event("input", { bubbles: true }));
      return true;
    }
    return false;
  }
}
