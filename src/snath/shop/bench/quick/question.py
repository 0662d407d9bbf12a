"""What the quick ask's boxes mean to the core: a machine sheet of one blade, worked out like any other."""

from typing import Any

from snath.decisions.machine.parts import CRANKSHAFT
from snath.decisions.machine.sheet import read_sheet
from snath.decisions.machine.sheet_text import toml_text
from snath.decisions.quick import BLADE, NAME, SPINDLE, USUAL_KIND, QuickAnswer, quick_answer
from snath.rules.book import Rule
from snath.shop.bench.quick.forms import AskForm

# From a place on the sheet to the box it was filled from, the longer first.
BOXES = (
    ("member[1].blade.width", "width"),
    ("member[1]", "blade"),
    ("coupling[1].belt.section", "section"),
    ("coupling[1].belt.driver_outside", "engine_pulley"),
    ("coupling[1].belt.driven_outside", "blade_pulley"),
    ("coupling[1].counted.turns_in", "turns_in"),
    ("coupling[1].counted.turns_out", "turns_out"),
    ("coupling[1].counted.resolution", "resolution"),
    ("coupling[1]", "section"),
    ("rule", "rule"),
)


def answer_to(form: AskForm, book: tuple[Rule, ...], *, market: str) -> QuickAnswer:
    """The core's answer to a form that holds.

    Raises
    ------
    InputError, InputErrors
        For what only the sheet's own reader can see.
    """
    machine = read_sheet(toml_text(sheet(form)))
    return quick_answer(machine, book, market=market, only=form.cleaned_data["rule"] or None)


def sheet(form: AskForm) -> dict[str, Any]:
    """The sheet's data; the words of the boxes are read by the sheet's reader, not here."""
    given = {
        name: value.text if hasattr(value, "text") else value for name, value in form.cleaned_data.items()
    }
    blade = {"length": given["blade"], "measured": given["measured"] or "corner to corner"}
    if given["width"] and given["measured"] == "square across":
        blade["width"] = given["width"]
    data: dict[str, Any] = {
        "decimal_mark": form.preferences.decimal_mark,
        "name": NAME,
        "kind": USUAL_KIND,
        "engine": {},
        "member": [{"name": BLADE, "shaft": SPINDLE if _drive(given) else CRANKSHAFT, "blade": blade}],
    }
    if _drive(given):
        data["coupling"] = [{"driven": SPINDLE, **_drive(given)}]
    return data


def _drive(given: dict[str, Any]) -> dict[str, Any]:
    counted = {name: given[name] for name in ("turns_in", "turns_out", "resolution") if given[name]}
    if counted:
        return {"counted": counted}
    if not given["engine_pulley"]:
        return {}
    belt = {"driver_outside": given["engine_pulley"], "driven_outside": given["blade_pulley"]}
    rides = {f"{end}_rides": "flush" for end in ("driver", "driven") if given["flush"]}
    return {"belt": belt | rides | {"section": given["section"]}}


def box_of(path: str) -> str | None:
    """The box a fault of the sheet belongs to."""
    return next((box for place, box in BOXES if path.startswith(place)), None)
