"""Can a page be worked without a mouse? It is walked with the tabulator alone, both ways."""

from typing import Any

from playwright.sync_api import Page

# What can be worked is numbered in reading order; a group of radio buttons is one stop. Each press of the tabulator
# first notes where the focus is, whether it can be seen there, and whether something fixed lies over it.
WATCH = """() => {
  document.querySelectorAll('details').forEach(one => { one.open = true; });
  const all = 'a[href], button, input:not([type=hidden]), select, textarea, summary, [tabindex], [contenteditable]';
  const ring = e => ['outlineStyle', 'outlineWidth', 'boxShadow'].map(name => getComputedStyle(e)[name]).join();
  const stops = [...document.querySelectorAll(all)].filter(e => e.getClientRects().length && !e.disabled
    && getComputedStyle(e).visibility === 'visible' && e.getAttribute('tabindex') !== '-1');
  const places = new Map(), groups = new Map(), bare = new Map();
  for (const e of stops) {
    const group = e.type === 'radio' ? e.name + '/' + [...document.forms].indexOf(e.form) : e;
    if (!groups.has(group)) groups.set(group, groups.size);
    places.set(e, groups.get(group));
    bare.set(e, ring(e));
  }
  const faults = e => {
    const box = e.getBoundingClientRect();
    const at = document.elementFromPoint(box.x + box.width / 2, box.y + Math.min(box.height / 2, 20));
    const lid = at && !e.contains(at) ? at.closest('nav, header') : null;
    const covered = lid && !lid.contains(e) && getComputedStyle(lid).position === 'fixed';
    const ringless = ring(e) === bare.get(e) || parseFloat(getComputedStyle(e).outlineWidth) < 2;
    return [ringless ? 'no ring' : '', covered ? 'covered' : ''].filter(x => x);
  };
  window.walked = [];
  window.last = stops[stops.length - 1] || document.body;
  document.addEventListener('keydown', press => {
    if (press.key !== 'Tab') return;
    const e = document.activeElement, known = places.has(e);
    const scrolls = e.scrollWidth > e.clientWidth || e.scrollHeight > e.clientHeight;
    window.walked.push({
      place: known ? places.get(e) : e === document.body ? 'out' : scrolls ? 'scrolled' : 'unknown',
      faults: known ? faults(e) : [], what: e.outerHTML.slice(0, 110),
    });
  }, true);
  const inside = 3 * stops.filter(e => e.type === 'date').length + document.querySelectorAll('.scroll, pre').length;
  return {
    stops: groups.size, presses: groups.size + inside + 2, first: stops.length ? stops[0].className : '',
    jumping: stops.filter(e => e.tabIndex > 0).map(e => e.outerHTML.slice(0, 110)),
  };
}"""
TO_THE_END = "() => { window.walked.length = 0; window.last.focus(); }"
TAB = {"type": "rawKeyDown", "key": "Tab", "code": "Tab", "windowsVirtualKeyCode": 9}
SHIFT = 8
Step = dict[str, Any]


def keyboard_faults(page: Page) -> list[str]:
    """What is wrong with a page for somebody without a mouse."""
    known = page.evaluate(WATCH)
    faults = [f"jumps the order: {one}" for one in known["jumping"]]
    if known["first"] != "skip":
        faults.append(f"begins with {known['first']!r}, not with the link to the work")
    wanted = list(range(known["stops"]))
    steps = _walked(page, "Tab", known["presses"])
    faults += _order(steps, wanted, "on")
    faults += [f"{fault}: {step['what']}" for step in steps for fault in step["faults"]]
    page.evaluate(TO_THE_END)
    return faults + _order(_walked(page, "Shift+Tab", known["presses"]), wanted[::-1], "back")


def _walked(page: Page, key: str, presses: int) -> list[Step]:
    """Where the focus went, without the stops inside of one thing, such as the parts of a date."""
    # The focus goes on when the key goes down: one message a press, where press() sends three.
    keyboard = page.context.new_cdp_session(page)
    for _ in range(presses):
        keyboard.send("Input.dispatchKeyEvent", TAB | {"modifiers": SHIFT if key == "Shift+Tab" else 0})
    keyboard.detach()
    steps: list[Step] = page.evaluate("window.walked")
    return [step for at, step in enumerate(steps) if not at or step["place"] != steps[at - 1]["place"]]


def _order(steps: list[Step], wanted: list[int], way: str) -> list[str]:
    """What was met otherwise than in reading order; past the last stop the walk has left the page or begins anew."""
    met = [step for step in steps if step["place"] not in ("out", "scrolled")]
    places = [step["place"] for step in met[: len(wanted)]]
    if places == wanted:
        return []
    pairs = zip(places, wanted, strict=False)
    wrong = next((at for at, (one, other) in enumerate(pairs) if one != other), len(places))
    return [f"{way}: stop {wrong} of {len(wanted)} is {[step['what'] for step in met[wrong : wrong + 1]]}"]
