"""List what has to be measured or threaded before a drawing can be kept, and what is no drawing at all."""

from django.utils.translation import gettext

from snath.shop.bench.deck.live import standing
from snath.shop.bench.deck.wheels import ENGINE, SPINDLE, STAYS, wheels_of
from snath.shop.bench.fields import plainly
from snath.shop.bench.jobs.entries import Entries
from snath.shop.bench.preferences import Preferences


def missing(entries: Entries, preferences: Preferences) -> list[tuple[str, str]]:
    """Every box that is empty, only drawn or no length, with what would do."""
    now = standing(entries, preferences)
    told = [(box, plainly(fault, preferences.decimal_mark)) for box, fault in now.faults]
    wrong = {box for box, _ in told}
    told += [(box, _not_measured(box)) for box in now.open if box not in wrong]
    for wheel in wheels_of(entries):
        if not wheel.order:
            words = gettext("%(name)s is not on the belt: tap it in the drawing, or choose its place")
            told.append((f"w{wheel.at}_order", words % {"name": wheel.name}))
    if not entries.get("belt", "").strip():
        told.append(("belt", gettext("nothing was typed: must be as printed on the belt, such as A51")))
    if all(wheel.moves == STAYS for wheel in wheels_of(entries)):
        idler = next((w for w in wheels_of(entries) if w.role not in (ENGINE, SPINDLE)), None)
        box = f"w{idler.at}_moves" if idler else ""
        told.append((box, gettext("one idler must move, or no belt can be tightened")))
    return told


def _not_measured(box: str) -> str:
    if box.endswith("_size"):
        return gettext("nothing was typed: measure the pulley over its rim")
    return gettext("only drawn so far: pull the pulley to its place, or type what you measure")
