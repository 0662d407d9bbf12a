"""The boxes of a drawing as a form: the belt's own, those of every pulley, and those of a machine that is new."""

from collections.abc import Iterable, Iterator
from typing import Any

from django import forms
from django.utils.translation import gettext, gettext_lazy

from snath.formulas.belts.sections import tables
from snath.shop.bench.deck.wheels import (
    BACK,
    ENGINE,
    GROOVED,
    IDLER,
    INSIDE,
    SLIDES,
    SPINDLE,
    STAYS,
    SWINGS,
    Wheel,
    wheels_of,
)
from snath.shop.bench.drive.route_form import TURNS
from snath.shop.bench.jobs.boxes_drive import FLUSH, NOT_LOOKED
from snath.shop.bench.jobs.boxes_machine import CLUTCHES
from snath.shop.bench.jobs.boxes_part import NOT_SAID
from snath.shop.bench.jobs.entries import Entries
from snath.shop.bench.preferences import Preferences
from snath.shop.bench.refusals import speak
from snath.shop.bench.show import unit_word

LONGEST = 200
HIDDEN = ("role", "name", "shaft", "hand")
SIDES = (
    (BACK, gettext_lazy("the belt's back, flat")),
    (INSIDE, gettext_lazy("inside, flat")),
    (GROOVED, gettext_lazy("inside, in a groove")),
)
MOVES = (
    (SLIDES, gettext_lazy("moves between two places")),
    (SWINGS, gettext_lazy("swings about a pin")),
    (STAYS, gettext_lazy("stays where it is")),
)
KINDS = (
    ("ride-on rotary mower", gettext_lazy("ride-on rotary mower")),
    ("commercial rotary mower", gettext_lazy("commercial rotary mower")),
    ("walk-behind rotary mower", gettext_lazy("walk-behind rotary mower")),
)
MEASURED = (
    (NOT_SAID, gettext_lazy("nobody knows: counted as square across a 3 in bar")),
    ("corner to corner", gettext_lazy("corner to corner")),
    ("swing from the bore", gettext_lazy("circle swung from the bore")),
)
RIDES = (
    (NOT_LOOKED, gettext_lazy("nobody looked: 0 to 3 mm too deep")),
    (FLUSH, gettext_lazy("I looked: flush with every rim")),
)
BELT = ("belt", "turns")
BELT_MORE = ("belt_length", "belt_section", "belt_part", "speed", "power")
MACHINE = ("kind", "clutch", "blade", "measured", "rides", "rated_max", "machine")


class DeckForm(forms.Form):
    """Every box of a drawing, flat, with what was typed; `new` asks for the machine too."""

    use_required_attribute = False

    def __init__(self, entries: Entries, *, preferences: Preferences, sent: bool, new: bool) -> None:
        super().__init__(entries if sent else None, initial=None if sent else entries)
        self.preferences, self.entries, self.new = preferences, entries, new
        self.wheels = wheels_of(entries)
        self._belt_boxes()
        for wheel in self.wheels:
            self._wheel_boxes(wheel)
        if new:
            self._machine_boxes()
        speak(self.fields)

    @property
    def belt_boxes(self) -> list[forms.BoundField]:
        return [self[name] for name in BELT]

    @property
    def belt_seldom(self) -> list[forms.BoundField]:
        return [self[name] for name in BELT_MORE]

    @property
    def more_open(self) -> bool:
        return any(box.errors or box.value() for box in self.belt_seldom)

    @property
    def machine_boxes(self) -> list[forms.BoundField]:
        return [self[name] for name in MACHINE] if self.new else []

    @property
    def kept(self) -> list[tuple[str, str]]:
        """Boxes nobody types in: what each pulley is."""
        names = [f"w{wheel.at}_{box}" for wheel in self.wheels for box in HIDDEN]
        return [("wheels", str(len(self.wheels)))] + [(name, self.entries.get(name, "")) for name in names]

    def rows(self) -> Iterator[dict[str, Any]]:
        """The pulleys as the page shows them."""
        for wheel in self.wheels:
            names = [f"w{wheel.at}_{box}" for box in ("size", "order", "side", "moves")]
            places = [
                (words, [self[f"w{wheel.at}_{box}"] for box in boxes]) for words, boxes in self._places(wheel)
            ]
            fits = [self[f"w{wheel.at}_{box}"] for box in ("bore", "room")] if wheel.role != IDLER else []
            yield {
                "wheel": wheel,
                "boxes": [self[name] for name in names if name in self.fields],
                "places": places,
                "fits": fits,
                "fits_open": any(box.errors or box.value() for box in fits),
                "remove": wheel.role == IDLER,
            }

    def refuse(self, faults: list[tuple[str, str]]) -> None:
        """Mark each fault at its box, else at the whole."""
        self.is_valid()
        for box, words in faults:
            self.add_error(box if box in self.fields else None, words)

    def _belt_boxes(self) -> None:
        self.fields["belt"] = _text(
            gettext_lazy("Belt that is on, as printed on it"),
            gettext_lazy("Such as A51 or 4L530. For a maker's own belt give its length too."),
        )
        self.fields["turns"] = _choice(gettext_lazy("The belt goes round"), TURNS)
        self.fields["belt_length"] = _text(
            self._in_unit(gettext_lazy("Its outside length, where the print does not tell"))
        )
        sections = [("", gettext("say which")), *((one, one) for one in tables()["runs_in"])]
        self.fields["belt_section"] = _choice(gettext_lazy("Belt section"), sections)
        self.fields["belt_part"] = _text(gettext_lazy("Machine maker's number for the belt"))
        self.fields["speed"] = _text(
            gettext_lazy("Engine speed to choose for, rpm"),
            gettext_lazy("No load. Left empty, the speed it was left at, else read at, else the maker's."),
        )
        self.fields["power"] = _text(
            gettext_lazy("Power the blades take"),
            gettext_lazy("Such as 5 hp. Left empty, grip is compared with the drive as it is."),
        )

    def _wheel_boxes(self, wheel: Wheel) -> None:
        start = f"w{wheel.at}_"
        size = _text(self._in_unit(gettext_lazy("Outside diameter")))
        if not self.new and wheel.role != IDLER:
            size.widget.attrs["readonly"] = True
            size.help_text = gettext_lazy("From the machine's sheet.")
        self.fields[f"{start}size"] = size
        places = [("", gettext("not yet")), *((str(i + 1), str(i + 1)) for i in range(len(self.wheels)))]
        self.fields[f"{start}order"] = _choice(gettext_lazy("Number on the belt"), places)
        if wheel.role == IDLER:
            self.fields[f"{start}side"] = _choice(gettext_lazy("It runs on"), SIDES)
            self.fields[f"{start}moves"] = _choice(gettext_lazy("How it is held"), MOVES)
        else:
            self.fields[f"{start}bore"] = _text(
                gettext_lazy("Shaft and how a pulley holds on it"), gettext_lazy("Such as 1 in key.")
            )
            self.fields[f"{start}room"] = _text(self._in_unit(gettext_lazy("Largest pulley with room there")))
        beside = gettext("to the left") if wheel.left else gettext("to the right")
        if wheel.role != ENGINE:
            for side, ahead in (("x", "y"), ("sx", "sy"), ("px", "py")):
                if side != "x" and wheel.role == SPINDLE:
                    continue
                self.fields[start + side] = _text(self._in_unit(beside))
                self.fields[start + ahead] = _text(self._in_unit(gettext("ahead")))

    def _places(self, wheel: Wheel) -> Iterator[tuple[str, tuple[str, str]]]:
        """Each of a pulley's places in words, with its two boxes; an idler has all, and the page shows which count."""
        if wheel.role == ENGINE:
            return
        yield ("at", ("x", "y"))
        if wheel.role == IDLER:
            yield ("slack", ("sx", "sy"))
            yield ("pivot", ("px", "py"))

    def _machine_boxes(self) -> None:
        self.fields["kind"] = _choice(gettext_lazy("Kind"), KINDS)
        self.fields["clutch"] = _choice(gettext_lazy("Clutch"), CLUTCHES)
        self.fields["blade"] = _text(self._in_unit(gettext_lazy("Each blade, its length")))
        self.fields["measured"] = _choice(gettext_lazy("How was it measured?"), MEASURED)
        self.fields["rides"] = _choice(gettext_lazy("In the pulleys the belt rides"), RIDES)
        self.fields["rated_max"] = _text(gettext_lazy("Engine maker's highest no-load speed, rpm"))
        self.fields["machine"] = _text(
            gettext_lazy("What you call the machine"), gettext_lazy("Left empty, it is called by its kind.")
        )

    def _in_unit(self, label: Any) -> str:
        unit = "in" if self.preferences.units == "inch" else "mm"
        return f"{label}, {unit_word(unit)}"


def _text(label: Any, hint: Any = "") -> forms.CharField:
    widget = forms.TextInput({"autocomplete": "off", "autocapitalize": "off", "spellcheck": "false"})
    return forms.CharField(
        label=label, help_text=hint, max_length=LONGEST, required=False, widget=widget, strip=True
    )


def _choice(label: Any, choices: Iterable[tuple[str, Any]]) -> forms.ChoiceField:
    return forms.ChoiceField(label=label, choices=choices, required=False)
