"""A stretch of a recording on the page: two boxes to name it, and a button for each speed that is held."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django import forms
from django.http import HttpRequest, QueryDict
from django.utils.translation import gettext_lazy

from snath.formulas.signals.candidates import Plateau
from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark, in_mark
from snath.shop.bench import show
from snath.shop.bench.fields import QuantityField, fault_words
from snath.shop.bench.preferences import Preferences
from snath.shop.media.stretch import bounds

BOXES = {"from": "begin", "to": "end"}  # which box a fault of the core belongs to


class StretchFields(forms.Form):
    """From which second to which; both may be left empty."""

    begin = QuantityField(
        "time",
        default_unit="s",
        label=gettext_lazy("From, s"),
        required=False,
        help_text=gettext_lazy("Empty: from its beginning."),
    )
    end = QuantityField(
        "time",
        default_unit="s",
        label=gettext_lazy("To, s"),
        required=False,
        help_text=gettext_lazy("Empty: to its end."),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in BOXES.values():
            self.fields[name].widget.attrs["inputmode"] = "decimal"

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        if not any(box in self.errors for box in BOXES.values()):
            try:
                bounds(*stretch_in(self), length_s=None)
            except InputError as fault:
                mark_fault(self, fault, self.fields["begin"].decimal_mark)  # type: ignore[attr-defined]
        return given


def stretch_in(form: forms.Form) -> tuple[float | None, float | None]:
    """First and last second as typed; None where a box was left empty. [s]"""
    first, last = (form.cleaned_data.get(box) for box in BOXES.values())
    return (
        None if first is None else first.measured.value,
        None if last is None else last.measured.value,
    )


def mark_fault(form: forms.Form, fault: InputError, mark: DecimalMark) -> None:
    """A fault of reading at the box it belongs to; what belongs to none is the clip's.

    Nobody told the core of reading how the reader writes numbers: its figures come with a point.
    """
    box = BOXES.get(fault.field)
    given = in_mark(fault.given, mark) if box and isinstance(fault.given, str) else fault.given
    allowed = fault.allowed if isinstance(fault.allowed, Message) else in_mark(fault.allowed, mark)
    told = InputError(fault.field, given, allowed)
    form.add_error(box or "clip", fault_words(told, mark))


def entries(request: HttpRequest) -> QueryDict | None:
    """What was sent, with the stretch of a button that was pressed in the two boxes; None where nothing was."""
    if request.method != "POST":
        return None
    sent = request.POST.copy()
    if "stretch" in sent:
        sent["begin"], _, sent["end"] = str(sent["stretch"]).partition(" ")
        del sent["stretch"]
    return sent


def put(form: forms.Form, **values: str) -> None:
    """What the boxes hold where the page is shown again, in place of what was sent."""
    assert isinstance(form.data, QueryDict)
    for name, value in values.items():
        form.data[name] = value


@dataclass(frozen=True, slots=True)
class Offer:
    """One held speed with its stretch as the page says it, and what its button sends."""

    speed: show.Shown | None
    begin: str
    end: str
    sends: str
    here: bool


def offered(held: Sequence[Plateau], preferences: Preferences, form: forms.Form) -> list[Offer]:
    """A button for each held speed; the one that was just read is marked."""
    boxes = (form.data.get("begin", ""), form.data.get("end", ""))
    offers = []
    for one in held:
        begin, end = (in_mark(f"{t:.1f}", preferences.decimal_mark) for t in (one.begin, one.end))
        here = boxes == (begin, end)
        offers.append(Offer(show.speed(one.rev_s, preferences), begin, end, f"{begin} {end}", here))
    return offers
