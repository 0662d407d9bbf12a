"""Describe an engine of which nothing but strokes and cylinders is known, to listen for."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from snath.decisions.machine.parts import Engine, Machine
from snath.decisions.reading.usual import OPEN_RANGE, OVER_RATED

UNKNOWN = ""
# Key: what it is called, its strokes, and where in the cycle each cylinder fires. By geometry: two side by side or
# opposed fire a turn apart, half of a cycle of 720 degrees; two at right angles on one crank pin 270 degrees apart.
ENGINES: dict[str, tuple[Any, int, tuple[float, ...]]] = {
    "4-1": (gettext_lazy("four-stroke, one cylinder"), 4, (0.0,)),
    "2-1": (gettext_lazy("two-stroke, one cylinder"), 2, (0.0,)),
    "4-2": (gettext_lazy("four-stroke, two cylinders side by side or opposed"), 4, (0.0, 0.5)),
    "4-v": (gettext_lazy("four-stroke, two cylinders in a V of 90°"), 4, (0.0, 0.375)),
}


class EngineFields(forms.Form):
    """The engine, as far as a look at it tells."""

    engine = forms.ChoiceField(
        label=gettext_lazy("Engine"),
        required=False,
        choices=[(UNKNOWN, gettext_lazy("not known")), *((key, row[0]) for key, row in ENGINES.items())],
        help_text=gettext_lazy("Without it a sound alone leaves several speeds."),
    )

    @property
    def machine(self) -> Machine | None:
        """A machine of that engine with nothing on it; any speed may be looked for. None where it is not known."""
        chosen = self.cleaned_data.get("engine", UNKNOWN)
        if chosen == UNKNOWN:
            return None
        _, strokes, firings = ENGINES[chosen]
        engine = Engine(
            strokes=strokes,
            cylinders=len(firings),
            firings=firings,
            idle=2 * OPEN_RANGE[0],  # half of it and up
            rated_max=OPEN_RANGE[1] / OVER_RATED,
        )
        return Machine("", "", engine)
