"""Judge a governor from points or a track: droop on both bases, steady band, hunting and response."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from snath.decisions.behaviour.asked import GovernorInput, Load
from snath.decisions.behaviour.figures import COVERAGE, FigureMet, TakenAt, figures_met
from snath.decisions.behaviour.ranges import checked_track, turning, typed_rpm
from snath.decisions.behaviour.steadiness import Changed, Steadiness, changes_of, steadiness_of
from snath.decisions.behaviour.stretches import Stretch, mean_speed, stretches
from snath.formulas.governor.alternator import alternator_frequency, alternator_speed
from snath.formulas.governor.droop import droop_on_loaded, droop_on_no_load
from snath.formulas.governor.hunting import SHORTEST
from snath.quantities.errors import InputError, within
from snath.quantities.measured import Measured, combine
from snath.quantities.message import Amount, Message
from snath.rules.book import Rule

LIVELY = 0.01  # chance that noise alone shows such a swing
HUNTS = Message("governor.hunts")
INVERTER = Message("governor.inverter")
SMALL_SETS = Message("governor.small-sets")
RECOVERY_BAND = Message("governor.recovery-band")


@dataclass(frozen=True, slots=True)
class GovernorResult:
    """What can be said about the governor.

    Attributes
    ----------
    no_load, loaded : Measured or None
        [rev/s]
    droop_on_loaded, droop_on_no_load : Measured or None
        The same fall on its two bases. [1]
    steady : tuple of Steadiness
    changes : tuple of Changed
    hunts : bool or None
        None where nothing long enough was recorded: not known.
    half_swing : float
        Of the deepest hunting at no load, else at load; 0 where none was found. [rev/s]
    reach : float
        What speed went above its mean as far as it was seen, hunting or not. [rev/s]
    upper_edge : float or None
        No-load speed with that on top, the edge a ceiling is judged at. [rev/s]
    frequency : tuple of (float, float) or None
        At no load and loaded. [Hz]
    figures : tuple of FigureMet
        Each figure of each class, by itself.
    notes, next_steps : tuple of Message
    """

    no_load: Measured | None
    loaded: Measured | None
    droop_on_loaded: Measured | None
    droop_on_no_load: Measured | None
    steady: tuple[Steadiness, ...]
    changes: tuple[Changed, ...]
    hunts: bool | None
    half_swing: float
    reach: float
    upper_edge: float | None
    frequency: tuple[float, float] | None
    figures: tuple[FigureMet, ...]
    notes: tuple[Message, ...]
    next_steps: tuple[Message, ...]

    @property
    def rise(self) -> float:
        """What the speed goes above its mean for more than noise, hunting or lively. [rev/s]"""
        told = bool(self.hunts) or any(note.code == "governor.lively" for note in self.notes)
        return self.reach if told else 0.0


def judge_governor(given: GovernorInput, rules: tuple[Rule, ...] = ()) -> GovernorResult:
    """Everything the points and the track say.

    Raises
    ------
    InputError
        If there is nothing to work on, loaded is above no-load, or the track is too short.
    """
    cuts = _checked(given)
    no_load, loaded = _points(given, cuts)
    track = given.track
    base = _rated(given) or (loaded.value if loaded else None)
    steady = () if track is None else tuple(steadiness_of(track, cuts))
    changes = () if track is None else tuple(changes_of(track, cuts, rated=base))
    swing = _swing(steady)
    on_loaded, on_no_load = _droops(no_load, loaded)
    return GovernorResult(
        no_load=no_load,
        loaded=loaded,
        droop_on_loaded=on_loaded,
        droop_on_no_load=on_no_load,
        steady=steady,
        changes=changes,
        hunts=swing > 0 if steady else None,
        half_swing=swing,
        reach=(reach := _reach(steady, swing)),
        upper_edge=None if no_load is None else no_load.value + reach,
        frequency=_frequency(given, no_load, loaded),
        figures=_figures(given, rules, on_loaded, steady, changes, cuts),
        notes=(*_notes(given, swing > 0, changes), *_not_seen(steady)),
        next_steps=tuple(_next_steps(no_load, loaded, steady)),
    )


def _checked(given: GovernorInput) -> tuple[Stretch, ...]:
    if given.no_load is None and given.loaded is None and given.track is None:
        raise InputError("governor", "nothing", Message("governor.needs-speeds"))
    for name, speed in (("no_load", given.no_load), ("loaded", given.loaded)):
        if speed is not None:
            turning(name, speed.value)
    if given.alternator is not None and not given.alternator.inverter:
        within("frequency", given.alternator.rated_frequency, 1, 1000, "Hz")
    for name, watts in (("load", given.load_w), ("rated output", given.rated_w)):
        if watts is not None:
            within(name, watts, 0, 1e7, "W", open_low=name != "load")
    if given.track is None:
        return ()
    track = given.track
    checked_track(track, fewest=2)
    length = track.t_s[-1] - track.t_s[0]
    if length < SHORTEST:
        raise InputError("track", f"{length:.2f} s", Message("track.too-short-seconds", least=SHORTEST))
    return stretches(track, otherwise=given.track_load)


def _points(given: GovernorInput, cuts: tuple[Stretch, ...]) -> tuple[Measured | None, Measured | None]:
    """Typed points first; what is missing is read off the track's longest stretch under that load."""

    def seen(load: Load) -> Measured | None:
        under = [cut for cut in cuts if cut.load == load]
        if given.track is None or not under:
            return None
        return mean_speed(given.track, max(under, key=lambda cut: cut.length))

    return given.no_load or seen("no load"), given.loaded or seen("loaded")


def _droops(no_load: Measured | None, loaded: Measured | None) -> tuple[Measured | None, Measured | None]:
    if no_load is None or loaded is None:
        return None, None
    top, under = no_load.value, loaded.value
    if top < under <= top + COVERAGE * math.hypot(no_load.u, loaded.u):
        under = top  # a governor without droop, read twice: the readings differ by their own doubt
    if top < under:
        swapped = Message("governor.loaded-above", no_load=Amount(top, "rotation"))
        raise InputError("loaded", typed_rpm(under), swapped)
    on_loaded = float(droop_on_loaded(no_load=top, loaded=under))
    on_no_load = float(droop_on_no_load(no_load=top, loaded=under))
    return (
        combine(on_loaded, [(no_load, 1 / under), (loaded, -top / under**2)]),
        combine(on_no_load, [(no_load, under / top**2), (loaded, -1 / top)]),
    )


def _rated(given: GovernorInput) -> float | None:
    """Rated speed where an alternator tied to it names one. [rev/s]"""
    alternator = given.alternator
    if alternator is None or alternator.inverter:
        return None
    return float(alternator_speed(frequency=alternator.rated_frequency, poles=alternator.poles))


def _swing(steady: tuple[Steadiness, ...]) -> float:
    found = [one for one in steady if one.hunting.found]
    unloaded = [one for one in found if one.load == "no load"]
    return max((one.hunting.half_swing for one in unloaded or found), default=0.0)


def _reach(steady: tuple[Steadiness, ...], swing: float) -> float:
    """A lively governor is no hunting one, and its speed goes up as well."""
    unloaded = [one.band.top - one.band.mean for one in steady if one.load == "no load"]
    return max(swing, *(unloaded or [0.0]))


def _frequency(
    given: GovernorInput, no_load: Measured | None, loaded: Measured | None
) -> tuple[float, float] | None:
    alternator = given.alternator
    if alternator is None or alternator.inverter or no_load is None or loaded is None:
        return None
    top, under = (
        float(alternator_frequency(rotation=speed.value, poles=alternator.poles))
        for speed in (no_load, loaded)
    )
    return top, under


def _figures(
    given: GovernorInput,
    rules: tuple[Rule, ...],
    droop: Measured | None,
    steady: tuple[Steadiness, ...],
    changes: tuple[Changed, ...],
    cuts: tuple[Stretch, ...],
) -> tuple[FigureMet, ...]:
    """None at all for an inverter, or where there is no alternator."""
    rated = _rated(given)
    if rated is None:
        return ()
    taken = TakenAt(given.load_w, given.rated_w, rated)
    found = figures_met(
        rules, taken, droop=droop, steady=steady, changes=changes, track=given.track, cuts=cuts
    )
    return tuple(found)


def _notes(given: GovernorInput, hunts: bool, changes: tuple[Changed, ...]) -> Iterator[Message]:
    if hunts:
        yield HUNTS
    alternator = given.alternator
    if alternator is not None and alternator.inverter:
        yield INVERTER
    elif alternator is not None:
        yield SMALL_SETS
        if changes:
            yield RECOVERY_BAND


def _not_seen(steady: tuple[Steadiness, ...]) -> Iterator[Message]:
    """No record says that an engine is steady: it says how long nothing was seen, and of which swings."""
    quiet = [one.hunting for one in steady if not one.hunting.found]
    if not quiet or len(quiet) < len(steady):
        return
    shortest = min(quiet, key=lambda hunting: hunting.seconds)
    slowest = Amount(1 / shortest.lowest, "time")
    yield Message("governor.not-seen", seconds=Amount(shortest.seconds, "time"), slowest=slowest)
    lively = max((h.half_swing for h in quiet if h.chance <= LIVELY and not h.kept_up), default=0.0)
    if lively:
        yield Message("governor.lively", height=Amount(lively, "rotation"))


def _next_steps(
    no_load: Measured | None, loaded: Measured | None, steady: tuple[Steadiness, ...]
) -> Iterator[Message]:
    if no_load is None:
        yield Message("governor.read-no-load")
    if loaded is None:
        yield Message("governor.read-loaded")
    if not steady:
        yield Message("governor.record-longer", least=SHORTEST)
