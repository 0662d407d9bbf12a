"""A tachometer in two boxes: how it reads, and its make's figure or nothing; it goes on the shelf as it was bought."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils import timezone
from django.utils.translation import gettext, gettext_lazy

from snath.decisions.reading.instruments import TACHOMETERS, Instrument
from snath.quantities.errors import InputError
from snath.quantities.message import term
from snath.quantities.numbers import parse_number
from snath.quantities.units import parse
from snath.shop.bench.fields import choices_of, fault_words
from snath.shop.bench.preferences import DecimalMark
from snath.shop.bench.shelf.instruments import kinds_named
from snath.shop.bench.words import said
from snath.shop.records.instrument_checks import instrument_of
from snath.shop.records.models import InstrumentRecord

KINDS = kinds_named(TACHOMETERS)
NEW = "new"  # the tachometer of the two boxes, among those of the shelf
LATER = ("", gettext_lazy("none yet"))
NOT_KNOWN = (
    "",
    "?",
    "-",
    "not known",
    "unknown",
    "don't know",
    "don’t know",
    "dont know",
    "weiß nicht",
    "unbekannt",
)
MOST_SHARE = 0.2  # nothing that is off by more is a tachometer


class AccuracyField(forms.CharField):
    """The make's ± as a share or in rpm; empty, or in words, where nobody knows it. Gives (share, rev/s)."""

    def __init__(self, **kwargs: Any) -> None:
        self.decimal_mark: DecimalMark = "."
        kwargs.setdefault("max_length", 60)
        kwargs.setdefault("widget", forms.TextInput(attrs={"autocomplete": "off"}))
        super().__init__(**kwargs)

    def clean(self, value: Any) -> tuple[float, float]:
        text = str(super().clean(value)).strip().removeprefix("±").strip()
        if text.casefold() in NOT_KNOWN:
            return 0.0, 0.0
        try:
            return self._read(text)
        except InputError as fault:
            raise forms.ValidationError(fault_words(fault, self.decimal_mark)) from fault

    def _read(self, text: str) -> tuple[float, float]:
        mark = self.decimal_mark
        if any(one.isdigit() for one in text) and any(one.isalpha() for one in text):
            return 0.0, parse(text, dimension="rotation", field="accuracy", decimal_mark=mark).value
        share = text if text.endswith("%") else f"{text} %"
        value = float(parse_number(share, field="accuracy", decimal_mark=mark))
        if not 0 < value <= MOST_SHARE:
            words = gettext(
                "must be its ± of the reading, over 0 and at most 20 %, or in rpm; empty where not known"
            )
            raise InputError("accuracy", text, words)
        return value, 0.0


class TachometerFields(forms.Form):
    """The two boxes, for any form that can put a tachometer on the shelf on the way."""

    tach_kind = forms.ChoiceField(
        label=gettext_lazy("Which tachometer hangs on the wall?"),
        choices=(LATER, *KINDS),
        required=False,
        widget=forms.RadioSelect,
    )
    tach_accuracy = AccuracyField(
        label=gettext_lazy("Its make's ±"),
        required=False,
        help_text=gettext_lazy(
            "Such as 0.05 % or 2 rpm, from its manual. Empty if you don't know: then its kind's usual ± counts."
        ),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        preferences = getattr(self, "preferences", None)
        box = self.fields["tach_accuracy"]
        if preferences is not None and isinstance(box, AccuracyField):
            box.decimal_mark = preferences.decimal_mark


def shelved(form: forms.Form) -> InstrumentRecord | None:
    """The tachometer of the two boxes, put on the shelf; None where none was chosen.

    It is as bought: its first check is due a year from today, and until then its make's figure counts, though never
    under half of what its kind is taken to be off by.
    """
    kind = form.cleaned_data.get("tach_kind")
    if not kind:
        return None
    share, digits = form.cleaned_data["tach_accuracy"]
    return InstrumentRecord.objects.create(
        code=_free_code(),
        name=said(term("instrument-kind", f"{kind}-called")),
        kind=kind,
        accuracy=share,
        digits=digits,
        bought_on=timezone.localdate(),
    )


def added(form: forms.Form) -> Instrument | None:
    """The same as the core knows it."""
    record = shelved(form)
    return None if record is None else instrument_of(record)


def _free_code() -> str:
    taken = set(InstrumentRecord.objects.filter(code__startswith="tach-").values_list("code", flat=True))
    return next(code for code in (f"tach-{n}" for n in range(1, len(taken) + 2)) if code not in taken)


def offer_tachometers(form: TachometerFields, instruments: Sequence[Instrument]) -> None:
    """Let a reading be of one of the shelf, the first unless another is chosen, or of one that is not there yet."""
    named = [(one.id, one.name) for one in instruments]
    choices_of(form, "instrument", [*named, (NEW, gettext("one that is not on the shelf yet"))])
    form.fields["instrument"].initial = named[0][0] if named else NEW
    choices_of(form, "tach_kind", [("", gettext("not said")), *KINDS])
