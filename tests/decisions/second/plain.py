"""The same questions answered a second time, from the sheet's own figures and the rules as the docs print them.

Nothing of `snath` is imported here. Speeds in rpm, lengths in inches; a figure is a value with the standard
uncertainty each cause brings to it. Formulas: n = v / (pi D), n = 120 f / p, ratios of outside and of datum diameters
(Machinery's Handbook 31, table 9: A 0.250 in, B 0.350 in between them), the larger of two (Clark 1961, from memory).
"""

import math
from dataclasses import dataclass, field
from itertools import product

from scipy.stats import norm, t

CRANK = "crankshaft"
TIP = 19_000  # ft/min, B71.1 and B71.4
MM = 1 / 25.4  # in
DATUM = {"A": 0.250, "B": 0.350}
WORN = 3 * MM
BAR = 3.0
NORMAL = float(norm.ppf(0.95))
T2, T2_FIRST = float(t.ppf(0.95, 2)), float(t.ppf(0.975, 2))  # half of the risk at the first look
MET = 1.1
KIND = {"other": 0.05, "optical": 0.01}


@dataclass(frozen=True)
class Figure:
    """A value and what each cause brings to it."""

    value: float
    causes: dict[str, float] = field(default_factory=dict)

    def __truediv__(self, other: "Figure") -> "Figure":
        value = self.value / other.value
        shares = {k: u / other.value for k, u in self.causes.items()}
        for k, u in other.causes.items():
            shares[k] = shares.get(k, 0.0) - u * value / other.value
        return Figure(value, shares)

    def __mul__(self, other: "Figure") -> "Figure":
        shares = {k: u * other.value for k, u in self.causes.items()}
        for k, u in other.causes.items():
            shares[k] = shares.get(k, 0.0) + u * self.value
        return Figure(self.value * other.value, shares)

    def times(self, factor: float) -> "Figure":
        return Figure(self.value * factor, {k: u * factor for k, u in self.causes.items()})


@dataclass(frozen=True)
class Joint:
    """A coupling: driven over driver speed in each way it may be; `slip` None where a belt states none."""

    driver: str
    driven: str
    ratios: list[Figure]
    slip: float | None


@dataclass(frozen=True)
class Limit:
    """One limit: at which speed of which shaft it is met, in each size, and how far that leans."""

    member: str
    shaft: str
    side: str
    met: list[tuple[Figure, float]]
    with_engine: bool  # turns on while the blades are disengaged
    no_load: bool
    loaded: bool


@dataclass(frozen=True)
class Machine:
    """What the sheet says."""

    engine: dict[str, object]
    joints: list[Joint]
    limits: list[Limit]
    uncovered: bool  # some part no ceiling speaks of, or no ceiling at all

    @property
    def hand(self) -> bool:
        return self.engine.get("clutch") == "by hand"

    @property
    def droop(self) -> float:
        if self.engine.get("governor") == "none":
            return math.inf
        stated = self.engine.get("droop")
        usual = 0.2 if self.engine.get("governor") == "air vane" else 0.1
        return usual if stated is None else float(stated)


def length(value: float, cause: str, half: float | None, *, page: bool = False) -> Figure:
    """A measured length; without ± a tape's sixteenth, from a maker's page none."""
    width = 0.0 if page and half is None else 1 / 16 if half is None else half
    return Figure(value, {cause: width / math.sqrt(3)} if width else {})


def larger(first: Figure, second: Figure) -> tuple[Figure, float]:
    """The larger of two arms as it measures, and how much longer it is on average (Clark 1961)."""
    (a, ua), (b, ub) = ((f.value, math.hypot(*f.causes.values())) for f in (first, second))
    spread = math.hypot(ua, ub)
    z = (a - b) / spread
    chance, density = float(norm.cdf(z)), float(norm.pdf(z))
    mean = a * chance + b * (1 - chance) + spread * density
    square = (a**2 + ua**2) * chance + (b**2 + ub**2) * (1 - chance) + (a + b) * spread * density
    longest = max(a, b)
    return Figure(longest, {"arms": math.sqrt(max(square - mean**2, 0.0))}), mean - longest


def belt(
    section: str, driver: Figure, driven: Figure, rides: tuple[list[Figure], list[Figure]]
) -> list[Figure]:
    """Ratios by outside and by datum diameter, in the grooves as they may be worn."""
    above, below = rides
    found = []
    for offset in (0.0, DATUM[section]):
        for a, b in product(above, below):
            circles = [
                Figure(
                    d.value - offset - 2 * r.value, {**d.causes, **{k: -2 * u for k, u in r.causes.items()}}
                )
                for d, r in ((driver, a), (driven, b))
            ]
            found.append(circles[0] / circles[1])
    return found


def way_between(machine: Machine, of: str, per: str) -> tuple[list[Joint], list[Joint]]:
    """Joints on the way down to one shaft and up from the other, without those they share."""
    into = {joint.driven: joint for joint in machine.joints}

    def path(shaft: str) -> list[Joint]:
        found: list[Joint] = []
        while shaft != CRANK:
            found.insert(0, into[shaft])
            shaft = into[shaft].driver
        return found

    down, up = path(of), path(per)
    while down and up and down[0] is up[0]:
        down, up = down[1:], up[1:]
    return down, up


def speeds_of(machine: Machine, limit: Limit, at: str) -> list[tuple[Figure, float]]:
    """Speeds of a shaft at which a limit is met, in every alternative, with how far each leans."""
    down, up = way_between(machine, limit.shaft, at)
    slip_down, slip_up = (1 - math.prod(1 - (j.slip or 0.0) for j in way) for way in (down, up))
    shares = [1.0]
    if limit.side == "floor" and slip_down:
        shares.append(1 / (1 - slip_down))
    if slip_up:
        shares.append(1 - slip_up)
    found = []
    for (met, lean), share in product(limit.met, shares):
        for ratios in product(*(joint.ratios for joint in (*down, *up))):
            speed = met
            for place, ratio in enumerate(ratios):
                speed = speed / ratio if place < len(down) else speed * ratio
            found.append((speed.times(share), lean * speed.value / met.value * share))
    return found


def window(machine: Machine) -> tuple[float | None, float | None, set[str]]:
    """Ceiling, floor at no load, and the members that bind."""
    tops: dict[str, float] = {}
    bottoms = []
    for limit in machine.limits:
        values = [figure.value for figure, _ in speeds_of(machine, limit, CRANK)]
        if limit.side == "ceiling":
            tops[limit.member] = min(tops.get(limit.member, math.inf), *values)
        else:
            raised = 1 + float(machine.engine.get("droop") or 0.0) if limit.member != "engine" else 1.0
            bottoms.append(max(values) * raised)
    ceiling = min(tops.values(), default=None)
    binding = {name for name, top in tops.items() if ceiling is not None and top <= ceiling * (1 + 1e-12)}
    return ceiling, max(bottoms, default=None), binding


@dataclass(frozen=True)
class Read:
    """How one speed was read: a stated u [rpm], a plate in date (share), or a kind nothing is known of."""

    shaft: str
    condition: str
    u: float | None = None
    plate: float | None = None
    kind: str = "other"

    def doubts(self, shown: float) -> tuple[float, float, float, float]:
        """Scatter or stated u, the plate's u, what is taken whole, and the factor on a limit's own doubt."""
        if self.u is not None:
            return self.u, 0.0, 0.0, 1.0
        scatter = max(0.005 * shown, 15.0)
        if self.plate is not None:
            return scatter, self.plate * shown / math.sqrt(3), 0.5, MET
        return scatter, 0.0, max(KIND[self.kind] * shown, 1.0), MET


def reach(machine: Machine, read: str, wanted: str) -> tuple[float, float]:
    """Least and most a condition's speed is of the one read."""
    order = ["cutting", "blades in air", "blades off"]
    d = machine.droop
    if read == wanted:
        return 1.0, 1.0
    if order.index(wanted) > order.index(read):
        return 1.0, 1 + d
    return 1 / (1 + d), 1.0


def judge(machine: Machine, read: Read, shown: float) -> str:
    """pass, fail or undecided."""
    single, plate, off, met = read.doubts(shown)

    def guard(bound: Figure, factor: float, *, first: bool = True) -> float:
        own = NORMAL if read.u is not None else T2_FIRST if first else T2
        rest = NORMAL * math.hypot(plate * factor, *(met * u for u in bound.causes.values()))
        return math.hypot(own * single * factor, rest)

    words = []
    for limit in machine.limits:
        down, up = way_between(machine, limit.shaft, read.shaft)
        loose_up = any(joint.slip is None for joint in up)
        loose_down = any(joint.slip is None for joint in down)
        sign = 1 if limit.side == "ceiling" else -1
        for loaded in [False] * limit.no_load + [True] * limit.loaded:
            wanted = (
                "cutting"
                if loaded
                else "blades off"
                if machine.hand and limit.with_engine
                else "blades in air"
            )
            slow, fast = reach(machine, read.condition, wanted)
            worse, mild = (fast, slow) if sign > 0 else (slow, fast)
            clears = not loose_up if sign > 0 else limit.member == "engine" or not loose_down
            condemns = sign > 0 or not loose_up
            passed = failed = True
            for speed, lean in speeds_of(machine, limit, read.shaft):
                believed = speed.value + lean
                if worse in (0.0, math.inf):
                    passed = False
                else:
                    passed &= sign * ((shown + sign * off) * worse - believed) + guard(speed, worse) <= 0
                if mild in (0.0, math.inf):
                    failed = False
                else:
                    failed &= sign * ((shown - sign * off) * mild - believed) - guard(speed, mild) >= 0
            word = "fail" if failed and condemns else "pass" if passed and clears else "undecided"
            if loaded:
                word = "fail" if word == "fail" else "pass"  # an open work line holds nothing up
            elif word == "pass" and machine.uncovered:
                word = "undecided"
            words.append(word)
    words.append(maker(machine, read, shown, guard))
    if machine.uncovered:
        words.append("undecided")
    return "fail" if "fail" in words else "undecided" if "undecided" in words else "pass"


def maker(machine: Machine, read: Read, shown: float, guard: object) -> str:
    """The maker's line: met without a guard band, out only where it is surely past."""
    figure = machine.engine.get("figure")
    if figure is None:
        return "pass"
    speed, tolerance, condition = figure
    single, plate, off, _ = read.doubts(shown)
    slow, fast = reach(machine, read.condition, condition if machine.hand else "blades in air")
    _, up = way_between(machine, CRANK, read.shaft)
    loose = any(joint.slip is None for joint in up)
    slip = 1 - math.prod(1 - (joint.slip or 0.0) for joint in up)
    inside, fast_out, slow_out = not loose, True, True
    for share in {1.0, 1 / (1 - slip)}:
        for ratios in product(*(joint.ratios for joint in up)):
            turn = Figure(1.0)
            for ratio in ratios:
                turn = turn / ratio
            at = shown * turn.value * share
            low, high = speed - tolerance, speed + tolerance
            inside &= low * (1 - 1e-9) <= at * slow and at * fast <= high * (1 + 1e-9)

            def past(gap: float, factor: float, turn: Figure = turn, share: float = share) -> bool:
                if factor in (0.0, math.inf):
                    return False
                scale = turn.value * share * factor
                own = NORMAL if read.u is not None else T2
                rest = math.hypot(plate * scale, *(u * shown * share * factor for u in turn.causes.values()))
                return gap - off * scale >= math.hypot(own * single * scale, NORMAL * rest)

            fast_out &= past(at * slow - high, slow)
            slow_out &= past(low - at * (0.0 if loose else fast), 0.0 if loose else fast)
    # A drive between two of these ends may turn the crankshaft at any speed between.
    return "pass" if inside else "fail" if fast_out or slow_out else "undecided"


def band(machine: Machine, read: Read, top: float = 8000.0, step: float = 8.0) -> tuple[float, float] | None:
    """Ends of the speeds that pass, by walking up and halving; None where none was met."""
    passing = [at for at in _walk(top, step) if judge(machine, read, at) == "pass"]
    if not passing:
        return None
    return (
        _halve(machine, read, passing[0], passing[0] - step),
        _halve(machine, read, passing[-1], passing[-1] + step),
    )


def _walk(top: float, step: float) -> list[float]:
    return [step * place for place in range(30, int(top / step))]


def _halve(machine: Machine, read: Read, inside: float, outside: float) -> float:
    if judge(machine, read, outside) == "pass":
        return outside
    for _ in range(30):
        middle = (inside + outside) / 2
        inside, outside = (middle, outside) if judge(machine, read, middle) == "pass" else (inside, middle)
    return inside
