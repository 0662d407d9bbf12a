"""Is the equipment maker's figure met at this reading?"""

from itertools import product

from snath.decisions.machine.parts import CRANKSHAFT, Machine, MakerFigure
from snath.decisions.machine.train import may_slip, ratios, slip
from snath.decisions.reading.reading import Reading
from snath.decisions.verdict.members import EPSILON
from snath.formulas.conformity import probability_over, probability_within
from snath.quantities.measured import Measured, combine


def maker_line(machine: Machine, reading: Reading, risk: float) -> tuple[str, tuple[str, ...]]:
    """In or out of the maker's figure where figure and reading speak of the same condition, and why not.

    A reading at a driven shaft is carried to the crankshaft without slip and with all that is stated.
    """
    figure = machine.engine.maker_no_load
    if figure is None:
        return "no figure", ("No maker's figure on the sheet: the setting itself is not known.",)
    if reading.condition != figure.condition:
        return "undecided", (
            f"The maker's figure is for {figure.condition}; this reading is {reading.condition}.",
        )
    if reading.unsteady:
        return "undecided", ()
    found = [
        _chances(figure, ratio.value, share, reading)
        for ratio, share in product(
            ratios(machine, of=CRANKSHAFT, per=reading.shaft),
            {1.0, 1 / (1 - slip(machine, of=CRANKSHAFT, per=reading.shaft)[1])},
        )
    ]
    if min(inside for inside, _ in found) >= 1 - risk - EPSILON and not may_slip(
        machine, of=CRANKSHAFT, per=reading.shaft
    ):
        return "in", ()
    if min(beyond for _, beyond in found) >= 1 - risk - EPSILON:
        return "out", ("The reading lies outside the maker's figure and its tolerance.",)
    return "undecided", ("The reading does not settle whether the maker's figure is met.",)


def _chances(figure: MakerFigure, ratio: Measured, share: float, reading: Reading) -> tuple[float, float]:
    """Of lying within the tolerance, and of lying past the end it looks to be past.

    The two need not come to one: a reading in the midst of a tolerance finer than its own doubt is neither in
    nor out.
    """
    assert reading.value is not None
    value = reading.value
    speed = value.value * ratio.value * share
    crank = combine(speed, [(value, ratio.value * share), (ratio, value.value * share)])
    low, high = figure.rev_s - figure.tolerance, figure.rev_s + figure.tolerance
    dof = max(crank.dof, 1.0)
    inside: float = probability_within(value=speed, u=crank.u, low=low, high=high, dof=dof)
    if low <= speed <= high:
        return inside, 0.0
    past = speed - high if speed > high else low - speed
    return inside, probability_over(value=past, u=crank.u, limit=0.0, dof=dof)
