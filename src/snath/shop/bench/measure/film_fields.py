"""Ask what must be said of a film or of a list of pulses: what comes by in a turn, and how slow motion was taken."""

from typing import Any, ClassVar

from django import forms
from django.utils.translation import gettext_lazy

from snath.quantities.errors import InputError, within
from snath.shop.bench.fields import NumberField, fault_words

FEWEST, MOST = 0.1, 1000


class FilmFields(forms.Form):
    """How many marks or pulses come by in a turn, and at which rate slow motion was filmed; a sound needs neither."""

    NAMES: ClassVar = ("marks", "filmed_at")

    marks = NumberField(
        label=gettext_lazy("Film or pulses: marks that come by in a turn"),
        required=False,
        help_text=gettext_lazy(
            "Alike marks or tips on the filmed part, teeth or marks at the pick-up; 0.5 for one spark in two turns. "
            "Without it neither decides anything."
        ),
    )
    filmed_at = forms.IntegerField(
        label=gettext_lazy("Slow motion: filmed at, pictures a second"),
        required=False,
        min_value=10,
        max_value=10_000,
        help_text=gettext_lazy("As the phone was set, 120 or 240 for instance. Empty: as the file says."),
    )

    def clean_marks(self) -> float | None:
        """A number of turns' marks that the methods take."""
        number: float | None = self.cleaned_data["marks"]
        try:
            if number is not None:
                within("marks", number, FEWEST, MOST)
        except InputError as fault:
            field = self.fields["marks"]
            assert isinstance(field, NumberField)
            raise forms.ValidationError(fault_words(fault, field.decimal_mark)) from fault
        return number

    @property
    def told(self) -> dict[str, Any]:
        """What was said, as `Asked` takes it; parts of a mark go by on no film."""
        number, rate = self.cleaned_data.get("marks"), self.cleaned_data.get("filmed_at")
        return {
            "marks": int(number) if number and number == int(number) else None,
            "per_turn": number,
            "capture_rate": float(rate) if rate else None,
        }
