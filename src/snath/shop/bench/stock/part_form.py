"""One part on the shelf as boxes: what each kind needs, read as a row of the shop's table is."""

import csv
import io
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from snath.decisions.drive.stock import Stock
from snath.decisions.drive.stock_csv import BELT_COLUMNS, SHEAVE_COLUMNS, read_stock
from snath.formulas.belts.sections import tables
from snath.quantities.errors import InputError
from snath.shop.bench.deck.compose import hand_of
from snath.shop.bench.drive.stock_rows import BELT, PULLEY, next_number
from snath.shop.bench.fields import fault_words
from snath.shop.bench.preferences import Preferences
from snath.shop.bench.refusals import Refusing, WholeField
from snath.shop.tables.stock_words import bore_for_core

KINDS = (
    (PULLEY, gettext_lazy("pulley")),
    (BELT, gettext_lazy("belt")),
    ("blade", gettext_lazy("blade")),
    ("other", gettext_lazy("other")),
)
LENGTHS = ("outside", "datum", "offset", "hub_offset", "outside_length", "tolerance")
LONGEST = 120
MOST = 10_000
TYPED = (*SHEAVE_COLUMNS, *BELT_COLUMNS, "size")
MONEY = str.maketrans("", "", "$€£")
NO_SECTION = ("", gettext_lazy("say which"))


def _text(label: Any, hint: Any = "", **attrs: str) -> forms.CharField:
    widget = forms.TextInput({"autocomplete": "off", "spellcheck": "false", **attrs})
    return forms.CharField(label=label, help_text=hint, max_length=LONGEST, required=False, widget=widget)


class PartForm(Refusing, forms.Form):
    """The boxes of one kind of part."""

    use_required_attribute = False

    def __init__(self, *args: Any, kind: str, preferences: Preferences, **kwargs: Any) -> None:
        self.kind, self.preferences = kind, preferences
        super().__init__(*args, **kwargs)
        self.hand = hand_of(preferences)
        boxes = {PULLEY: self._pulley, BELT: self._belt}.get(kind, self._other)()
        self.fields |= boxes | {
            "count": WholeField(
                label=gettext_lazy("How many"), min_value=0, max_value=MOST, initial=1, required=False
            ),
            "price": _text(gettext_lazy("Price of one"), inputmode="decimal"),
            "place": _text(gettext_lazy("Where it lies")),
            "part": _text(gettext_lazy("Machine maker's number")),
            "photo": forms.FileField(
                label=gettext_lazy("Photo"),
                required=False,
                widget=forms.FileInput(attrs={"accept": "image/jpeg,image/png,image/webp"}),
            ),
        }

    @property
    def in_tables(self) -> bool:
        """Whether a drive can be chosen from it, so that it needs a number and sizes."""
        return self.kind in (PULLEY, BELT)

    def stock(self) -> Stock | None:
        """The part as a search may take it; None where a box is wrong, which is then marked. Others are empty."""
        if not self.is_valid():
            return None
        if not self.in_tables:
            if not self.cleaned_data["name"]:
                self.add_error("name", gettext_lazy("nothing was typed: what it is must be told"))
                return None
            return Stock()
        row = self.typed()
        table = "sheaves" if self.kind == PULLEY else "belts"
        columns = SHEAVE_COLUMNS if self.kind == PULLEY else BELT_COLUMNS
        row["number"] = row["number"] or next_number()
        self.cleaned_data["number"] = row["number"]
        asked = row | {"count": "1"}  # what is used up is still that part
        text = csv_of([columns, [asked.get(column, "") for column in columns]])
        tables_ = {"sheaves": "", "belts": "", table: text}
        try:
            found = read_stock(**tables_, decimal_mark=self.preferences.decimal_mark)
        except InputError as fault:
            self.add_error(None, fault_words(fault, self.preferences.decimal_mark))
            return None
        for fault_of_row in found.faults:
            box = fault_of_row.fault.field if fault_of_row.fault.field in self.fields else None
            self.add_error(box, fault_words(fault_of_row.fault, self.preferences.decimal_mark))
        return None if self.errors else found

    def typed(self) -> dict[str, str]:
        """The boxes as they were typed, each with its unit."""
        row = {
            name: "" if value is None else str(value).strip()
            for name, value in self.cleaned_data.items()
            if name in TYPED
        }
        for name in LENGTHS:
            if row.get(name):
                row[name] = self.hand.with_unit(row[name])
        row["price"] = row.get("price", "").translate(MONEY).strip()
        row["count"] = row.get("count") or "1"
        if row.get("bore"):
            row["bore"] = bore_for_core(row["bore"])
        if self.kind == BELT:
            row["aramid"] = "yes" if self.cleaned_data.get("aramid") else ""
            own = row["outside_length"] or row["section"]  # a maker's own belt: both are asked for together
            if not own:
                row["tolerance"] = ""
        return row

    def _pulley(self) -> dict[str, forms.Field]:
        sections = [NO_SECTION, *((one, one) for one in dict.fromkeys(tables()["runs_in"].values()))]
        return {
            "number": self._number(),
            "section": forms.ChoiceField(
                label=gettext_lazy("Belt section"), choices=sections, required=False
            ),
            "outside": _text(self._length(gettext_lazy("Outside diameter")), list="sizes-sold"),
            "datum": _text(self._length(gettext_lazy("or datum diameter, if stamped"))),
            "bore": _text(gettext_lazy("Bore"), gettext_lazy("Such as 1 in key.")),
            "make": forms.ChoiceField(
                label=gettext_lazy("Made"),
                choices=(("", gettext_lazy("stamped")), ("cast", gettext_lazy("cast"))),
                required=False,
            ),
            "offset": _text(self._length(gettext_lazy("Outside less datum, maker's page"))),
        }

    def _belt(self) -> dict[str, forms.Field]:
        sections = [NO_SECTION, *((one, one) for one in tables()["runs_in"])]
        return {
            "number": self._number(),
            "belt": _text(gettext_lazy("As printed on it"), gettext_lazy("Such as A51 or 4L530.")),
            "outside_length": _text(self._length(gettext_lazy("Outside length, of a maker's own belt"))),
            "section": forms.ChoiceField(label=gettext_lazy("Its section"), choices=sections, required=False),
            "tolerance": _text(self._length(gettext_lazy("Its ±"))),
            "aramid": forms.BooleanField(label=gettext_lazy("aramid cord"), required=False),
        }

    def _other(self) -> dict[str, forms.Field]:
        return {
            "name": _text(gettext_lazy("Part")),
            "size": _text(gettext_lazy("Size"), gettext_lazy("As you would say it, such as 21 3/4 in.")),
        }

    def _number(self) -> forms.CharField:
        return _text(gettext_lazy("Stock number"), gettext_lazy("Yours; left empty, the next free one."))

    def _length(self, label: Any) -> str:
        return f"{label}, {self.hand.unit}"


def csv_of(rows: list[Any]) -> str:
    """Rows as the core's table reader takes them."""
    written = io.StringIO()
    csv.writer(written, lineterminator="\n").writerows(rows)
    return written.getvalue()
