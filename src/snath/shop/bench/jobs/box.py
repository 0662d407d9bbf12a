"""Describe a box of the guided machine form: its words, and the key of the machine sheet it fills."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

Fill = Literal["text", "whole", "percent", "speed", "frequency", "length", "choice", "flag", "angles", "long"]
Choices = Sequence[tuple[str, str | Promise]]

UNKNOWN = ("", _("not known"))
OWN_UNIT = {"speed": "rpm", "frequency": "Hz", "percent": "%"}


@dataclass(frozen=True, slots=True)
class Box:
    """One box. `path` is its place in the table it belongs to.

    A bare figure takes the box's own unit: rpm, Hz or %, and for a `length` the one printed beside it.
    """

    name: str
    path: tuple[str | int, ...]
    label: str | Promise
    fill: Fill = "text"
    choices: Choices = ()
    hint: str | Promise = ""
    must: bool = False

    @property
    def needed(self) -> bool:
        """Whether a machine cannot be worked out without it; every other box may be left empty."""
        return self.must or self.fill in ("choice", "flag")
