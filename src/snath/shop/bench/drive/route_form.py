"""Where the belt runs, as a shop enters it: boxes for one pair of pulleys, or a whole route as text."""

import tomllib
from typing import Any

from django import forms
from django.utils.translation import gettext, gettext_lazy

from snath.decisions.drive.bore import bore_of
from snath.decisions.drive.frame_sheet import read_frame
from snath.decisions.machine.parts import CRANKSHAFT, Coupling, Machine
from snath.decisions.machine.sheet_text import toml_text
from snath.quantities.errors import InputError, InputErrors
from snath.quantities.numbers import DecimalMark
from snath.quantities.toml_text import parsed
from snath.quantities.units import Quantity
from snath.shop.bench.drive.kept_route import marked, millimetres
from snath.shop.bench.fields import QuantityField, ShopForm, choices_of, fault_words
from snath.shop.bench.preferences import Preferences
from snath.shop.bench.refusals import Refusing
from snath.shop.bench.words import said
from snath.shop.tables.stock_words import bore_for_core

ROUTE_MOST = 60_000
NAME_MOST = 60
TURNS = (
    ("clockwise", gettext_lazy("clockwise, seen from above")),
    ("counter-clockwise", gettext_lazy("counter-clockwise, seen from above")),
)
SELDOM = ("belt_length", "belt_part", "turns", "speed", "power")
# Which box a place of the composed route was filled from.
BOX_OF = (
    ("belt.outside_length", "belt_length"),
    ("belt.section", "belt"),
    ("belt.part", "belt_part"),
    ("belt", "belt"),
    ("pulley[1].slot.slack", "centres_least"),
    ("pulley[1].slot", "centres_most"),
    ("pulley[1].bore", "engine_bore"),
    ("pulley[1].room", "engine_room"),
    ("pulley[2].bore", "driven_bore"),
    ("pulley[2].room", "driven_room"),
    ("fit.speed", "speed"),
    ("fit.power", "power"),
)


def boxes_of(route: str, mark: DecimalMark) -> dict[str, str]:
    """What the boxes of a pair held when this route was made from them; nothing where it is another's text."""
    try:
        data = parsed(route)
        engine, driven = data["pulley"]
        belt, fit = data["belt"], data.get("fit", {})
        found = {
            "belt": belt["name"],
            "belt_length": belt.get("outside_length", ""),
            "belt_part": belt.get("part", ""),
            "centres_least": engine["slot"]["slack"][0],
            "centres_most": engine["slot"]["tight"][0],
            "turns": data["turns"],
        }
    except (tomllib.TOMLDecodeError, ValueError, KeyError, IndexError, TypeError):
        return {}
    for name, pulley in (("engine", engine), ("driven", driven)):
        found |= {f"{name}_{key}": pulley.get(key, "") for key in ("bore", "room")}
    found |= {key: fit.get(key, "") for key in ("speed", "power")}
    if data.get("decimal_mark", ".") != mark or driven.get("at") != ["0 mm", "0 mm"]:
        return {}
    return {name: text for name, text in found.items() if text}


def belt_couplings(machine: Machine) -> tuple[Coupling, ...]:
    """The machine's belts from the crankshaft: those for which a drive can be chosen."""
    return tuple(c for c in machine.couplings if c.driver == CRANKSHAFT and c.kind == "belt")


class PairForm(ShopForm):
    """One engine pulley and one driven pulley, the engine sliding to tighten the belt."""

    shaft = forms.ChoiceField(label=gettext_lazy("Driven shaft"), widget=forms.HiddenInput)
    belt = forms.CharField(
        label=gettext_lazy("Belt that is on, as printed on it"),
        max_length=NAME_MOST,
        help_text=gettext_lazy("Such as A51 or 4L530. For a maker's own belt give its length too."),
    )
    belt_length = QuantityField(
        "length", label=gettext_lazy("Its outside length, where the print does not tell"), required=False
    )
    belt_part = forms.CharField(
        label=gettext_lazy("Machine maker's number for the belt"), max_length=NAME_MOST, required=False
    )
    centres_least = QuantityField(
        "length",
        label=gettext_lazy("Shaft to shaft, engine slid in"),
        help_text=gettext_lazy("As close as it goes, middle of shaft to middle of shaft."),
    )
    centres_most = QuantityField(
        "length",
        label=gettext_lazy("Shaft to shaft, engine slid out"),
        help_text=gettext_lazy("As far as it goes."),
    )
    engine_bore = forms.CharField(
        label=gettext_lazy("Engine shaft and how a pulley holds on it"),
        max_length=NAME_MOST,
        required=False,
        help_text=gettext_lazy("Such as 1 in key. Left empty, the bore is not asked for."),
    )
    driven_bore = forms.CharField(
        label=gettext_lazy("Driven shaft and how a pulley holds on it"), max_length=NAME_MOST, required=False
    )
    engine_room = QuantityField(
        "length", label=gettext_lazy("Largest pulley with room at the engine"), required=False
    )
    driven_room = QuantityField(
        "length", label=gettext_lazy("Largest pulley with room at the driven shaft"), required=False
    )
    turns = forms.ChoiceField(
        label=gettext_lazy("The belt goes round"),
        choices=TURNS,
        widget=forms.RadioSelect,
        initial="clockwise",
    )
    speed = QuantityField(
        "rotation",
        default_unit="rpm",
        label=gettext_lazy("Engine speed to choose for, rpm"),
        required=False,
        help_text=gettext_lazy("No load. Left empty, the machine maker's figure, else the engine's highest."),
    )
    power = QuantityField(
        "power",
        label=gettext_lazy("Power the blade takes"),
        required=False,
        help_text=gettext_lazy("Such as 5 hp. Left empty, grip is compared with the drive as it is."),
    )

    def __init__(self, *args: Any, preferences: Preferences, machine: Machine, **kwargs: Any) -> None:
        super().__init__(*args, preferences=preferences, **kwargs)
        self.machine = machine
        shafts = [(c.driven, said(c.driven)) for c in belt_couplings(machine)]
        choices_of(self, "shaft", shafts)
        self.fields["shaft"].initial = shafts[0][0] if shafts else ""

    @property
    def needed(self) -> list[forms.BoundField]:
        """Boxes that are always shown."""
        return [box for box in self.visible_fields() if box.name not in SELDOM]

    @property
    def seldom(self) -> list[forms.BoundField]:
        """Boxes that are folded away until one of them is filled or wrong."""
        return [box for box in self.visible_fields() if box.name in SELDOM]

    @property
    def seldom_open(self) -> bool:
        """Whether one of them is."""
        return any(box.errors or (box.name != "turns" and box.value()) for box in self.seldom)

    def clean_engine_bore(self) -> str:
        return self._bore("engine_bore")

    def clean_driven_bore(self) -> str:
        return self._bore("driven_bore")

    def _bore(self, name: str) -> str:
        text = bore_for_core(str(self.cleaned_data[name]))
        mark = self.preferences.decimal_mark
        try:
            bore_of(text, decimal_mark=mark)
        except InputError as fault:
            raise forms.ValidationError(fault_words(fault, mark)) from fault
        return text

    def route(self) -> str | None:
        """The route these boxes amount to; None with every fault marked at its box."""
        if not self.is_valid():
            return None
        text = marked(toml_text(self._tables()), self.preferences.decimal_mark)
        try:
            read_frame(text)
        except InputErrors as found:
            for fault in found.faults:
                self.add_error(_box(fault.field), fault_words(fault, self.preferences.decimal_mark))
            return None
        return text

    def _tables(self) -> dict[str, Any]:
        given, mark = self.cleaned_data, self.preferences.decimal_mark
        coupling = next(c for c in belt_couplings(self.machine) if c.driven == given["shaft"])
        sizes = [millimetres(part.size.value, mark) for part in coupling.parts]
        nought = "0 mm"
        slot = {
            "slack": [_text(given["centres_least"]), nought],
            "tight": [_text(given["centres_most"]), nought],
        }
        belt = {
            "name": given["belt"],
            "part": given["belt_part"],
            "outside_length": _text(given["belt_length"]),
        }
        if belt["outside_length"]:
            belt["section"] = coupling.parts[0].section
        engine = {"bore": given["engine_bore"], "room": _text(given["engine_room"]), "slot": slot}
        driven = {"bore": given["driven_bore"], "room": _text(given["driven_room"]), "at": [nought, nought]}
        return {
            "name": f"{self.machine.name}, {coupling.driven}"[:NAME_MOST],
            "turns": given["turns"],
            "belt": _filled(belt),
            "pulley": [
                _filled({"name": gettext("engine"), "shaft": CRANKSHAFT, "outside": sizes[0], **engine}),
                _filled({"name": coupling.driven, "shaft": coupling.driven, "outside": sizes[1], **driven}),
            ],
            "fit": _filled({"speed": _text(given["speed"], "rpm"), "power": _text(given["power"])}),
        }


class RouteForm(Refusing, forms.Form):
    """A whole route as text."""

    use_required_attribute = False
    route = forms.CharField(
        label=gettext_lazy("Route of the belt"),
        max_length=ROUTE_MOST,
        widget=forms.Textarea(attrs={"class": "sheet", "spellcheck": "false", "wrap": "off"}),
        strip=False,
    )

    def __init__(self, *args: Any, preferences: Preferences, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.preferences = preferences

    def text(self) -> str | None:
        """The route as sent; None with every fault named."""
        if not self.is_valid():
            return None
        text = marked(self.cleaned_data["route"], self.preferences.decimal_mark)
        try:
            read_frame(text)
        except InputErrors as found:
            for fault in found.faults:
                words = fault_words(fault, self.preferences.decimal_mark)
                self.add_error("route", f"{fault.field}: {words}")
            return None
        return text


def _box(path: str) -> str | None:
    return next((box for place, box in BOX_OF if path.startswith(place)), None)


def _text(given: Quantity | None, unit: str = "") -> str:
    if given is None:
        return ""
    bare = given.text.replace(",", "").replace(".", "").strip().isdecimal()
    return f"{given.text} {unit}".strip() if bare else given.text


def _filled(table: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in table.items() if value != ""}
