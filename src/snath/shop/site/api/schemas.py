"""Say what may be sent to each address of the API."""

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, StringConstraints

from snath.decisions.machine.parts import CRANKSHAFT, Condition
from snath.rules.scope import MARKETS
from snath.shop.media.decoder import LONGEST_S
from snath.shop.media.request import Kind

PLAIN = r"^[^\x00]*$"  # no zero byte
MOST_READINGS = 100
MOST_LISTED = 999_999_999


def _text(name: str, example: str, most: int = 200) -> object:
    """A text of a kind that has a name, with one that would do."""
    return Field(json_schema_extra={"format": name, "examples": [example]}, max_length=most, pattern=PLAIN)


Shaft = Annotated[str, _text("shaft", CRANKSHAFT)]
Length = Annotated[str, _text("length", "22 in")]
Speed = Annotated[str, _text("speed", "3,190 rpm")]
Doubt = Annotated[str, _text("doubt", "5 rpm")]
Accuracy = Annotated[str, _text("accuracy", "0.1 %")]
Instrument = Annotated[str, _text("instrument", "optical")]
RuleId = Annotated[str, _text("rule", "mower-tip-speed-consumer")]
Sheet = Annotated[str, _text("sheet", "a machine sheet (TOML)", 100_000)]
Market = Annotated[str, StringConstraints(pattern=f"^({'|'.join(('', *MARKETS))})$")]
Seconds = Annotated[float, Field(ge=0, le=LONGEST_S)]


class Sent(BaseModel):
    """What may be sent at all: nothing that is not named."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, allow_inf_nan=False)


class Asking(Sent):
    """What everything that is asked of the rules may say."""

    market: Market = ""
    decimal_mark: Literal[".", ","] = "."


class Ask(Asking):
    """One blade: its ceiling, as `snath limit --json`."""

    blade: Length
    width: Length | None = None
    ratio: Annotated[float, Field(ge=0.05, le=20)] | None = None
    rule: RuleId | None = None


class WindowAsked(Asking):
    """A machine sheet (TOML): what it allows, as `snath window --json`."""

    sheet: Sheet
    rule: RuleId | None = None


class JudgeAsked(Asking):
    """Readings of a machine: does the speed prove it, as `snath judge --json`; it speaks of the speed alone."""

    sheet: Sheet
    readings: Annotated[list[Speed], Field(min_length=1, max_length=MOST_READINGS)]
    instrument: Instrument | None = None
    accuracy: Accuracy | None = None
    u: Doubt | None = None
    rule: RuleId | None = None


class ReadAsked(Sent):
    """A recording, sent as the file `recording` of a form, and what is known of it, as `snath read --json`."""

    sheet: Sheet = ""
    at: Shaft = CRANKSHAFT
    condition: Condition = "blades in air"
    kind: Kind | None = None
    per_turn: Annotated[float, Field(ge=0.1, le=1000)] | Literal["spark"] | None = None
    clock: Annotated[float, Field(ge=0, le=1e12)] | None = None
    marks: Annotated[int, Field(ge=1, le=100)] | None = None
    capture_rate: Annotated[float, Field(ge=1, le=10_000)] | None = None
    from_s: Seconds | None = None
    to_s: Seconds | None = None
    phone: Annotated[str, StringConstraints(max_length=60, pattern=PLAIN)] = ""
    decimal_mark: Literal[".", ","] = "."


class ReadingAsked(Sent):
    """A recording that was sent: what it says, once it has been read."""

    number: Annotated[int, Field(ge=1, le=2**53)]


class JobAsked(Sent):
    """A machine sheet (TOML): a job on that machine, opened once however often it is asked for by the same key.

    The machine is known again by its name and serial number; the sheet states its decimal mark itself.
    """

    sheet: Sheet
    idempotency_key: Annotated[str, StringConstraints(min_length=8, max_length=100, pattern="^[!-~]+$")]


class Listing(Sent):
    """A list, 100 at a time."""

    after: Annotated[int, Field(ge=0, le=MOST_LISTED)] = 0


class JobsListed(Listing):
    """Jobs by number, those after `after`; the words are those of the bench's own list."""


class MachinesListed(Listing):
    """Machines in the order in which they came, without the first `after`."""


class FleetListed(Listing):
    """Rows as of `snath fleet`, by the day each machine is due, without the first `after`."""


class Nothing(Sent):
    """This description itself."""
