"""A route to begin with: every pulley the machine's sheet knows, with the places left to be measured."""

from collections.abc import Iterator

from django.utils.translation import gettext

from snath.decisions.machine.parts import CRANKSHAFT, Machine
from snath.decisions.machine.sheet_text import toml_text
from snath.shop.bench.drive.route_form import belt_couplings
from snath.shop.bench.preferences import Preferences
from snath.shop.bench.show import typed_length

OPEN = "?"  # refused with its line until it is measured


def starting_route(machine: Machine, preferences: Preferences) -> str:
    """A route file to be filled in; its notes are in the reader's language."""
    return "\n".join(_lines(machine, preferences)) + "\n"


def _lines(machine: Machine, preferences: Preferences) -> Iterator[str]:
    couplings = belt_couplings(machine)
    yield "# " + gettext("Seen from above. Put a measured figure wherever a question mark stands.")
    yield toml_text(
        {"name": machine.name[:60], "turns": "clockwise", "decimal_mark": preferences.decimal_mark}
    ).strip()
    yield ""
    yield toml_text({"belt": {"name": OPEN}}).strip()
    yield "# " + gettext("Pulleys in the order in which the belt meets them, the engine's first.")
    yield from _pulley(gettext("engine"), CRANKSHAFT, couplings[0].parts[0].size.value, preferences)
    yield "# " + gettext("An idler on the belt's back; the arm's angles are from the drawing's right.")
    idler = {
        "name": gettext("idler"),
        "outside": OPEN,
        "contact": "flat back",
        "arm": {"pivot": [OPEN, OPEN], "length": OPEN, "slack": OPEN, "tight": OPEN},
    }
    yield toml_text({"pulley": [idler]}).strip()
    for coupling in couplings:
        yield ""
        yield from _pulley(coupling.driven, coupling.driven, coupling.parts[1].size.value, preferences)
    yield ""
    yield "# " + gettext('bore = "1 in key" and room = "7 in" at a pulley say what fits there.')
    yield toml_text({"fit": {"least_share": "85 %"}}).strip()


def _pulley(name: str, shaft: str, outside: float, preferences: Preferences) -> Iterator[str]:
    at = ["0 mm", "0 mm"] if shaft == CRANKSHAFT else [OPEN, OPEN]
    row = {"name": name, "shaft": shaft, "outside": typed_length(outside, preferences), "at": at}
    yield toml_text({"pulley": [row]}).strip()
