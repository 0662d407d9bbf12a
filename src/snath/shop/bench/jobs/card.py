"""The one-minute card: what is asked of a machine whose one blade sits straight on the crankshaft, what is taken."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext, gettext_lazy

from snath.decisions.behaviour.asked import StageName
from snath.decisions.machine.parts import CRANKSHAFT
from snath.decisions.machine.sheet_text import toml_text
from snath.decisions.reading.instruments import INSTRUMENT_KINDS, Instrument
from snath.shop.bench.fields import QuantityField, ShopForm
from snath.shop.bench.jobs.boxes_machine import USES
from snath.shop.bench.jobs.boxes_part import NOT_SAID
from snath.shop.bench.preferences import Preferences
from snath.shop.bench.quick.forms import LEAST_BARE, MOST_BARE
from snath.shop.bench.shelf.tachometer import TachometerFields, offer_tachometers

KIND = "walk-behind rotary mower"
BLADE = "blade"
MEASURED = (
    (NOT_SAID, gettext_lazy("nobody knows: counted as square across a 3 in bar")),
    ("corner to corner", gettext_lazy("corner to corner: the farthest points of its tips")),
    ("swing from the bore", gettext_lazy("the circle it draws, swung from the bore")),
)
# Sparks on the plug lead, for an inductive tachometer: strokes and ignition as a sheet says them.
SPARKS = {
    "": (),
    "every turn": (("strokes", 4), ("ignition", "wasted spark")),
    "every second turn": (("strokes", 4), ("ignition", "spark every cycle")),
    "two-stroke": (("strokes", 2),),
}
SPARK_WORDS = (
    ("", gettext_lazy("not known")),
    ("every turn", gettext_lazy("one every turn: a magnet on the flywheel")),
    ("every second turn", gettext_lazy("one every second turn")),
    ("two-stroke", gettext_lazy("a two-stroke: one every turn")),
)
ASKED = ("blade", "found", "left", "owner")
TICKS = ("looked_over", "state")
MORE = (
    *("measured", "name", "serial", "phone", "use", "rated_max"),
    *("maker_speed", "maker_tolerance", "maker_source"),
    *("left_2", "left_3", "sparks"),
)
# From a place on the sheet to the box it was filled from, the longer first.
BOXES = (
    ("engine.maker_no_load.tolerance", "maker_tolerance"),
    ("engine.maker_no_load.source", "maker_source"),
    ("engine.maker_no_load", "maker_speed"),
    ("engine.rated_max", "rated_max"),
    ("member[1]", "blade"),
    ("name", "name"),
    ("serial", "serial"),
)


def _rpm(label: Any, **more: Any) -> QuantityField:
    field = QuantityField("rotation", default_unit="rpm", label=label, **more)
    field.widget.attrs["inputmode"] = "decimal"
    return field


class CardForm(TachometerFields, ShopForm):
    """Four boxes and two ticks; everything else has a start value that is shown and can be opened."""

    blade = QuantityField(
        "length", label=gettext_lazy("Blade length"), bare_least=LEAST_BARE, bare_most=MOST_BARE
    )
    found = _rpm(gettext_lazy("It ran at, rpm"))
    left = _rpm(
        gettext_lazy("It runs at now, rpm"),
        required=False,
        help_text=gettext_lazy("After setting. Empty where nothing was set."),
    )
    owner = forms.CharField(
        label=gettext_lazy("Who does it belong to?"),
        max_length=120,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "off", "list": "known-customers"}),
    )
    looked_over = forms.BooleanField(
        label=gettext_lazy("Looked at before it ran, everything on the list: all in order"), required=False
    )
    state = forms.BooleanField(
        label=gettext_lazy("Engine warm, choke off, throttle on its stop, each time it was read"),
        required=False,
    )
    instrument = forms.ChoiceField(label=gettext_lazy("Read with"), required=False)
    measured = forms.ChoiceField(
        label=gettext_lazy("How was the blade measured?"),
        choices=MEASURED,
        initial=NOT_SAID,
        required=False,
        widget=forms.RadioSelect,
    )
    name = forms.CharField(
        label=gettext_lazy("Machine"),
        max_length=120,
        required=False,
        help_text=gettext_lazy("How you will find it again. Empty: by its blade."),
    )
    serial = forms.CharField(label=gettext_lazy("Serial number"), max_length=60, required=False)
    phone = forms.CharField(
        label=gettext_lazy("Customer's telephone"),
        max_length=60,
        required=False,
        widget=forms.TextInput(attrs={"inputmode": "tel"}),
    )
    use = forms.ChoiceField(label=gettext_lazy("Used"), choices=USES, required=False)
    rated_max = _rpm(gettext_lazy("Engine maker's highest no-load speed, rpm"), required=False)
    maker_speed = _rpm(
        gettext_lazy("Maker's no-load speed, rpm"),
        required=False,
        help_text=gettext_lazy("The equipment maker's figure. Without it no setting can be called right."),
    )
    maker_tolerance = _rpm(gettext_lazy("Its ±, rpm"), required=False)
    maker_source = forms.CharField(
        label=gettext_lazy("Manual, edition and page"), max_length=200, required=False
    )
    left_2 = _rpm(gettext_lazy("It runs at now, read again, rpm"), required=False)
    left_3 = _rpm(gettext_lazy("and once more, rpm"), required=False)
    sparks = forms.ChoiceField(
        label=gettext_lazy("Sparks on the plug lead"),
        choices=SPARK_WORDS,
        required=False,
        help_text=gettext_lazy("Only an inductive tachometer needs it."),
    )

    def __init__(
        self, *args: Any, preferences: Preferences, instruments: Sequence[Instrument], **kwargs: Any
    ) -> None:
        super().__init__(*args, preferences=preferences, **kwargs)
        self.instruments = instruments
        offer_tachometers(self, instruments)
        for name in TICKS:
            self.fields[name].widget.attrs["data-caution"] = ""  # given anew each time, never put back

    @property
    def asked(self) -> list[forms.BoundField]:
        """The boxes everybody fills in."""
        return [self[name] for name in ASKED]

    @property
    def ticks(self) -> list[forms.BoundField]:
        """What must be true."""
        return [self[name] for name in TICKS]

    @property
    def more(self) -> list[forms.BoundField]:
        """What has a start value."""
        return [self[name] for name in MORE]

    @property
    def taken(self) -> list[str]:
        """The start values in words, as long as nobody opened them."""
        first = self.instruments[0].name if self.instruments else ""
        return [
            gettext("a push mower, its one blade straight on the crankshaft, used at home"),
            gettext("the blade counted as square across a 3 in bar, until you say how it was measured"),
            gettext("read at the crankshaft, blade in air, nothing being cut"),
            *([gettext("read with: %(instrument)s") % {"instrument": first}] if first else []),
            gettext("engine maker's and machine maker's speeds: not known"),
        ]

    @property
    def more_open(self) -> bool:
        """Whether something of it was changed, or is wrong."""
        return any(
            box.errors or (self.is_bound and box.value() not in ("", None, box.initial)) for box in self.more
        )

    @property
    def tachometer_open(self) -> bool:
        """Whether the two boxes for a tachometer must show."""
        return not self.instruments or any(self[name].errors for name in ("tach_kind", "tach_accuracy"))

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        if not given.get("state"):
            self.add_error(
                "state", gettext("A reading counts only with this true. Let it get there, then read.")
            )
        if not given.get("sparks") and self._counts_sparks(given):
            self.add_error("sparks", gettext("nothing was chosen: an inductive tachometer counts sparks"))
        if given.get("left") is None:
            for name in ("left_2", "left_3"):
                if given.get(name) is not None and "left" not in self.errors:
                    self.add_error(
                        "left", gettext("nothing was typed: must be filled in before it is read again")
                    )
        if given.get("maker_speed") is None and given.get("maker_tolerance") is not None:
            self.add_error("maker_speed", gettext("nothing was typed: its ± needs the speed itself"))
        return given

    def _counts_sparks(self, given: dict[str, Any]) -> bool:
        chosen = given.get("instrument") or self.fields["instrument"].initial
        kinds = {one.id: one.kind for one in self.instruments}
        kind = INSTRUMENT_KINDS.get(str(kinds.get(chosen, given.get("tach_kind"))))
        return kind is not None and kind.counts == "sparks"

    @property
    def speeds(self) -> dict[StageName, tuple[float, ...]]:
        """What was read, by stage. [rev/s]"""
        given = self.cleaned_data
        boxes: dict[StageName, tuple[str, ...]] = {
            "as found": ("found",),
            "as left": ("left", "left_2", "left_3"),
        }
        return {
            stage: tuple(given[name].measured.value for name in names if given[name] is not None)
            for stage, names in boxes.items()
        }

    @property
    def called(self) -> str:
        """The machine's name: as typed, else after its blade."""
        blade = self.cleaned_data["blade"].text.strip()
        return str(self.cleaned_data["name"]).strip() or gettext("Push mower, %(blade)s") % {"blade": blade}

    def sheet(self) -> str:
        """The machine as the sheet any other form would write."""
        given = self.cleaned_data
        blade = {"length": given["blade"].text}
        if given["measured"] not in ("", NOT_SAID):
            blade["measured"] = given["measured"]
        engine: dict[str, Any] = dict(SPARKS[given["sparks"]])
        if given["rated_max"] is not None:
            engine["rated_max"] = _typed(given["rated_max"])
        if given["maker_speed"] is not None:
            tolerance = given["maker_tolerance"]
            engine["maker_no_load"] = {
                "speed": _typed(given["maker_speed"]),
                "tolerance": "0 rpm" if tolerance is None else _typed(tolerance),
                "condition": "blades in air",
                "source": given["maker_source"] or gettext("not written down"),
            }
        data: dict[str, Any] = {
            "sheet": 1,
            "decimal_mark": self.preferences.decimal_mark,
            "name": self.called,
        }
        data |= {"kind": KIND, "use": given["use"] or "at home"}
        if given["serial"].strip():
            data["serial"] = given["serial"].strip()
        data |= {"engine": engine, "member": [{"name": BLADE, "shaft": CRANKSHAFT, "blade": blade}]}
        return toml_text(data)


def _typed(quantity: Any) -> str:
    """A speed as a sheet has it, its unit written out."""
    text = str(quantity.text).strip()
    return text if any(letter.isalpha() for letter in text) else f"{text} rpm"


def box_of(path: str) -> str | None:
    """The box a fault of the sheet belongs to."""
    return next((box for place, box in BOXES if path.startswith(place)), None)
