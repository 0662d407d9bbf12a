"""Fill the boxes a new drawing begins with: of a deck of so many spindles, or of a machine that is known."""

from django.utils.translation import gettext

from snath.decisions.machine.parts import Machine
from snath.shop.bench.deck.wheels import BACK, ENGINE, IDLER, SLIDES, SPINDLE, STAYS, count_of
from snath.shop.bench.drive.route_form import belt_couplings
from snath.shop.bench.jobs.entries import Entries
from snath.shop.bench.preferences import Preferences
from snath.shop.bench.show import typed_length

FEW = 3


def new_deck(spindles: int) -> Entries:
    """A deck of so many spindles, the engine behind them and one idler on the belt's back."""
    rows = [{"role": ENGINE, "name": gettext("engine")}]
    for name, hand in _spindle_names(spindles):
        rows.append({"role": SPINDLE, "name": name, "shaft": name, "hand": hand})
    rows.append(_idler(1))
    return _entries(rows)


def for_machine(machine: Machine, preferences: Preferences) -> Entries:
    """A drawing for a machine that is known: its shafts and the sizes on its sheet."""
    couplings = belt_couplings(machine)
    sizes = [_size(couplings[0].parts[0].size.value, preferences)]
    rows = [{"role": ENGINE, "name": gettext("engine"), "size": sizes[0]}]
    hands = [hand for _, hand in _spindle_names(len(couplings))]
    for coupling, hand in zip(couplings, hands, strict=True):
        size = _size(coupling.parts[1].size.value, preferences)
        row = {"role": SPINDLE, "name": coupling.driven, "shaft": coupling.driven, "hand": hand, "size": size}
        rows.append(row)
    rows.append(_idler(1))
    return _entries(rows)


def with_idler(entries: Entries) -> Entries:
    """One idler or guide more; it stays where it is put, as only one pulley can move."""
    count = count_of(entries)
    idlers = sum(entries.get(f"w{at}_role") == IDLER for at in range(count))
    return {**entries, **_entries([_idler(idlers + 1, moves=STAYS if idlers else SLIDES)], first=count)}


def without(entries: Entries, at: int) -> Entries:
    """The drawing without one of its idlers."""
    count = count_of(entries)
    if entries.get(f"w{at}_role") != IDLER:
        return entries
    kept = {key: value for key, value in entries.items() if not key.startswith("w") or key == "wheels"}
    for old in (place for place in range(count) if place != at):
        new = old - (old > at)
        prefix = f"w{old}_"
        kept |= {
            f"w{new}_{key.removeprefix(prefix)}": value
            for key, value in entries.items()
            if key.startswith(prefix)
        }
    return kept | {"wheels": str(count - 1)}


def _spindle_names(spindles: int) -> list[tuple[str, str]]:
    """Name and hand of each, as the belt meets them clockwise: left, middle, right."""
    left, middle, right = gettext("left spindle"), gettext("middle spindle"), gettext("right spindle")
    if spindles == 1:
        return [(gettext("spindle"), "right")]
    if spindles == FEW:
        return [(left, "left"), (middle, "right"), (right, "right")]
    if spindles > FEW:
        return [(gettext("spindle %(number)d") % {"number": i + 1}, "right") for i in range(spindles)]
    return [(left, "left"), (right, "right")]


def _idler(number: int, *, moves: str = SLIDES) -> dict[str, str]:
    name = gettext("idler") if number == 1 else gettext("idler %(number)d") % {"number": number}
    hand = "left" if number == 1 else "right"
    return {"role": IDLER, "name": name, "hand": hand, "side": BACK, "moves": moves}


def _entries(rows: list[dict[str, str]], *, first: int = 0) -> Entries:
    filled = {f"w{first + at}_{key}": value for at, row in enumerate(rows) for key, value in row.items()}
    return {"wheels": str(first + len(rows)), **({} if first else {"turns": "clockwise"}), **filled}


def _size(metres: float, preferences: Preferences) -> str:
    """A size on a sheet as this person would type it."""
    return typed_length(metres, preferences)
