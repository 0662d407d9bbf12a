"""What a quick ask needs: one blade, how it is driven, and which rule."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext, gettext_lazy

from snath.formulas.belts.sections import tables
from snath.shop.bench.fields import QuantityField, ShopForm, choices_of
from snath.shop.bench.preferences import Preferences

USUAL = "corner to corner"
MEASURED = (
    (USUAL, gettext_lazy("Corner to corner: the farthest points of its two tips")),
    ("swing from the bore", gettext_lazy("The circle it draws: twice the bore to its farthest point")),
    ("square across", gettext_lazy("Square across the ends; its width is given below")),
)
COUNTED = ("turns_in", "turns_out", "resolution")
# m; a bare 53 in a shop of millimetres is no blade of 53 mm, a bare 530 in one of inches none of 530 in
LEAST_BARE, MOST_BARE = 0.15, 3.6
PULLEYS = ("engine_pulley", "blade_pulley")


class AskForm(ShopForm):
    """The blade, the drive and the rule."""

    blade = QuantityField(
        "length", label=gettext_lazy("Blade length"), bare_least=LEAST_BARE, bare_most=MOST_BARE
    )
    measured = forms.ChoiceField(
        label=gettext_lazy("Measured"),
        choices=MEASURED,
        initial=USUAL,
        required=False,
        widget=forms.RadioSelect,
    )
    width = QuantityField("length", label=gettext_lazy("Blade width"), required=False)
    engine_pulley = QuantityField(
        "length", label=gettext_lazy("Pulley on the engine, outside"), required=False
    )
    blade_pulley = QuantityField("length", label=gettext_lazy("Pulley on the blade, outside"), required=False)
    section = forms.ChoiceField(label=gettext_lazy("Belt section"), required=False)
    flush = forms.BooleanField(
        label=gettext_lazy("I looked: the belt lies flush in both"),
        required=False,
        help_text=gettext_lazy("Left open, each groove counts as worn by up to 3 mm, whichever is worse."),
    )
    turns_in = QuantityField("turns", label=gettext_lazy("Or counted: engine turned by"), required=False)
    turns_out = QuantityField("turns", label=gettext_lazy("the blade came round by"), required=False)
    resolution = QuantityField("turns", label=gettext_lazy("read to ±"), required=False)
    rule = forms.ChoiceField(label=gettext_lazy("Rule"), required=False)

    def __init__(
        self, *args: Any, preferences: Preferences, rules: Sequence[tuple[str, str]], **kwargs: Any
    ) -> None:
        super().__init__(*args, preferences=preferences, **kwargs)
        sections = [("", gettext("say which")), *((name, name) for name in tables()["runs_in"])]
        for name, choices in (("rule", rules), ("section", sections)):
            choices_of(self, name, choices)
        examples = {
            "blade": "21 3/4 in" if preferences.units == "inch" else "53 cm",
            "turns_in": gettext("20 turns"),
            "turns_out": gettext("24 1/4 turns"),
            "resolution": gettext("1/8 turn"),
        }
        for name, example in examples.items():
            self.fields[name].widget.attrs["placeholder"] = example

    @property
    def measured_otherwise(self) -> bool:
        """Whether something else than the usual way of measuring is chosen."""
        return bool((self["measured"].value() or USUAL) != USUAL)

    @property
    def by_belt(self) -> bool:
        """Whether anything is said of a drive."""
        return any(box.value() or box.errors for box in self.drive_boxes)

    @property
    def drive_boxes(self) -> list[forms.BoundField]:
        """The boxes that say how the blade is driven."""
        return [self[name] for name in (*PULLEYS, "section", "flush", *COUNTED)]

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        if given.get("measured") == "square across":
            self._all_or_none(
                ("blade", "width"), gettext("Measured square across, the blade's width is needed too.")
            )
        self._all_or_none(PULLEYS, gettext("By belt, both pulleys are needed; on the crankshaft, neither."))
        self._all_or_none(COUNTED, gettext("Counted, all three are needed."))
        if given.get("engine_pulley") and not given.get("section"):
            self.add_error("section", gettext("Which section: how deep the belt sits decides the ratio."))
        return given

    def _all_or_none(self, names: Sequence[str], words: str) -> None:
        given = [name for name in names if self.cleaned_data.get(name) or name in self.errors]
        for name in names if given else ():
            if name not in given:
                self.add_error(name, words)
