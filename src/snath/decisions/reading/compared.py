"""What do a shop's own comparisons beside a tachometer say of its readings from recordings?"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from snath.decisions.reading.reading import Reading
from snath.quantities.measured import Line, Measured

ENOUGH = 3  # comparisons from which a method counts as checked in this shop
FAR = 0.01  # share from which a comparison shows the method wrong, not just doubtful
WITHIN = 2.5  # times their common doubt that two figures may lie apart
SOURCE = "this shop's comparisons beside a tachometer"


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
    """

    method: str
    recorded: float
    u_recorded: float
    tachometer: float
    u_tachometer: float
    instrument: str = ""
    at: str = ""
    evidence: str = ""

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
    excess : float
        Standard uncertainty, as a share, beyond what recordings and tachometer claim themselves.
    agrees : bool
        True where there are enough and none contradicts.
    contradicts : bool
        True where one lies too far off.
    """

    count: int
    mean_off: float
    excess: float
    agrees: bool
    contradicts: bool


def checked(comparisons: Sequence[Comparison], method: str) -> Checked:
    """What a shop's comparisons say of one method."""
    own = [c for c in comparisons if c.method == method]
    if not own:
        return Checked(0, 0.0, 0.0, agrees=False, contradicts=False)
    square = sum(c.off**2 for c in own) / len(own)
    claimed = sum(c.u_off**2 for c in own) / len(own)
    contradicts = any(abs(c.off) > max(FAR, WITHIN * c.u_off) for c in own)
    doubtful = sum(abs(c.off) > WITHIN * c.u_off for c in own)
    return Checked(
        count=len(own),
        mean_off=sum(c.off for c in own) / len(own),
        excess=math.sqrt(max(square - claimed, 0.0)),
        agrees=len(own) >= ENOUGH and not contradicts and 2 * doubtful <= len(own),
        contradicts=contradicts,
    )


def with_comparisons(reading: Reading, comparisons: Sequence[Comparison]) -> Reading:
    """The reading with the doubt its own comparisons add, and confirmed where they agree."""
    check = checked(comparisons, reading.method)
    if not reading.decided or reading.value is None or not check.count:
        return reading
    value = reading.value
    if check.excess > 0:
        line = Line(SOURCE, check.excess * value.value, max(check.count - 1, 1))
        value = Measured(value.value, (*value.lines, line))
    why = reading.why
    if check.contradicts:
        why += "; but a comparison beside a tachometer in this shop contradicted this method"
    return replace(reading, value=value, confirmed=check.agrees and not check.contradicts, why=why)
