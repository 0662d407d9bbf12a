"""Ask what must be said of a film: its marks, and how slow motion was taken."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy


class FilmFields(forms.Form):
    """How many marks the filmed part has, and at which rate slow motion was filmed; of a sound both stay empty."""

    marks = forms.IntegerField(
        label=gettext_lazy("Film: marks on the part"),
        required=False,
        min_value=1,
        max_value=100,
        help_text=gettext_lazy(
            "Alike marks or tips that come by in one turn. Without it a film decides nothing."
        ),
    )
    filmed_at = forms.IntegerField(
        label=gettext_lazy("Slow motion: filmed at, pictures a second"),
        required=False,
        min_value=10,
        max_value=10_000,
        help_text=gettext_lazy("As the phone was set, 120 or 240 for instance. Empty: as the file says."),
    )

    @property
    def of_film(self) -> dict[str, Any]:
        """What was said of it, as `Asked` takes it."""
        rate = self.cleaned_data.get("filmed_at")
        return {"marks": self.cleaned_data.get("marks"), "capture_rate": float(rate) if rate else None}
