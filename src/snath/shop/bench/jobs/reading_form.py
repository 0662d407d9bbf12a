"""What a typed reading must say before it counts: state of the machine, where, how often, with what."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext, gettext_lazy

from snath.decisions.job.job import Job
from snath.decisions.machine.clutch import conditions
from snath.decisions.machine.condition_words import bladed, condition_word
from snath.decisions.machine.parts import Condition, Machine
from snath.decisions.reading.instruments import Instrument
from snath.shop.bench.fields import QuantityField, ShopForm, choices_of
from snath.shop.bench.jobs.looked_over import with_fault, with_tick
from snath.shop.bench.jobs.page import after_turning
from snath.shop.bench.preferences import Preferences
from snath.shop.bench.shelf.tachometer import NEW, TachometerFields, added, offer_tachometers

STAGES = (("as found", gettext_lazy("as found")), ("as left", gettext_lazy("as left, after setting")))
# What a condition means, by its word; the others say it themselves.
MEANING = {
    "blades off": gettext_lazy("blades off: disengaged, engine alone"),
    "blades in air": gettext_lazy("blades in air: engaged, nothing being cut"),
    "cutting": gettext_lazy("cutting or under load"),
    "disengaged": gettext_lazy("disengaged, engine alone"),
    "no load": gettext_lazy("no load"),
    "loaded": gettext_lazy("loaded"),
    "peak": gettext_lazy("peak: the highest it jumped to"),
    "idle": gettext_lazy("idling: only to see whether the tachometer counts every turn"),
}
STATE = ("warm", "choke_off", "on_stop")
STOP_CHECK = "cable"  # the check that a throttle reaches its stop
REPEATS = ("speed_1", "speed_2", "speed_3", "speed_4", "speed_5")
READ_OTHERWISE = "other"


def ticked_before(job: Job) -> dict[str, Any]:
    """What a reading's form begins with: the stage that comes next, and the ticks that this job was given already."""
    taken = (*job.as_found.readings, *job.as_left.readings)
    checked = job.behaviour.checklist
    start: dict[str, Any] = {"stage": "as left" if job.as_found.readings else "as found"}
    start |= {name: bool(taken) for name in STATE}
    short = checked is not None and any(
        mark.check == STOP_CHECK and mark.state == "fault" and not mark.put_right for mark in checked.marks
    )
    start["on_stop"] = start["on_stop"] and not short
    start["looked_over"] = bool(taken and checked and checked.in_order)
    return start


class StateForm(ShopForm):
    """What must be true and said of the machine, however it is read."""

    stage = forms.ChoiceField(label=gettext_lazy("This is"), choices=STAGES, widget=forms.RadioSelect)
    turned = forms.CharField(
        label=gettext_lazy("Turned or changed since the last reading"),
        max_length=120,
        required=False,
        help_text=gettext_lazy(
            "Such as stop screw, half a turn out. Empty where nothing was touched: then both count together."
        ),
    )
    looked_over = forms.BooleanField(
        label=gettext_lazy("Looked at before it ran, everything on the list: all in order"),
        required=False,
    )
    warm = forms.BooleanField(label=gettext_lazy("Engine warm"), required=False)
    choke_off = forms.BooleanField(label=gettext_lazy("Choke off"), required=False)
    on_stop = forms.BooleanField(label=gettext_lazy("Throttle on its stop"), required=False)
    short_of_stop = forms.BooleanField(
        label=gettext_lazy("It cannot reach its stop: take it down all the same"),
        required=False,
        help_text=gettext_lazy("Goes on the check list as a fault: nothing passes until it is put right."),
    )
    condition = forms.ChoiceField(label=gettext_lazy("While it was read"), widget=forms.RadioSelect)
    shaft = forms.ChoiceField(label=gettext_lazy("Read at"))

    def __init__(
        self,
        *args: Any,
        preferences: Preferences,
        shafts: Sequence[tuple[str, str]],
        machine: Machine,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, preferences=preferences, **kwargs)
        choices_of(self, "shaft", shafts)
        blades = bladed(machine)
        said = [(one, MEANING[condition_word(one, blades=blades)]) for one in conditions(machine)]
        choices_of(self, "condition", said)
        for name in (*STATE, "looked_over"):
            self.fields[name].widget.attrs["data-caution"] = ""  # given anew each time, never put back
        if not machine.engine.clutch:
            self.fields["condition"].initial = "blades in air"

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        idling = given.get("condition") == "idle"
        short = given.get("short_of_stop")
        if short and given.get("on_stop"):
            self.add_error("short_of_stop", gettext_lazy("Either it is on its stop, or it cannot reach it."))
        elif short and given.get("stage") == "as left":
            self.add_error(
                "short_of_stop", gettext_lazy("Only as found: put it right before the machine is left so.")
            )
        for name in STATE:
            if not given.get(name) and not ((short or idling) and name == "on_stop"):
                self.add_error(
                    name, gettext_lazy("A reading counts only with this true. Let it get there, then read.")
                )
        return given

    def counted(self, job: Job) -> Job:
        """The job with what was said beside its newest reading: turned before it, checked, short of its stop."""
        stage, turned = self.cleaned_data["stage"], self.cleaned_data["turned"].strip()
        if turned:
            job = after_turning(job, stage, turned)
        if self.cleaned_data["short_of_stop"]:
            job = with_fault(job, STOP_CHECK, gettext("cannot reach its stop, as found"))
        return with_tick(job, stage) if self.cleaned_data["looked_over"] else job

    @property
    def condition_read(self) -> Condition:
        """The condition, as the core spells it."""
        condition: Condition = self.cleaned_data["condition"]
        return condition


class ReadingForm(TachometerFields, StateForm):
    """A tachometer's display, read at least three times."""

    instrument = forms.ChoiceField(label=gettext_lazy("Read with"))
    speed_1 = QuantityField("rotation", default_unit="rpm", label=gettext_lazy("First reading, rpm"))
    speed_2 = QuantityField("rotation", default_unit="rpm", label=gettext_lazy("Second"), required=False)
    speed_3 = QuantityField("rotation", default_unit="rpm", label=gettext_lazy("Third"), required=False)
    speed_4 = QuantityField("rotation", default_unit="rpm", label=gettext_lazy("Fourth"), required=False)
    speed_5 = QuantityField("rotation", default_unit="rpm", label=gettext_lazy("Fifth"), required=False)
    hunting = QuantityField(
        "rotation",
        default_unit="rpm",
        label=gettext_lazy("It hunts, up and down by ±"),
        required=False,
        help_text=gettext_lazy("Half of the swing. Empty where it holds steady."),
    )

    def __init__(self, *args: Any, instruments: Sequence[Instrument], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offer_tachometers(self, instruments)
        for name in REPEATS:
            self.fields[name].widget.attrs["inputmode"] = "decimal"

    @property
    def tachometer_open(self) -> bool:
        """Whether the two boxes for a tachometer must show."""
        boxes = [self[name] for name in ("tach_kind", "tach_accuracy")]
        return self["instrument"].value() == NEW or any(box.value() or box.errors for box in boxes)

    def instrument_in(self, instruments: Sequence[Instrument]) -> Instrument | None:
        """The one that was chosen; the one of the two boxes goes on the shelf. None where nothing is known of it."""
        if self.cleaned_data["tach_kind"]:
            return added(self)
        return next((one for one in instruments if one.id == self.cleaned_data["instrument"]), None)

    @property
    def repeats(self) -> tuple[float, ...]:
        """The readings that were given, in SI."""
        given = (self.cleaned_data.get(name) for name in REPEATS)
        return tuple(quantity.measured.value for quantity in given if quantity is not None)
