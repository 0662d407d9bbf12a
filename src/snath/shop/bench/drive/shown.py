"""One drive as the page shows it: what to fit, what the engine may then turn, how it runs, what must be asked."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from urllib.parse import urlencode

from django.urls import reverse
from django.utils.translation import gettext, ngettext

from snath.decisions.drive.choose import Choices, pieces
from snath.decisions.drive.confirm import NOT_ORIGINAL, Drive, compared
from snath.decisions.drive.orders import is_order
from snath.decisions.drive.positions import BeltChoice, Choice, Position
from snath.decisions.drive.stock import Stock
from snath.decisions.machine.parts import Coupling
from snath.shop.bench import show
from snath.shop.bench.pictured import PICTURE_WIDTH, voice_of
from snath.shop.bench.preferences import Preferences
from snath.shop.bench.words import said
from snath.shop.pictures.drive import drive_picture
from snath.shop.pictures.picture import Picture


@dataclass(frozen=True, slots=True)
class PartRow:
    """What sits at one place, whether it is changed, and where its stock row lies."""

    place: str
    what: str
    changed: bool
    number: str
    lies: str
    maker_part: str

    @property
    def ordered(self) -> bool:
        """Whether it is not on the shelf."""
        return is_order(self.number)


@dataclass(frozen=True, slots=True)
class DriveRow:
    """One drive in this person's words; `as_is` marks the drive that is on."""

    head: str
    original: bool
    as_is: bool
    warning: str
    parts: list[PartRow]
    stays: list[PartRow]
    ratios: list[tuple[str, list[tuple[str, str]]]]
    never_above: show.Shown | None
    passes_below: show.Shown | None
    main: list[tuple[str, str]]
    facts: list[tuple[str, str]]
    notes: list[str]
    picture: Picture
    pieces: tuple[str, ...]
    paper: str

    @property
    def from_stock(self) -> bool:
        """Whether any of its new parts lies on the shelf."""
        return any(not part.ordered for part in self.parts)


def drive_row(
    found: Choices, drive: Drive, stock: Stock, preferences: Preferences, *, number: int, name: str
) -> DriveRow:
    """One drive of the answer, `number` being the job it is for and `name` its belt's frame."""
    as_is = not drive.candidate.changed
    wanted = pieces(drive.candidate)
    parts = list(_parts(found, drive, stock, preferences))
    return DriveRow(
        head=_head(drive),
        original=drive.original,
        as_is=as_is,
        warning="" if drive.original else said(NOT_ORIGINAL),
        parts=[part for part in parts if part.changed],
        stays=[part for part in parts if not part.changed],
        ratios=_ratios(found, drive, preferences),
        never_above=show.speed(drive.window.ceiling, preferences, round="down"),
        passes_below=show.speed(drive.window.pass_below, preferences, round="down"),
        main=list(_main(drive, preferences)),
        facts=list(_facts(found, drive, preferences)),
        notes=[said(note, preferences) for note in drive.notes],
        picture=drive_picture(found, drive, voice_of(preferences), name=name, width=PICTURE_WIDTH),
        pieces=wanted,
        paper=f"{reverse('bench:drive-paper', args=[number])}?{urlencode([('piece', p) for p in wanted])}",
    )


def _head(drive: Drive) -> str:
    count = drive.candidate.changed
    if not count:
        return gettext("The drive as it is")
    if drive.original:
        return gettext("Restore the original")
    return ngettext("%(n)d part changed", "%(n)d parts changed", count) % {"n": count}


def _shafts(found: Choices) -> set[str]:
    return {position.shaft for position in found.problem.positions if position.shaft}


def _parts(found: Choices, drive: Drive, stock: Stock, preferences: Preferences) -> Iterator[PartRow]:
    lies = {item.number: item.place for item in stock.items}
    for position, choice in zip(found.problem.positions, drive.candidate.choices, strict=True):
        if position.shaft:
            yield _pulley(position, choice, lies, preferences)
    yield _belt(drive.candidate.belt, lies)


def _pulley(position: Position, choice: Choice, lies: dict[str, str], preferences: Preferences) -> PartRow:
    size = show.length_both(choice.outside, preferences)
    what = gettext("pulley %(section)s, %(size)s outside") % {"section": choice.section, "size": size}
    place = lies.get(choice.number, "")
    return PartRow(said(position.name), what, choice.changed, choice.number, place, choice.part)


def _belt(belt: BeltChoice, lies: dict[str, str]) -> PartRow:
    place = lies.get(belt.number, "")
    return PartRow(gettext("belt"), belt.belt.name, belt.changed, belt.number, place, belt.belt.part)


def _ratios(
    found: Choices, drive: Drive, preferences: Preferences
) -> list[tuple[str, list[tuple[str, str]]]]:
    """The ways to see each ratio; shafts that are driven alike stand together."""
    alike: dict[tuple[tuple[str, str], ...], list[str]] = {}
    for coupling in drive.machine.couplings:
        if coupling.driven in _shafts(found):
            alike.setdefault(_ways(coupling, preferences), []).append(said(coupling.driven))
    return [(", ".join(shafts), list(ways)) for ways, shafts in alike.items()]


def _ways(coupling: Coupling, preferences: Preferences) -> tuple[tuple[str, str], ...]:
    return tuple(
        (in_mark(f"{way.value.value:.4f}", preferences), said(way.name, preferences))
        for way in coupling.alternatives
    )


def _main(drive: Drive, preferences: Preferences) -> Iterator[tuple[str, str]]:
    """What one drive is weighed against another by."""
    candidate = drive.candidate
    yield gettext("To the limit, worst case"), _share(candidate.margin, preferences)
    yield gettext("Grip to spare"), _share(candidate.grip, preferences, sign="+")
    if not any(map(is_order, pieces(candidate))):
        yield gettext("Price of the parts"), in_mark(f"{candidate.price:.2f}", preferences)
    if candidate.ties > 1:
        yield gettext("As good from stock"), str(candidate.ties)


def _facts(found: Choices, drive: Drive, preferences: Preferences) -> Iterator[tuple[str, str]]:
    candidate, problem = drive.candidate, found.problem
    never_below = show.speed(drive.window.floor, preferences, round="up")
    if never_below:
        yield gettext("Never below"), str(never_below)
    wraps = [
        f"{said(p.name)} {math.degrees(w):.0f}°"
        for p, w in zip(drive.seat.route.pulleys, drive.seat.route.wraps, strict=True)
    ]
    yield gettext("Wrapped by the belt"), ", ".join(wraps)
    beside = compared(problem, candidate.choices, drive.seat)
    yield gettext("Belt speed at the rim"), show.surface(beside.rim_speed, preferences)
    yield from _place(found, drive, preferences)
    yield gettext("Take-up left, belt stretched"), _share(drive.share_left, preferences, digits=0)


def _place(found: Choices, drive: Drive, preferences: Preferences) -> Iterator[tuple[str, str]]:
    """Where the movable pulley sits: shaft to shaft for a pair, else by the drawing."""
    pulleys = drive.seat.route.pulleys
    if len(pulleys) == 2:
        one, other = pulleys
        apart = math.hypot(one.x - other.x, one.y - other.y)
        yield gettext("Shaft to shaft"), show.length_both(apart, preferences)
        return
    at = ", ".join(_signed(x, preferences) for x in drive.seat.place)
    yield gettext("%(name)s sits at, in the drawing") % {"name": said(found.problem.moving)}, at


def _signed(metres: float, preferences: Preferences) -> str:
    return f"{'−' if metres < 0 else ''}{show.length(abs(metres), preferences)}"


def _share(share: float, preferences: Preferences, *, sign: str = "", digits: int = 1) -> str:
    if not math.isfinite(share):
        return gettext("not known")
    return in_mark(f"{share * 100:{sign}.{digits}f} %", preferences)


def in_mark(text: str, preferences: Preferences) -> str:
    """A figure with this person's decimal mark."""
    return text.replace(".", preferences.decimal_mark)
