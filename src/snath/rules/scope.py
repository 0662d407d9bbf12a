"""List the words in which a rule's scope is written."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from snath.quantities.message import Dimension

MACHINE_KINDS = (
    "walk-behind rotary mower",
    "ride-on rotary mower",
    "commercial rotary mower",
    "electric rotary mower",
    "brush cutter",
    "string trimmer",
    "edger",
    "cut-off saw",
    "generator",
    "pressure washer",
    "PTO machine",
    "tiller",
    "chipper",
    "snow thrower",
    "go-kart",
    "other",
)
PRODUCTS = ("consumer", "commercial")  # whom it was designed for
USES = ("at home", "at work")  # at work: anybody paid runs it
MARKETS = ("US", "US/California", "US/Washington", "CA", "EU", "UK", "AU/NZ", "other")
WHEEL_CLASSES = ("50 m/s", "63 m/s", "80 m/s", "100 m/s", "125 m/s")
SET_CLASSES = ("G1", "G2", "G3")
SIZES: Mapping[str, Dimension] = MappingProxyType(
    {"cutting_width": "length", "weight": "mass", "power": "power"}
)  # what of a machine decides whether a rule speaks of it, and its dimension

_EARLIER: Mapping[str, str] = MappingProxyType({"consumer": "at home", "commercial": "at work"})


def use_word(word: Any) -> Any:
    """The use as it is written now; earlier sheets and rows said consumer and commercial for it."""
    return _EARLIER.get(word, word) if isinstance(word, str) else word


def design_of(kind: str, product: str) -> str:
    """Whom a machine was designed for: as stated, else as its kind says.

    A commercial rotary mower is commercial by its name; anything else is taken to be for consumers, whose rules
    ask for more.
    """
    return product or ("commercial" if kind == "commercial rotary mower" else "consumer")


def months_of(made: int | str) -> tuple[int, int]:
    """First and last month that "1982" or "1982-07" may mean, counted from the year 0."""
    year, _, month = str(made).partition("-")
    first = int(year) * 12
    return (first + int(month) - 1,) * 2 if month else (first, first + 11)
