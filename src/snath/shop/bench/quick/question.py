"""What the quick ask's boxes mean to the core: a machine sheet of one blade, worked out like any other."""

from dataclasses import dataclass
from typing import Any

from snath.decisions.job.assemble import job_for
from snath.decisions.job.job import Job, Result
from snath.decisions.job.work import work
from snath.decisions.machine.sheet import read_sheet
from snath.decisions.machine.sheet_text import toml_text
from snath.decisions.quick import spoken_of
from snath.rules.book import Rule
from snath.shop.bench.quick.forms import AskForm

MACHINE, SPINDLE, BLADE = "quick ask", "spindle", "blade"
MACHINE_KIND = "walk-behind rotary mower"
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


@dataclass(frozen=True, slots=True)
class Answer:
    """The job a quick ask amounts to, and its result."""

    job: Job
    result: Result
    rule: Rule | None


def answered(form: AskForm, book: tuple[Rule, ...], *, market: str) -> Answer:
    """The core's answer to a form that holds.

    Raises
    ------
    InputError, InputErrors
        For what only the sheet's own reader can see.
    """
    only = form.cleaned_data["rule"] or None
    machine = spoken_of(read_sheet(toml_text(sheet(form))), book, only)
    job = job_for(machine, book, market=market, only=only)
    result = work(job)
    rule = next((rule for rule in job.rules if rule.id == result.window.binding_rule), None)
    return Answer(job, result, rule)


def sheet(form: AskForm) -> dict[str, Any]:
    """The sheet's data; the words of the boxes are read by the sheet's reader, not here."""
    given = {
        name: value.text if hasattr(value, "text") else value for name, value in form.cleaned_data.items()
    }
    blade = {"length": given["blade"], "measured": given["measured"] or "corner to corner"}
    if given["width"] and given["measured"] == "square across":
        blade["width"] = given["width"]
    data: dict[str, Any] = {
        "decimal_mark": form.liking.decimal_mark,
        "name": MACHINE,
        "kind": MACHINE_KIND,
        "engine": {},
        "member": [{"name": BLADE, "shaft": SPINDLE if _drive(given) else "crankshaft", "blade": blade}],
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
