"""Say what may be sent to each address of the API."""

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, StringConstraints

from snath.rules.scope import MARKETS

PLAIN = r"^[^\x00]*$"  # no zero byte
Short = Annotated[str, StringConstraints(max_length=200, pattern=PLAIN)]
Sheet = Annotated[str, StringConstraints(max_length=100_000, pattern=PLAIN)]
Market = Annotated[str, StringConstraints(pattern=f"^({'|'.join(('', *MARKETS))})$")]


class Asking(BaseModel):
    """What everything that is asked may say."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)

    market: Market = ""
    decimal_mark: Literal[".", ","] = "."


class Ask(Asking):
    """One blade: its ceiling, as `snath limit --json`."""

    blade: Short
    width: Short | None = None
    ratio: float | None = None
    rule: Short | None = None


class WindowAsked(Asking):
    """A machine sheet (TOML): what it allows, as `snath window --json`."""

    sheet: Sheet
    rule: Short | None = None


class JudgeAsked(Asking):
    """Readings of a machine: does the speed prove it, as `snath judge --json`; it speaks of the speed alone."""

    sheet: Sheet
    readings: list[Short]
    instrument: Short | None = None
    accuracy: Short | None = None
    u: Short | None = None
    rule: Short | None = None
