// Draws the boxes of the page and lets a finger, a mouse or the arrow keys fill them. What it shows of the belt is
// what the bench answers: there is no arithmetic of belts here. Without this script the boxes work alone.

import { Boxes, step } from "./boxes.js";
import { Drawing } from "./drawing.js";

const WAIT_MS = 120;
const TAP_PX = 8;

const form = document.getElementById("deck");
const stage = form?.querySelector("[data-stage]");

const begin = () => {
  const boxes = new Boxes(form);
  const drawing = new Drawing(stage.querySelector("[data-deck]"), form.dataset);
  const said = stage.querySelector("[data-said]");
  const facts = stage.querySelector("[data-facts]");
  const tool = (name) => stage.querySelector(`[data-do="${name}"]`);
  let state = null;
  let chosen = null;
  let waiting = 0;
  let asked = 0;
  let pull = null;

  stage.hidden = false;

  const wheel = (at) => state.wheels.find((one) => one.at === at);

  // A tool that has nothing to do stays a stop: one that went away would take the focus of whoever just used it along.
  const may = (name, can) => tool(name).setAttribute("aria-disabled", String(!can));

  const tools = () => {
    const at = chosen;
    may("undo", boxes.canUndo);
    may("flip", at !== null && Boolean(boxes.box(at, "side")));
    may("off", at !== null && Boolean(boxes.order(at)));
    may("bare", boxes.threaded.length > 0);
    for (const [key, group] of drawing.held) group.classList.toggle("chosen", key === `${at}:at`);
  };

  const rows = () => {
    for (const one of state.wheels) {
      const row = document.getElementById(`wheel-${one.at}`);
      row.querySelector("[data-wheel-facts]").textContent = one.facts.join(", ");
      const moves = boxes.text(one.at, "moves") || "no";
      for (const place of row.querySelectorAll("[data-place]")) {
        place.hidden = (place.dataset.place === "slack" && moves === "no") || (place.dataset.place === "pivot" && moves !== "arm");
      }
      for (const words of row.querySelectorAll("[data-when]")) words.hidden = (words.dataset.when === "moving") === (moves === "no");
    }
  };

  const show = (fresh) => {
    drawing.show(state, fresh);
    facts.replaceChildren();
    for (const [name, value] of state.facts) {
      facts.append(Object.assign(document.createElement("dt"), { textContent: name }), Object.assign(document.createElement("dd"), { textContent: value }));
    }
    rows();
    tools();
  };

  const ask = async (fresh) => {
    const mine = ++asked;
    try {
      const reply = await fetch(form.dataset.live, { method: "POST", body: new FormData(form), credentials: "same-origin" });
      if (!reply.ok) throw new Error(String(reply.status));
      const answer = await reply.json();
      if (mine !== asked) return;
      if (pull) { const now = wheel(pull.at).points[pull.place]; state = answer; wheel(pull.at).points[pull.place] = now; wheel(pull.at).pulled = true; }
      else state = answer;
      const words = [state.said, ...state.faults.map((fault) => fault.words)];
      said.textContent = [...new Set(words)].join(" ");
      show(fresh && !pull);
    } catch {
      if (mine === asked) said.textContent = form.dataset.sayGone;
    }
  };

  const later = (fresh = false) => {
    clearTimeout(waiting);
    waiting = setTimeout(ask, WAIT_MS, fresh);
  };

  const choose = (at) => { chosen = at; };

  const thread = (at) => {
    choose(at);
    if (!boxes.order(at)) { boxes.remember(); boxes.thread(at); later(); }
    tools();
  };

  const doing = {
    undo() { if (boxes.undo()) later(true); },
    flip(at) {
      boxes.remember();
      if (boxes.flip(at) === null) said.textContent = form.dataset.sayRunsInside.replace("{name}", wheel(at).name);
      else later();
    },
    off(at) { boxes.remember(); boxes.unthread(at); later(); },
    bare() { boxes.remember(); boxes.bare(); later(); },
  };

  const gripOf = (event) => {
    const group = event.target.closest?.(".deck-grip");
    return group ? { at: Number(group.dataset.at), place: group.dataset.place, group } : null;
  };

  drawing.svg.addEventListener("pointerdown", (event) => {
    const grip = gripOf(event);
    if (!grip || !state || event.button > 0) return;
    event.preventDefault();
    grip.group.focus();
    grip.group.setPointerCapture(event.pointerId);
    const [x, y] = drawing.millimetres(event.clientX, event.clientY);
    const [atX, atY] = wheel(grip.at).points[grip.place];
    pull = { ...grip, from: [event.clientX, event.clientY], off: [atX - x, atY - y], moved: false };
  });

  drawing.svg.addEventListener("pointermove", (event) => {
    if (!pull) return;
    if (!pull.moved && Math.hypot(event.clientX - pull.from[0], event.clientY - pull.from[1]) < TAP_PX) return;
    if (wheel(pull.at).role === "engine") return; // everything is measured from it
    if (!pull.moved) { boxes.remember(); pull.moved = true; choose(pull.at); }
    const [x, y] = drawing.millimetres(event.clientX, event.clientY);
    const one = wheel(pull.at);
    one.points[pull.place] = [x + pull.off[0], y + pull.off[1]];
    one.pulled = true;
    boxes.place(pull.at, pull.place, one.points[pull.place]);
    drawing.show(state, false);
    later();
  });

  const end = (event) => {
    if (!pull) return;
    const { at, place, moved } = pull;
    pull = null;
    if (moved) later(true);
    else if (event.type === "pointerup" && place === "at") thread(at);
  };
  drawing.svg.addEventListener("pointerup", end);
  drawing.svg.addEventListener("pointercancel", end);

  const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

  drawing.svg.addEventListener("keydown", (event) => {
    const grip = gripOf(event);
    if (!grip || !state || event.altKey || event.metaKey) return;
    const { at, place } = grip;
    const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
    choose(at);
    if (key in ARROWS && wheel(at).role !== "engine") {
      const by = step(boxes.unit, event.shiftKey);
      const [x, y] = wheel(at).points[place];
      const now = [x + ARROWS[key][0] * by, y + ARROWS[key][1] * by];
      boxes.remember();
      wheel(at).points[place] = now;
      wheel(at).pulled = true;
      boxes.place(at, place, now);
      drawing.show(state, false);
      later();
    } else if (key === "Enter" || key === " ") { if (place === "at") thread(at); }
    else if (key === "f") doing.flip(at);
    else if (key === "Delete" || key === "Backspace") doing.off(at);
    else if (key === "z") doing.undo();
    else return;
    event.preventDefault();
    tools();
  });

  // On the section: a listener for focus on the picture itself makes it a stop of the tabulator with nothing to do there.
  drawing.svg.parentElement.addEventListener("focusin", (event) => { const grip = gripOf(event); if (grip) { choose(grip.at); tools(); } });

  stage.addEventListener("click", (event) => {
    const pressed = event.target.closest("[data-do]");
    if (!pressed || !state || pressed.getAttribute("aria-disabled") === "true") return;
    doing[pressed.dataset.do](chosen);
    tools();
  });

  form.addEventListener("focusin", (event) => { if (event.target.name) boxes.remember(); });
  form.addEventListener("input", () => { later(); tools(); });
  form.addEventListener("change", () => later(true));
  addEventListener("resize", () => { if (state) show(true); });

  ask(true);
};

if (form && stage) begin();
