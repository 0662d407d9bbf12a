"""From metres in a drawing, y upwards, to places on paper, y downwards: one scale for everything on it."""

from dataclasses import dataclass

from snath.formulas.belts.loop import Route
from snath.formulas.belts.ways import Arm, Slot

MARGIN = 40.0  # round the drawing, for labels
LINE = 17.0  # from one line of words to the next
WAY_STEPS = 24

Spot = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Plan:
    """A sheet of paper with a drawing to scale on it.

    Attributes
    ----------
    left, top : float
        Where the drawing begins. [m]
    scale : float
        Paper for one metre.
    width, height : float
        Of the paper.
    """

    left: float
    top: float
    scale: float
    width: float
    height: float

    def at(self, x: float, y: float) -> Spot:
        """The place on paper of a place in the drawing."""
        return (x - self.left) * self.scale + MARGIN, (self.top - y) * self.scale + MARGIN


def plan_of(routes: tuple[Route, ...], way: Slot | Arm | None, *, width: float) -> Plan:
    """Paper of some width, as high as the routes and the movable pulley's way need it, with room for a scale below."""
    pulleys = [p for route in routes for p in route.pulleys]
    xs = [p.x + s * max(p.rim, p.radius) for p in pulleys for s in (-1, 1)]
    ys = [p.y + s * max(p.rim, p.radius) for p in pulleys for s in (-1, 1)]
    if way is not None:
        for share in (0.0, 0.5, 1.0):
            x, y = way.at(share)
            xs, ys = [*xs, x], [*ys, y]
    scale = (width - 2 * MARGIN) / (max(xs) - min(xs))
    height = (max(ys) - min(ys)) * scale + 2 * MARGIN + 2 * LINE
    return Plan(min(xs), max(ys), scale, width, height)


def way_on(plan: Plan, way: Slot | Arm | None) -> list[Spot]:
    """The movable pulley's way as places on paper; none where nothing moves."""
    return [] if way is None else [plan.at(*way.at(i / WAY_STEPS)) for i in range(WAY_STEPS + 1)]
