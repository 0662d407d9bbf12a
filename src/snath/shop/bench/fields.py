"""Form fields that read what a shop writes, mark a fault where it is, and say back what they understood."""

import math
import re
from collections.abc import Callable, Iterable
from typing import Any

from django import forms
from django.utils.translation import gettext

from snath.decisions.machine.sheet_fields import Table, Within, readers
from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.quantities.numbers import LONGEST, parse_number
from snath.quantities.toml_text import without_line
from snath.quantities.units import Dimension, Quantity, parse_quantity, with_unit
from snath.shop.bench import show
from snath.shop.bench.preferences import DecimalMark, Preferences
from snath.shop.bench.refusals import Refusing
from snath.shop.bench.words import said

NOTHING = "nothing"  # what the core writes where a box was left empty
QUOTES_NOTE = " without quotation marks"
LINE_NOTE = re.compile(r" \(line [0-9]+\)$")


class QuantityField(forms.CharField):
    """A number with its unit. `default_unit` is only for boxes beside which the unit is printed.

    A box for a length has the shop's unit printed beside it. Where a bare number under `bare_least` or over
    `bare_most` would be so small or large that another unit was meant, it is refused until its unit is written. [SI]
    """

    printed_unit = ""  # beside the box; where it is empty the label says the unit, or none may be left out

    def __init__(
        self,
        dimension: Dimension,
        *,
        default_unit: str | None = None,
        bare_least: float = 0.0,
        bare_most: float = math.inf,
        **kwargs: Any,
    ) -> None:
        self.dimension: Dimension = dimension
        self.default_unit = default_unit
        self.bare_least, self.bare_most = bare_least, bare_most
        self.decimal_mark: DecimalMark = "."
        self.name_for_messages = ""
        # One more than is read, so that what is too long is refused with its reason and not cut.
        kwargs.setdefault("max_length", 20_000)
        kwargs.setdefault(
            "widget",
            forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "off", "spellcheck": "false"}),
        )
        super().__init__(**kwargs)

    def clean(self, value: Any) -> Quantity | None:
        text = super().clean(value)
        if not text:
            return None
        whole = text
        if self.printed_unit:
            whole = with_unit(
                text, self.printed_unit, dimension=self.dimension, decimal_mark=self.decimal_mark
            )
        try:
            found = self._read(whole)
        except InputError as fault:
            raise forms.ValidationError(fault_words(fault, self.decimal_mark)) from fault
        if whole != text and not self.bare_least <= found.measured.value <= self.bare_most:
            raise forms.ValidationError(another_unit(text, whole))
        return found

    def missing(self) -> str:
        """What would do, where nothing was typed."""
        try:
            self._read("")
        except InputError as fault:
            return nothing_typed(fault, self.decimal_mark)
        return ""

    def _read(self, text: str) -> Quantity:
        return parse_quantity(
            text,
            dimension=self.dimension,
            field=self.name_for_messages,
            decimal_mark=self.decimal_mark,
            default_unit=self.default_unit,
        )


def another_unit(typed: str, understood: str) -> str:
    """That a bare number was surely meant in another unit than the one beside its box."""
    return gettext("“%(given)s” would be %(understood)s: write its unit") % {
        "given": typed,
        "understood": understood,
    }


class NumberField(forms.CharField):
    """A bare number; with `percent` it is a share, whether the sign is typed or not."""

    def __init__(self, *, percent: bool = False, **kwargs: Any) -> None:
        self.percent = percent
        self.decimal_mark: DecimalMark = "."
        self.name_for_messages = ""
        kwargs.setdefault("max_length", 20_000)
        kwargs.setdefault("widget", forms.TextInput(attrs={"autocomplete": "off", "inputmode": "decimal"}))
        super().__init__(**kwargs)

    def clean(self, value: Any) -> float | None:
        text = super().clean(value)
        if not text:
            return None
        if self.percent and not text.endswith("%"):
            text = f"{text} %"
        try:
            return float(parse_number(text, field=self.name_for_messages, decimal_mark=self.decimal_mark))
        except InputError as fault:
            raise forms.ValidationError(fault_words(fault, self.decimal_mark)) from fault

    def missing(self) -> str:
        """What would do, where nothing was typed."""
        try:
            parse_number("", field=self.name_for_messages, decimal_mark=self.decimal_mark)
        except InputError as fault:
            return nothing_typed(fault, self.decimal_mark)
        return ""


def boxes_of(table: type[Table]) -> Callable[..., Any]:
    """Boxes whose dimension and need are those of the entry of that name in the table of their question.

    The unit a label ends with may be left out in its box.
    """

    def box(entry: str, label: Any, *, bare: bool = True, **told: Any) -> forms.Field:
        field = table.model_fields[entry]
        told = {"label": label, "required": field.is_required(), **told}
        within = next(iter(readers(field, Within)), None)
        if within is None:
            return NumberField(**told)
        unit = within.unit if bare and within.dimension != "length" else None
        return QuantityField(within.dimension, default_unit=unit, **told)

    return box


class ShopForm(Refusing, forms.Form):
    """A form that knows how its person writes numbers and can say back what it read."""

    use_required_attribute = False
    template_name = "bench/fields.html"

    def __init__(self, *args: Any, preferences: Preferences, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.preferences = preferences
        for name, field in self.fields.items():
            if isinstance(field, QuantityField | NumberField):
                field.decimal_mark = preferences.decimal_mark
                field.name_for_messages = str(field.label or name)
                if isinstance(field, QuantityField) and field.dimension == "length":
                    field.printed_unit = preferences.length
                    field.widget.attrs.setdefault(
                        "inputmode", "text" if preferences.units == "inch" else "decimal"
                    )
                if self.is_bound:  # else nobody is told
                    field.error_messages["required"] = field.missing()

    @property
    def understood(self) -> list[tuple[str, str]]:
        """What was read, as (label, value in both units), for every quantity that was given."""
        rows = []
        for name, field in self.fields.items():
            quantity = getattr(self, "cleaned_data", {}).get(name)
            if isinstance(field, QuantityField) and isinstance(quantity, Quantity):
                rows.append((str(field.label), echo(quantity, field.dimension, self.preferences)))
        return rows


def echo(quantity: Quantity, dimension: Dimension, preferences: Preferences) -> str:
    """What was understood, in both units where the trade uses two."""
    value = quantity.measured.value
    if dimension == "length":
        return show.length_both(value, preferences)
    if dimension == "rotation":
        return str(show.speed(value, preferences, digits=1))
    if dimension == "speed":
        return show.surface(value, preferences)
    return show.in_words(value, quantity.unit, preferences)


def fault_words(fault: InputError, mark: DecimalMark) -> str:
    """What was given and what would do; the field itself is where the words are shown."""
    given = said(fault.given, mark) if isinstance(fault.given, Message) else fault.given
    if given in ("", NOTHING) or len(given) > LONGEST:
        return said(fault.allowed, mark)
    allowed = said(fault.allowed, mark)
    return gettext("“%(given)s”: %(allowed)s") % {"given": given, "allowed": allowed}


def nothing_typed(fault: InputError, mark: DecimalMark) -> str:
    """The same where the box is empty."""
    return gettext("nothing was typed: %(allowed)s") % {"allowed": said(fault.allowed, mark)}


def plainly(fault: InputError, mark: DecimalMark) -> str:
    """A fault of a sheet without the line and the quotation marks of a text nobody sees here."""
    allowed = without_line(fault.allowed)
    if isinstance(allowed, str):
        allowed = LINE_NOTE.sub("", allowed).replace(QUOTES_NOTE, "")
    return fault_words(InputError(fault.field, fault.given, allowed), mark)


def choices_of(form: forms.Form, name: str, choices: Iterable[tuple[str, Any]]) -> None:
    """Give a choice its choices, where they are known only once the form is made."""
    field = form.fields[name]
    assert isinstance(field, forms.ChoiceField)
    field.choices = list(choices)
