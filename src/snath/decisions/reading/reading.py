"""Define a reading: the speed of one shaft under one condition, or an honest "cannot tell"."""

from dataclasses import dataclass

from snath.decisions.machine.parts import CRANKSHAFT, Condition
from snath.formulas.signals.candidates import Candidate, Plateau
from snath.quantities.measured import Measured
from snath.quantities.message import Message

LEAST_DOUBT = 0.1 / 60  # rev/s; a smaller one is printed as none
STEADY_WITHIN = 0.03  # of the speed; beyond it a clip holds a load step or a throttle, not one setting


@dataclass(frozen=True, slots=True)
class Withdrawal:
    """Why a reading no longer counts, who said so, and when (ISO 8601); the reading itself is kept."""

    reason: str
    by: str
    at: str = ""


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading of one shaft.

    Attributes
    ----------
    shaft : str
        Where it was taken.
    condition : str
        blades off, blades in air, cutting or peak.
    method : str
        "typed", "sound", "pulses", "light", "stroboscope", "fused".
    value : Measured or None
        The speed with its budget; None where it is not decided. [rev/s]
    decided : bool
        Whether the candidates leave one speed.
    candidates : tuple of Candidate
        All that fit.
    instrument : str
        Id of the instrument it was taken with; empty for a bare recording.
    at : str
        When, ISO 8601 with offset.
    repeats : tuple of float
        Single readings behind a typed value. [rev/s]
    why : Message or str
        Why it is decided or not; text where a version before messages kept it so.
    next_steps : tuple of Message or str
        What to measure to decide it.
    confirmed : bool
        False while it is an indication only: a lone reading, or a sound never checked beside a
        tachometer in this shop.
    hunting : float or None
        Half the swing of a hunting engine, None where none was found or looked for. [rev/s]
    lowest, highest : float or None
        Range of the speed within a recording; None where it was not followed. [rev/s]
    evidence : str
        SHA-256 of the recording, where there is one.
    plateaus : tuple of Plateau
        The speeds held one after the other within a recording, where there are several; else none.
    turned : str
        What was turned on the machine before it was taken, in words; empty where nothing was.
    withdrawn : Withdrawal or None
        Set where it no longer counts.
    """

    shaft: str = CRANKSHAFT
    condition: Condition = "blades in air"
    method: str = "typed"
    value: Measured | None = None
    decided: bool = False
    candidates: tuple[Candidate, ...] = ()
    instrument: str = ""
    at: str = ""
    repeats: tuple[float, ...] = ()
    why: Message | str = ""
    next_steps: tuple[Message | str, ...] = ()
    confirmed: bool = True
    hunting: float | None = None
    evidence: str = ""
    lowest: float | None = None
    highest: float | None = None
    plateaus: tuple[Plateau, ...] = ()
    turned: str = ""
    withdrawn: Withdrawal | None = None

    @property
    def doubt(self) -> float | None:
        """Twice what it doubts of itself; None where it brings none, its instrument's being told apart. [rev/s]"""
        own = 2 * self.value.u if self.value else 0.0
        return own if own >= LEAST_DOUBT else None

    @property
    def several_held(self) -> bool:
        """Whether the recording holds several speeds, so that its mean is none of them."""
        return len(self.plateaus) > 1

    @property
    def unsteady(self) -> bool:
        """Whether the speed moved so far within the recording that its mean is no sustained speed."""
        if self.value is None or self.lowest is None or self.highest is None or self.hunting is not None:
            return False
        return self.highest - self.lowest > STEADY_WITHIN * self.value.value
