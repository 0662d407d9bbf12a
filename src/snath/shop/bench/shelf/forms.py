"""What stands on the shelf, as forms: customers, instruments and their checks, parts, the shop itself."""

from collections.abc import Iterator
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from snath.decisions.reading.check import Point
from snath.decisions.reading.instruments import INSTRUMENT_KINDS
from snath.rules.scope import MARKETS
from snath.shop.bench.fields import NumberField, QuantityField, ShopForm
from snath.shop.bench.refusals import Refusing, WholeField
from snath.shop.bench.shelf.instruments import kinds_named
from snath.shop.records.models import Customer, ShopSettings

DECISIONS = (
    ("one-sided 95 %", gettext_lazy("one-sided 95 % (usual)")),
    ("guard of U", gettext_lazy("guard of U (2.5 %)")),
    ("simple acceptance", gettext_lazy("simple acceptance (up to 50 %)")),
)


class CustomerForm(Refusing, forms.ModelForm):  # type: ignore[type-arg]
    """Who brings machines."""

    use_required_attribute = False

    class Meta:
        model = Customer
        fields = ("name", "phone", "email", "address", "note")
        labels = {  # noqa: RUF012
            "name": gettext_lazy("Name"),
            "phone": gettext_lazy("Telephone"),
            "email": gettext_lazy("E-mail"),
            "address": gettext_lazy("Address"),
            "note": gettext_lazy("Note"),
        }
        widgets = {  # noqa: RUF012
            "address": forms.Textarea(attrs={"rows": 3}),
            "note": forms.Textarea(attrs={"rows": 3}),
            "phone": forms.TextInput(attrs={"inputmode": "tel"}),
        }

    def clean_name(self) -> str:
        name = str(self.cleaned_data["name"]).strip()
        if not name:
            raise forms.ValidationError(gettext_lazy("A name to call them by is needed."))
        return name


class InstrumentForm(ShopForm):
    """A tachometer by its plate."""

    code = forms.SlugField(
        label=gettext_lazy("Short name, as written on its label"),
        max_length=40,
        help_text=gettext_lazy(
            "Letters, digits, hyphens. It stays with every reading and is not changed later."
        ),
    )
    name = forms.CharField(label=gettext_lazy("Instrument"), max_length=80)
    kind = forms.ChoiceField(label=gettext_lazy("Reads by"), choices=kinds_named(INSTRUMENT_KINDS))
    accuracy = NumberField(
        percent=True,
        label=gettext_lazy("Accuracy, ± % of reading"),
        help_text=gettext_lazy("From its manual, such as 0.05 %."),
    )
    digits = QuantityField(
        "rotation", default_unit="rpm", label=gettext_lazy("plus ± digits, rpm"), required=False
    )
    resolution = QuantityField(
        "rotation", default_unit="rpm", label=gettext_lazy("Last digit shown, rpm"), required=False
    )
    per_turn = NumberField(label=gettext_lazy("Marks or pulses per turn"), required=False)
    check_every_months = WholeField(
        label=gettext_lazy("Checked every … months"), min_value=1, max_value=120, initial=12
    )
    note = forms.CharField(
        label=gettext_lazy("Note"), max_length=2000, required=False, widget=forms.Textarea(attrs={"rows": 2})
    )
    retired = forms.BooleanField(label=gettext_lazy("Not used any more"), required=False)

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        digits = given.get("digits")
        if given.get("accuracy") == 0 and not (digits and digits.measured.value):
            self.add_error(
                "accuracy", gettext_lazy("“0”: nothing reads without doubt; must be the ± of its manual")
            )
        return given


class CheckForm(ShopForm):
    """An instrument held beside a reference: both figures, up to three speeds."""

    on = forms.DateField(
        label=gettext_lazy("Checked on"), widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"})
    )
    reference = forms.CharField(
        label=gettext_lazy("Beside which reference, with its certificate"), max_length=120
    )
    read_1 = QuantityField("rotation", default_unit="rpm", label=gettext_lazy("It showed, rpm"))
    true_1 = QuantityField("rotation", default_unit="rpm", label=gettext_lazy("the reference, with its ±"))
    read_2 = QuantityField(
        "rotation", default_unit="rpm", label=gettext_lazy("It showed, rpm"), required=False
    )
    true_2 = QuantityField(
        "rotation", default_unit="rpm", label=gettext_lazy("the reference, with its ±"), required=False
    )
    read_3 = QuantityField(
        "rotation", default_unit="rpm", label=gettext_lazy("It showed, rpm"), required=False
    )
    true_3 = QuantityField(
        "rotation", default_unit="rpm", label=gettext_lazy("the reference, with its ±"), required=False
    )

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        for place in (2, 3):
            pair = (f"read_{place}", f"true_{place}")
            missing = [name for name in pair if not given.get(name) and name not in self.errors]
            if len(missing) == 1:
                self.add_error(missing[0], gettext_lazy("Both figures of a comparison are needed."))
        return given

    def points(self) -> list[Point]:
        """The comparisons that were typed."""
        given = self.cleaned_data
        pairs = [(given[f"read_{place}"], given[f"true_{place}"]) for place in (1, 2, 3)]
        return [
            Point(read.measured.value, true.measured.value, true.measured.u)
            for read, true in pairs
            if read and true
        ]


class PhotoForm(Refusing, forms.Form):
    """A photo of a machine."""

    use_required_attribute = False
    photo = forms.FileField(
        label=gettext_lazy("Photo"),
        widget=forms.FileInput(attrs={"accept": "image/jpeg,image/png,image/webp"}),
        help_text=gettext_lazy("Kept without the place and the time the camera wrote into it."),
    )


MARKET_WORDS = {
    "US": gettext_lazy("United States"),
    "US/California": gettext_lazy("California"),
    "US/Washington": gettext_lazy("Washington, the state"),
    "CA": gettext_lazy("Canada"),
    "EU": gettext_lazy("European Union"),
    "UK": gettext_lazy("United Kingdom"),
    "AU/NZ": gettext_lazy("Australia and New Zealand"),
    "other": gettext_lazy("elsewhere"),
}


def markets_offered() -> Iterator[tuple[str, Any]]:
    """Each market with what to call it."""
    yield from ((market, MARKET_WORDS[market]) for market in MARKETS)


class ShopSettingsForm(Refusing, forms.ModelForm):  # type: ignore[type-arg]
    """What the shop is asked once."""

    use_required_attribute = False

    market = forms.ChoiceField(
        label=gettext_lazy("Market"),
        required=False,
        choices=[("", gettext_lazy("not said: the strictest rule of any")), *markets_offered()],
        help_text=gettext_lazy("Where the machines are used. It decides which rules hold for new jobs."),
    )
    decision = forms.ChoiceField(label=gettext_lazy("Verdicts are decided by"), choices=DECISIONS)

    class Meta:
        model = ShopSettings
        fields = ("name", "address", "market", "decision", "paper", "one_person")
        labels = {  # noqa: RUF012
            "name": gettext_lazy("The shop's name, for paper"),
            "address": gettext_lazy("Address and telephone, for paper"),
            "paper": gettext_lazy("Paper"),
            "one_person": gettext_lazy("One person works here: nobody is there to countersign"),
        }
        widgets = {"address": forms.Textarea(attrs={"rows": 3})}  # noqa: RUF012


class RuleForm(Refusing, forms.Form):
    """One row of the shop's own, in the rule book's form."""

    use_required_attribute = False

    text = forms.CharField(
        label=gettext_lazy("The row"),
        max_length=4000,
        widget=forms.Textarea(attrs={"class": "sheet", "spellcheck": "false", "rows": 12}),
        strip=False,
    )
    in_force = forms.BooleanField(label=gettext_lazy("In force"), required=False, initial=True)
