"""What a drive must come to, in this person's words: every shaft's ratio, the sheaves next sold, the belt's length."""

import math
from dataclasses import dataclass

from django.utils.translation import gettext

from snath.decisions.drive.needs import Length, Need, needs
from snath.decisions.drive.problem import Problem
from snath.shop.bench import show
from snath.shop.bench.preferences import Preferences
from snath.shop.bench.words import said

DIGITS = 1000  # a ratio is shown to three decimals, never past the side that counts


@dataclass(frozen=True, slots=True)
class ShaftRow:
    """One shaft: what it must make, what it makes, and which sheave would put it right."""

    name: str
    must: str
    has: str
    ways: str


@dataclass(frozen=True, slots=True)
class BeltRow:
    """The belt with one set of sheaves."""

    head: str
    must: str
    sold: str


@dataclass(frozen=True, slots=True)
class Needed:
    """All of it."""

    shafts: list[ShaftRow]
    belts: list[BeltRow]


def needed_rows(problem: Problem, preferences: Preferences) -> Needed:
    """The needs of a question as the page shows them."""
    found = needs(problem)
    first = found.lengths[0].engine if found.lengths else 0.0
    return Needed(
        [_shaft(need, preferences) for need in found.shafts],
        [_belt(length, problem, preferences, now=length.engine == first) for length in found.lengths],
    )


def _shaft(need: Need, preferences: Preferences) -> ShaftRow:
    least, most = _ratio(need.least, preferences, up=True), _ratio(need.most, preferences, up=False)
    if not math.isfinite(need.most):
        must = gettext("nothing limits it")
    elif need.least > 0:
        must = gettext("needs %(least)s to %(most)s turns for one of the engine") % {
            "least": least,
            "most": most,
        }
    else:
        must = gettext("needs at most %(most)s turns for one of the engine") % {"most": most}
    slow, fast = _ratio(need.slowest, preferences, up=False), _ratio(need.fastest, preferences, up=True)
    has = gettext("has %(slow)s to %(fast)s") if slow != fast else gettext("has %(fast)s")
    verdict = (
        gettext("too fast")
        if need.too_fast
        else gettext("too slow")
        if need.too_slow
        else gettext("in order")
    )
    words = f"{has % {'slow': slow, 'fast': fast}}: {verdict}"
    return ShaftRow(said(need.name), must, words, _ways(need, preferences) if need.too_fast else "")


def _ways(need: Need, preferences: Preferences) -> str:
    """Either sheave alone, and the next size of it that is sold."""
    return gettext(
        "Engine pulley at most %(engine)s%(engine_sold)s; or its own at least %(own)s%(own_sold)s."
    ) % {
        "engine": show.length_both(need.engine_most, preferences),
        "engine_sold": _sold(need.engine_sold, preferences),
        "own": show.length_both(need.own_least, preferences),
        "own_sold": _sold(need.own_sold, preferences),
    }


def _sold(size: float | None, preferences: Preferences) -> str:
    if size is None:
        return gettext(", none is sold")
    return gettext(", next sold %(size)s") % {"size": show.length(size, preferences)}


def _belt(length: Length, problem: Problem, preferences: Preferences, *, now: bool) -> BeltRow:
    engine = show.length(length.engine, preferences)
    on = problem.belts[0].belt
    head = (
        gettext("Belt, pulleys as they are:")
        if now
        else gettext("Belt, engine pulley %(size)s:") % {"size": engine}
    )
    line = gettext("datum line") if on.line == "datum" else gettext("outside")
    must = gettext("its way is %(slack)s at the loosest, %(tight)s at the tightest (%(line)s).") % {
        "slack": show.length_both(length.slack, preferences),
        "tight": show.length_both(length.tight, preferences),
        "line": line,
    }
    fits = (
        gettext("%(belt)s goes on and can be tightened.")
        if length.on_fits
        else gettext("%(belt)s does not fit it.")
    )
    sold = (
        gettext("Sold and fitting: %(names)s.") % {"names": ", ".join(length.sold)}
        if length.sold
        else gettext("No belt that is sold goes on and can be tightened for life: the take-up is too short.")
    )
    return BeltRow(head, must, f"{fits % {'belt': on.name}} {sold}")


def _ratio(ratio: float, preferences: Preferences, *, up: bool) -> str:
    if not math.isfinite(ratio):
        return "∞"
    rounded = (math.ceil(ratio * DIGITS - 1e-6) if up else math.floor(ratio * DIGITS + 1e-6)) / DIGITS
    return f"{rounded:.3f}".replace(".", preferences.decimal_mark)
