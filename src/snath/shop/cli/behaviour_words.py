"""What the machine does beside its speed, in lines for the terminal and as JSON, for a whole job."""

from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

from snath.decisions.behaviour.behaviour import BehaviourResult
from snath.decisions.behaviour.stop import StopResult
from snath.decisions.job.schema import rounded
from snath.quantities.units import show
from snath.shop.cli.answer import said
from snath.shop.cli.governor_words import governor_text

OPEN = "Still open before any setting: {}"


def behaviour_data(found: BehaviourResult) -> dict[str, Any]:
    """Every answer in SI to 9 digits; the points of drawn flights are left out."""
    data: dict[str, Any] = rounded(asdict(found))
    for reach in (data["throw"] or {}).get("training", ()):
        del reach["paths"]
    return data


def behaviour_text(found: BehaviourResult) -> Iterator[str]:
    """One block for each question that was asked."""
    for name, governor in (("as found", found.governor_found), ("as left", found.governor_left)):
        if governor is not None:
            wish = found.wanted if governor is (found.governor_left or found.governor_found) else None
            yield "\n".join([f"Governor, {name}", *governor_text(governor, wish, None)])
    if found.setting is not None:
        place = "" if found.setting.position is None else f" {found.setting.position:.2f}"
        steps = [f"  {said(step)}" for step in found.setting.steps]
        yield "\n".join([f"Next setting: {found.setting.advice}{place}. {said(found.setting.why)}", *steps])
    if found.stop is not None:
        yield "\n".join(_stop(found.stop))
    if found.balance is not None:
        force = show(found.balance.force, "N", digits=0)
        head = f"Balance: pulls with {force}, {found.balance.beside_blade:.0f} times the blade's own weight."
        yield "\n".join([head, *map(said, found.balance.notes)])
    if found.throw is not None:
        energies = [
            f"{one.thing}, {one.stage}: {show(one.energy_low, 'J', digits=0)}" for one in found.throw.carried
        ]
        yield "\n".join([*energies, *map(said, found.throw.notes)])
    if found.checklist is not None:
        checked = found.checklist
        waiting = [OPEN.format(text) for text in checked.open_before_setting]
        head = checked.outcome or ("Checks before setting: done." if checked.may_set else "Checks:")
        yield "\n".join([head, *waiting, *checked.notes])


def _stop(found: StopResult) -> Iterator[str]:
    yield f"Blade stop: {found.word}"
    yield from map(said, found.reasons)
    yield from (f"-> {said(step)}" for step in found.settle)
    yield from map(said, found.cautions)
