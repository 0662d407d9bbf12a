"""A window made by hand, so that the pictures are tested without the core that fills it in real life."""

import pytest

from snath.decisions.reading.reading import Reading
from snath.decisions.verdict.verdict import Verdict
from snath.decisions.window.window import Bound, Window
from snath.quantities.measured import Line, Measured, exact
from snath.shop.pictures.voice import speaking


def bound(
    member, shaft, rpm, *, side="ceiling", alternative="", ratio=1.0, rule="tip-rule", applies="sustained"
):
    return Bound(
        member,
        shaft,
        rule,
        side,
        alternative,
        exact(rpm / 60),
        96.52,
        "surface speed",
        ratio,
        applies_to=applies,
    )


@pytest.fixture
def voice():
    return speaking("en")


@pytest.fixture
def rider():
    """Two blades on belts, an engine with a range, a pump far from its limit; the left blade binds."""
    bounds = (
        bound("engine", "crankshaft", 3600, rule="engine maker"),
        bound("engine", "crankshaft", 2700, side="floor", rule="engine maker"),
        bound("right blade", "right spindle", 3450, alternative="by datum", ratio=1.05),
        bound("right blade", "right spindle", 3520, alternative="by outside", ratio=1.03),
        bound("left blade", "left spindle", 3311.4, alternative="by datum", ratio=1.1),
        bound("left blade", "left spindle", 3401.8, alternative="by outside", ratio=1.07),
        bound("pump", "pump shaft", 9000, ratio=0.5),
    )
    return Window(
        feasible=True,
        ceiling=3311.4 / 60,
        floor=2700 / 60,
        target=3200 / 60,
        set_low=3150 / 60,
        set_high=3250 / 60,
        pass_below=3300 / 60,
        fail_above=3410 / 60,
        binding="left blade",
        binding_rule="tip-rule",
        setting="known",
        bounds=bounds,
    )


@pytest.fixture
def reading():
    return Reading(value=Measured(3290 / 60, (Line("tachometer", 10 / 60),)), decided=True)


@pytest.fixture
def verdict():
    return Verdict("undecided", "undecided", "in", False, (0.1, 0.6), 54.0, 57.0, "one-sided 95 %")
