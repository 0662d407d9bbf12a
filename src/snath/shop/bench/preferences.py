"""Read and keep a person's preferences: light or dark, inches or metric, point or comma.

Kept in cookies, so that a phone in one hand and the tablet on the bench can differ, and so that a quick
ask needs no account. Nothing here changes a result; it changes how it is typed and shown.
"""

from dataclasses import dataclass
from typing import Literal

from django.http import HttpRequest, HttpResponse
from django.utils.translation import get_language

from snath.shop.records.store import shop_units
from snath.words.render import mark_of

Theme = Literal["auto", "light", "dark"]
Units = Literal["inch", "metric"]
DecimalMark = Literal[".", ","]

THEMES: tuple[Theme, ...] = ("auto", "light", "dark")
UNITS: tuple[Units, ...] = ("inch", "metric")
MARKS: tuple[DecimalMark, ...] = (".", ",")
A_YEAR = 365 * 24 * 3600


@dataclass(frozen=True, slots=True)
class Preferences:
    """What one person chose, else what their shop set, else what is usual in their language."""

    theme: Theme
    units: Units
    decimal_mark: DecimalMark
    language: str

    @property
    def length(self) -> str:
        """The unit printed beside a box for a length, which a bare number in it takes."""
        return "in" if self.units == "inch" else "mm"


def preferences_of(request: HttpRequest) -> Preferences:
    """The preferences in a request's cookies, each only if it is one of the choices; read once a request."""
    preferences = request.__dict__.get("preferences")
    if preferences is None:
        preferences = request.preferences = _preferences_of(request)  # type: ignore[attr-defined]
    assert isinstance(preferences, Preferences)
    return preferences


def _preferences_of(request: HttpRequest) -> Preferences:
    language = (get_language() or "en").split("-")[0]
    comma = mark_of(language) == ","
    theme = request.COOKIES.get("snath_theme", "")
    units = request.COOKIES.get("snath_units", "")
    mark = request.COOKIES.get("snath_mark", "")
    return Preferences(
        theme=theme if theme in THEMES else "auto",
        units=next(one for one in (units, shop_units(), "metric" if comma else "inch") if one in UNITS),
        decimal_mark=mark if mark in MARKS else ("," if comma else "."),
        language=language,
    )


def remember(response: HttpResponse, name: str, value: str, *, secure: bool) -> None:
    """Keep one choice on this device for a year."""
    response.set_cookie(f"snath_{name}", value, max_age=A_YEAR, samesite="Lax", httponly=True, secure=secure)
