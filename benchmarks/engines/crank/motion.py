"""Turn a crankshaft by the gas pressure of its cylinders, cycle by cycle, against friction and a flywheel.

Cylinder pressure is the analytic model of Eriksson and Andersson (SAE 2002-01-0371; from memory): a polytropic
compression p_c, and combustion that raises it by the burnt share x of Wiebe (1970), p = p_c (1 + q x). With one
exponent for compression and expansion it is linear in the heat q, so each cycle may have its own. Slider-crank volume
and torque (p - 1) dV/dangle are textbook (Heywood, Internal Combustion Engine Fundamentals, 1988, ch. 2). Energy of the
flywheel follows the work done, so speed ripples inside a cycle and wanders from cycle to cycle.
"""

from dataclasses import dataclass

import numpy as np

from benchmarks.engines.case import NEVER, Array, Course, Cycles, Engine

STEP = 2.0  # degrees between points of a cycle
LEAST = 0.002  # of the energy at the speed asked for, under which it stands still


@dataclass(frozen=True, slots=True)
class Cylinder:
    """One cycle of one cylinder on the angle from firing top dead centre: pressures over ambient at its opening."""

    angle: Array  # degrees, from the start of the cycle
    bare: Array  # torque without heat, and what a unit of heat adds
    heated: Array
    opens: float  # degrees after top dead centre at which the exhaust opens
    closes: float
    left: float  # pressure there without heat, and what a unit of heat adds
    left_heated: float
    pushing: Array  # dV/dangle


@dataclass(frozen=True, slots=True)
class Motion:
    """Angle over time, in cycles by points of a cycle, and the heat of each cycle of each cylinder."""

    t_s: Array
    turns: Array
    rev_s: Array
    heat: Array  # cycles by cylinders
    released_s: float
    still_s: float


def cylinder(engine: Engine, g: np.random.Generator) -> Cylinder:
    """A cylinder drawn from what small engines have."""
    whole = 360.0 * engine.turns
    angle = np.arange(0, whole, STEP)
    alpha = angle - (360 if engine.strokes == 4 else 180)  # 0 is firing top dead centre
    squeeze, rod = g.uniform(6.5, 9.5), g.uniform(3.0, 4.0)
    rad = np.radians(alpha)
    volume = 1 / (squeeze - 1) + (1 + rod - np.cos(rad) - np.sqrt(rod**2 - np.sin(rad) ** 2)) / 2
    pushing = np.gradient(volume, np.radians(STEP))
    if engine.strokes == 4:
        shut, opens, closes = -g.uniform(120, 150), g.uniform(115, 145), g.uniform(365, 385)
    else:
        shut, opens, closes = -g.uniform(95, 110), g.uniform(90, 108), g.uniform(250, 268)
    filled = g.uniform(0.35, 0.65)  # of ambient, by the throttle at no load
    at_shut = float(np.interp(shut, alpha, volume))
    closed = (alpha > shut) & (alpha < opens)
    polytrope = np.where(closed, filled * (at_shut / volume) ** 1.3, 1.0)
    if engine.strokes == 4:
        polytrope = np.where(alpha <= -180, filled, polytrope)
        polytrope = np.where((alpha > -180) & (alpha <= shut), filled, polytrope)
    start, length = -g.uniform(10, 25), g.uniform(40, 75)
    burnt = 1 - np.exp(-5 * np.clip((alpha - start) / length, 0, None) ** 3)
    extra = np.where(closed, polytrope * burnt, 0.0)
    at_open = filled * (at_shut / float(np.interp(opens, alpha, volume))) ** 1.3
    return Cylinder(
        angle, (polytrope - 1) * pushing, extra * pushing, opens, closes, at_open - 1, at_open, pushing
    )


def meant(course: Course, g: np.random.Generator) -> tuple[Array, Array]:
    """Moments [s] and the speed asked for at them [rev/s]."""
    t = np.arange(-0.2, course.seconds + 0.3, 0.002)
    n, late = course.rev_s, np.clip(t - course.at_s, 0, None)
    if course.situation == "drift":
        n = n * (1 + course.amount * (np.sqrt(np.clip(t, 0, None) / course.seconds) - 0.6))  # warming up
    elif course.situation == "ramp":
        n = n * (1 - course.amount * course.seconds / 2) * np.exp(course.amount * t)
    elif course.situation == "hunting":  # a governor's limit cycle: quick up, slow down
        phase = (course.tempo * t + g.random()) % 1
        up = g.uniform(0.2, 0.5)
        n = n * (1 + course.amount * (2 * np.where(phase < up, phase / up, (1 - phase) / (1 - up)) - 1))
    elif course.situation == "step":  # second-order answer of governor and flywheel
        pole = -1 / course.tempo + 2j * np.pi * g.uniform(0, 1.2)
        n = n * (1 + course.amount * (1 - np.real(np.exp(pole * late))))
    elif course.situation == "wandering":
        n = n * (1 + course.amount * _wander(t, course.tempo, g))
    elif course.situation == "throttled":
        n = course.target + (n - course.target) * (1 + late / course.tempo * 2) * np.exp(
            -2 * late / course.tempo
        )
    elif course.situation == "run-down":
        n = _coasting(n, course.tempo, late, g)
    return t, np.broadcast_to(n, t.shape).astype(float)


def _wander(t: Array, tempo: float, g: np.random.Generator) -> Array:
    """A filtered random walk between -1 and 1 that takes about `tempo` from edge to edge."""
    knots = np.arange(t[0] - 2 * tempo, t[-1] + 2 * tempo, tempo / 2)
    walk = np.interp(t, knots, np.convolve(g.uniform(-1, 1, len(knots)), [0.25, 0.5, 0.25], "same"))
    walk = np.convolve(walk, np.hanning(101) / np.hanning(101).sum(), "same")
    middle = (walk.max() + walk.min()) / 2
    return (walk - middle) / max(walk.max() - middle, 1e-9)


def _coasting(speed: float, stops_in: float, late: Array, g: np.random.Generator) -> Array:
    """Dry, viscous and air friction in a drawn mix, J dn/dt = -(a + b n + c n^2), to rest in `stops_in`."""
    dry, viscous, air = g.dirichlet([2.0, 1.5, 1.5])
    share = np.linspace(1, 0, 400)
    drag = 1 / (max(dry, 0.05) + viscous * share + air * share**2)
    since = np.concatenate([[0], np.cumsum((drag[1:] + drag[:-1]) / 2)])
    return speed * np.interp(late, since / since[-1] * stops_in, share)


def motion(engine: Engine, one: Cylinder, course: Course, cycles: Cycles, g: np.random.Generator) -> Motion:
    """Let it turn."""
    t, speed = meant(course, g)
    angle = np.concatenate([[0], np.cumsum((speed[1:] + speed[:-1]) / 2 * np.diff(t))])
    points, count = len(one.angle), int(np.ceil(1.08 * angle[-1] / engine.turns)) + 2
    released = float(np.interp(course.at_s, t, angle)) if course.situation == "run-down" else NEVER
    heat = _heats(engine, cycles, count, released, g)
    places = (np.array(engine.firings) * points).round().astype(int)
    top = 180 * engine.turns / STEP  # where in its cycle a cylinder fires
    torque = sum(
        (one.bare + np.outer(heat[:, i], one.heated)).ravel()[: count * points]
        if place == 0
        else np.roll((one.bare + np.outer(heat[:, i], one.heated)).ravel(), place)
        for i, place in enumerate(places)
    )
    grid = (np.arange(count * points) - top) * (engine.turns / points)
    work = torque.reshape(count, points)
    per_cycle = work.mean(axis=1)
    typical = float(np.median(per_cycle[: max(count // 3, 2)]))
    swing = np.cumsum((work - per_cycle[:, None]).ravel()) / points
    off = (per_cycle - typical) * (grid.reshape(count, points)[:, 0] < released)
    strength = g.uniform(0.01, 0.08) / max(float(one.heated.mean()) * 3.0, 1e-9)
    held, deviation = g.uniform(0.85, 0.97), np.zeros(count)
    for k in range(1, count):
        deviation[k] = held * deviation[k - 1] + strength * off[k - 1]
    asked = np.interp(grid, angle, speed / course.rev_s)
    energy = asked**2 * (
        1 + np.clip(np.interp(np.arange(len(grid)), np.arange(count) * points, deviation), -0.4, 0.6)
    )
    energy = energy + strength * swing
    stands = np.flatnonzero((energy < LEAST) & (grid > released))
    end = int(stands[0]) if len(stands) else len(grid)
    turning = course.rev_s * np.sqrt(np.maximum(energy[:end], LEAST))
    turning = turning / np.repeat(1 + cycles.jitter * g.standard_normal(count), points)[:end]
    spent = np.concatenate([[0], np.cumsum((grid[1] - grid[0]) * 2 / (turning[1:] + turning[:-1]))])
    moments = t[0] + spent
    found_release = float(np.interp(released, grid[:end], moments)) if released < NEVER else NEVER
    return Motion(
        moments, grid[:end], turning, heat, found_release, float(moments[-1]) if len(stands) else NEVER
    )


def _heats(engine: Engine, cycles: Cycles, count: int, released: float, g: np.random.Generator) -> Array:
    """Heat of each cycle of each cylinder: scattered, strong and weak in turn, missing, none after the release."""
    number = np.arange(count)[:, None]
    mean = g.uniform(2.0, 4.5)
    uneven = 1 + 0.06 * g.standard_normal(len(engine.firings))
    heat = (
        mean
        * uneven
        * np.clip(1 + cycles.scatter * g.standard_normal((count, len(engine.firings))), 0.1, None)
    )
    heat = heat * (1 + cycles.alternating * (-1.0) ** number)
    heat[g.random(heat.shape) < cycles.misfires] = 0
    fires = (number + np.array(engine.firings)) * engine.turns
    return np.where(fires < released, heat, 0.0)
