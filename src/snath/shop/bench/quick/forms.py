"""What a quick ask needs: one blade, how it is driven, and which rule."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from snath.shop.bench.fields import QuantityField, ShopForm
from snath.shop.bench.liking import Liking

MEASURED = (
    ("corner to corner", gettext_lazy("Corner to corner: the farthest points of its two tips")),
    ("bore to tip", gettext_lazy("Middle of the bore to its farthest tip (it is doubled)")),
    ("square", gettext_lazy("Square across the ends; its width is given below")),
)


class AskForm(ShopForm):
    """The blade, the drive and the rule."""

    blade = QuantityField("length", label=gettext_lazy("Blade length"))
    measured = forms.ChoiceField(
        label=gettext_lazy("Measured"),
        choices=MEASURED,
        initial="corner to corner",
        required=False,
        widget=forms.RadioSelect,
    )
    width = QuantityField("length", label=gettext_lazy("Blade width"), required=False)
    engine_pulley = QuantityField(
        "length", label=gettext_lazy("Pulley on the engine, outside"), required=False
    )
    blade_pulley = QuantityField("length", label=gettext_lazy("Pulley on the blade, outside"), required=False)
    section = forms.ChoiceField(label=gettext_lazy("Belt"), required=False)
    rule = forms.ChoiceField(label=gettext_lazy("Rule"), required=False)

    def __init__(
        self,
        *args: Any,
        liking: Liking,
        rules: Sequence[tuple[str, str]],
        sections: Sequence[tuple[str, str]],
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, liking=liking, **kwargs)
        for name, choices in (("rule", rules), ("section", sections)):
            field = self.fields[name]
            assert isinstance(field, forms.ChoiceField)
            field.choices = list(choices)
        example = "21 3/4 in" if liking.units == "inch" else "53 cm"
        self.fields["blade"].widget.attrs["placeholder"] = example

    @property
    def measured_otherwise(self) -> bool:
        """Whether something else than the usual way of measuring is chosen."""
        return (self["measured"].value() or MEASURED[0][0]) != MEASURED[0][0]

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        if given.get("measured") == "square" and not given.get("width") and "width" not in self.errors:
            self.add_error("width", gettext_lazy("Measured square across, the blade's width is needed too."))
        pulleys = [name for name in ("engine_pulley", "blade_pulley") if given.get(name)]
        if len(pulleys) == 1:
            missing = "blade_pulley" if pulleys == ["engine_pulley"] else "engine_pulley"
            if missing not in self.errors:
                self.add_error(
                    missing, gettext_lazy("By belt, both pulleys are needed; on the crankshaft, neither.")
                )
        return given
