"""A simulated engine with a governor: crankshaft, flyweights, throttle and load as differential equations.

Truth for the tests of droop, hunting and response; its equations stand in docs/governor.md. It shares no
line with what reads the tracks. Speeds and torques are shares of rated speed and full torque.
"""

from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import brentq

from snath.formulas.signals.candidates import Event, Track

STEP = 0.002  # s
ROUGH_TIME = 0.08  # s; how long a good or a bad combustion is felt


@dataclass(frozen=True, slots=True)
class GovernedEngine:
    """One engine, or many side by side when its values are arrays.

    Attributes
    ----------
    run_up : float
        Time full torque alone takes from rest to rated speed, the inertia. [s]
    lag : float
        Of torque behind the throttle. [s]
    natural : float
        Natural angular frequency of flyweights and spring. [rad/s]
    damping : float
        Their damping ratio.
    band : float
        Speed change, as a share, that moves the throttle over its whole travel.
    setting : float
        Speed at which the governor would hold the throttle at `rest`.
    rest : float
        That throttle position.
    least, most : float
        Stops of the throttle.
    drag : float
        Own friction at rated speed, growing with speed.
    fade : float
        Loss of torque with speed.
    """

    run_up: object = 0.6
    lag: object = 0.06
    natural: object = 40.0
    damping: object = 0.5
    band: object = 0.06
    setting: object = 1.04
    rest: object = 0.15
    least: object = 0.0
    most: object = 1.0
    drag: object = 0.1
    fade: object = 0.5


def steady_speed(engine: GovernedEngine, load: float) -> float:
    """Speed at which torque, load and governor balance: the truth about droop, by root finding."""

    def surplus(w: float) -> float:
        asked = engine.rest - (w**2 - engine.setting**2) / (2 * engine.band)
        throttle = min(max(asked, engine.least), engine.most)
        return throttle * (1 + engine.fade * (1 - w)) - load - engine.drag * w

    return float(brentq(surplus, 0.2, 1.5, xtol=1e-14))


def roots_at(engine: GovernedEngine, *, throttle: float = 0.2) -> np.ndarray:
    """Roots of the small-signal loop near rated speed; a positive real part hunts."""
    weights = [1 / engine.natural**2, 2 * engine.damping / engine.natural, 1.0]
    shaft = [
        engine.run_up * engine.lag,
        engine.run_up + engine.drag * engine.lag,
        engine.drag + engine.fade * throttle,
    ]
    loop = np.polymul(weights, shaft)
    loop[-1] += 1 / engine.band
    return np.roots(loop)


def critical_band(engine: GovernedEngine) -> float:
    """Band below which this engine hunts."""

    def growth(band: float) -> float:
        return float(roots_at(replace(engine, band=band)).real.max())

    return float(brentq(growth, 1e-4, 50.0))


def slowed(engine: GovernedEngine, factor: float) -> GovernedEngine:
    """The same engine with every time stretched: it hunts at 1 / factor the rate."""
    return replace(
        engine, run_up=engine.run_up * factor, lag=engine.lag * factor, natural=engine.natural / factor
    )


def side_by_side(engines: list[GovernedEngine]) -> GovernedEngine:
    """Many engines as one, with arrays for values."""
    names = GovernedEngine.__slots__
    return GovernedEngine(**{n: np.array([float(getattr(e, n)) for e in engines]) for n in names})


def ride(
    engine: GovernedEngine,
    *,
    seconds: float,
    loads: tuple[tuple[float, object], ...] = ((0.0, 0.0),),
    roughness: float = 0.0,
    start: object = None,
    generator: np.random.Generator | None = None,
) -> tuple[np.ndarray, np.ndarray]:
    """Moments and speed, as a share of rated; speed has one column for each engine.

    Parameters
    ----------
    engine : GovernedEngine
    seconds : float
    loads : tuple of (float, float or array)
        From when which load torque.
    roughness : float
        Standard deviation of torque from one combustion to the next, over full torque.
    start : array_like or None
        Speed at the start; None for the setting.
    generator : Generator or None
        Needed where it runs rough.
    """
    columns = np.broadcast(*(getattr(engine, n) for n in GovernedEngine.__slots__)).size
    w = np.array(np.broadcast_to(engine.setting if start is None else start, columns), dtype=float)
    load = loads[0][1]
    throttle = np.clip((load + engine.drag * w) / (1 + engine.fade * (1 - w)), engine.least, engine.most)
    state = np.array([w, load + engine.drag * w, engine.rest - throttle, np.zeros(columns)])
    count = round(seconds / STEP)
    speeds = np.empty((count + 1, columns))
    speeds[0] = w
    rough, keep = np.zeros(columns), np.exp(-STEP / ROUGH_TIME)
    for place in range(count):
        load = [value for since, value in loads if since <= place * STEP + 1e-9][-1]
        if np.any(roughness):
            rough = keep * rough + roughness * np.sqrt(1 - keep**2) * generator.standard_normal(columns)
        state = _runge_kutta(engine, state, load - rough)
        speeds[place + 1] = state[0]
    return np.arange(count + 1) * STEP, speeds


def measured(
    times: np.ndarray,
    speed: np.ndarray,
    *,
    rated: float,
    every: float,
    noise: float,
    generator: np.random.Generator,
    events: tuple[Event, ...] = (),
    shaft: str = "crankshaft",
) -> Track:
    """The track a reader would hand over: sampled, with noise as a share of rated speed. [rev/s]"""
    wanted = np.arange(times[0], times[-1], every)
    clean = np.interp(wanted, times, speed) * rated
    noisy = clean + noise * rated * generator.standard_normal(wanted.size)
    return Track(
        shaft=shaft,
        t_s=tuple(wanted.tolist()),
        rev_s=tuple(noisy.tolist()),
        u=(noise * rated,) * wanted.size,
        events=events,
    )


def _runge_kutta(engine, state, load):
    k1 = _rate(engine, state, load)
    k2 = _rate(engine, state + STEP / 2 * k1, load)
    k3 = _rate(engine, state + STEP / 2 * k2, load)
    k4 = _rate(engine, state + STEP * k3, load)
    return state + STEP / 6 * (k1 + 2 * k2 + 2 * k3 + k4)


def _rate(engine, state, load):
    w, torque, lever, speed = state  # lever: how far the governor has closed the throttle from `rest`
    throttle = np.clip(engine.rest - lever, engine.least, engine.most)
    pull = (w**2 - engine.setting**2) / (2 * engine.band)
    return np.array(
        [
            (torque - load - engine.drag * w) / engine.run_up,
            (throttle * (1 + engine.fade * (1 - w)) - torque) / engine.lag,
            speed,
            engine.natural**2 * (pull - lever) - 2 * engine.damping * engine.natural * speed,
        ]
    )
