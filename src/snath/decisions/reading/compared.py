"""Learn from a shop's own comparisons beside a tachometer what its readings from recordings are worth."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from statistics import fmean, variance

from snath.decisions.reading.budget import taken
from snath.decisions.reading.reading import Reading
from snath.quantities.measured import Line, Measured
from snath.quantities.message import Message

ENOUGH = 3  # comparisons from which a method counts as checked in this shop
FAR = 0.01  # share from which a comparison shows the method wrong, not just doubtful
WITHIN = 2.5  # times their common doubt that two figures may lie apart
BIAS = Message("budget.comparisons-mean")


@dataclass(frozen=True, slots=True)
class Comparison:
    """One recording beside one tachometer, of the same shaft at the same time.

    Attributes
    ----------
    method : str
        sound, pulses, light or fused: how the recording was read.
    recorded, u_recorded : float
        Speed by the recording. [rev/s]
    tachometer, u_tachometer : float
        Speed by the tachometer. [rev/s]
    instrument, at, evidence : str
        Which tachometer, when (ISO 8601), and the recording's SHA-256.
    recorder : str
        Which phone or pick-up recorded it; empty where nobody said.
    """

    method: str
    recorded: float
    u_recorded: float
    tachometer: float
    u_tachometer: float
    instrument: str = ""
    at: str = ""
    evidence: str = ""
    recorder: str = ""

    @property
    def off(self) -> float:
        """Recording less tachometer, as a share of the tachometer."""
        return self.recorded / self.tachometer - 1

    @property
    def u_off(self) -> float:
        """Standard uncertainty of that share."""
        return math.hypot(self.u_recorded / self.recorded, self.u_tachometer / self.tachometer)


@dataclass(frozen=True, slots=True)
class Checked:
    """What the comparisons of one method come to.

    Attributes
    ----------
    count : int
        How many there are.
    mean_off : float
        Mean of recording less tachometer, as a share.
    bias, spread : float
        Standard uncertainties, as shares, that the mean difference and the scatter about it bring beyond
        what recordings and tachometer claim themselves. The first is common to all readings, the second
        falls anew with each.
    agrees : bool
        True where there are enough and none contradicts.
    contradicts : bool
        True where one lies too far off.
    """

    count: int
    mean_off: float
    bias: float
    spread: float
    agrees: bool
    contradicts: bool


def checked(comparisons: Sequence[Comparison], method: str, *, recorder: str = "") -> Checked:
    """What a shop's comparisons say of one method, and of one phone or pick-up where one is named."""
    own = [c for c in comparisons if c.method == method and recorder in ("", c.recorder)]
    if not own:
        return Checked(0, 0.0, 0.0, 0.0, agrees=False, contradicts=False)
    contradicts = any(abs(c.off) > max(FAR, WITHIN * c.u_off) for c in own)
    doubtful = sum(abs(c.off) > WITHIN * c.u_off for c in own)
    bias, spread = _beyond_claims(own)
    return Checked(
        count=len(own),
        mean_off=fmean(c.off for c in own),
        bias=bias,
        spread=spread,
        agrees=len(own) >= ENOUGH and not contradicts and 2 * doubtful <= len(own),
        contradicts=contradicts,
    )


def _beyond_claims(own: Sequence[Comparison]) -> tuple[float, float]:
    """Mean difference and scatter of single ones, less what was claimed anyway.

    Which of the two a claimed doubt was meant for nobody knows, so it is taken off both by their shares.
    """
    off = [c.off for c in own]
    squares = (fmean(off) ** 2, variance(off) if len(off) > 1 else 0.0)
    both, claimed = sum(squares), fmean(c.u_off**2 for c in own)
    left = max(1 - claimed / both, 0.0) if both > 0 else 0.0
    return math.sqrt(squares[0] * left), math.sqrt(squares[1] * left)


def with_comparisons(reading: Reading, comparisons: Sequence[Comparison], *, recorder: str = "") -> Reading:
    """The reading with the doubt its own comparisons add, line by line, and confirmed where they agree."""
    check = checked(comparisons, reading.method, recorder=recorder)
    if not reading.decided or reading.value is None or not check.count:
        return reading
    value = reading.value
    value = Measured(value.value, (*value.lines, *_lines(check, value.value, reading)))
    why = reading.why
    if check.contradicts:
        why = Message("reading.but-contradicted", why=why)
    return replace(reading, value=value, confirmed=check.agrees and not check.contradicts, why=why)


def _lines(check: Checked, speed: float, reading: Reading) -> Iterator[Line]:
    """A line for each cause; the mean difference goes by one name, so that two readings share it."""
    dof = max(check.count - 1, 1)
    if check.bias > 0:
        yield Line(BIAS, check.bias * speed, dof)
    if check.spread > 0:
        own = taken(reading.shaft, reading.condition, reading.evidence[:8])
        yield Line(Message("budget.comparisons", count=check.count, **own), check.spread * speed, dof)
