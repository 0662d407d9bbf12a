"""Every box of the guided machine form: its words, and the key of the machine sheet it fills."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

Fill = Literal["text", "whole", "percent", "speed", "choice", "flag", "angles", "long"]
Choices = Sequence[tuple[str, str | Promise]]


@dataclass(frozen=True, slots=True)
class Box:
    """One box. `path` is its place in the table it belongs to; a `speed` box takes bare rpm."""

    name: str
    path: tuple[str | int, ...]
    label: str | Promise
    fill: Fill = "text"
    choices: Choices = ()
    hint: str | Promise = ""

    @property
    def needed(self) -> bool:
        """Whether a machine cannot be worked out without it."""
        return self.fill in ("choice", "flag") or self.name in NEEDED


# Boxes that must be filled where they are shown; every other one may be left empty.
NEEDED = frozenset(
    (
        *("name", "driven", "arm_1", "arm_2", "length", "width", "driver_outside", "driven_outside"),
        *(
            "driver_teeth",
            "driven_teeth",
            "turns_in",
            "turns_out",
            "resolution",
            "driver_speed",
            "driven_speed",
        ),
        *("least", "most", "poles"),
    )
)

KINDS: Choices = (
    ("walk-behind rotary mower", _("walk-behind rotary mower")),
    ("ride-on rotary mower", _("ride-on rotary mower")),
    ("commercial rotary mower", _("commercial rotary mower")),
    ("electric rotary mower", _("electric rotary mower")),
    ("brush cutter", _("brush cutter")),
    ("string trimmer", _("string trimmer")),
    ("cut-off saw", _("cut-off saw")),
    ("generator", _("generator")),
    ("pressure washer", _("pressure washer")),
    ("PTO machine", _("PTO machine")),
    ("tiller", _("tiller")),
    ("chipper", _("chipper")),
    ("snow thrower", _("snow thrower")),
    ("other", _("other machine")),
)
USES: Choices = (("consumer", _("at home")), ("commercial", _("at work: anybody paid runs it")))
MACHINE = (
    Box("name", ("name",), _("Machine"), hint=_("How you will find it again.")),
    Box("kind", ("kind",), _("Kind"), "choice", KINDS),
    Box("use", ("use",), _("Used"), "choice", USES),
    Box("made", ("made",), _("Year made"), "whole"),
    Box("serial", ("serial",), _("Serial number")),
)
PRIME_MOVERS: Choices = (
    ("engine", _("engine")),
    ("mains motor", _("mains motor")),
    ("battery motor", _("battery motor")),
)
UNKNOWN = ("", _("not known"))
MAKER = (
    Box(
        "maker_speed",
        ("engine", "maker_no_load", "speed"),
        _("Maker's no-load speed, rpm"),
        "speed",
        hint=_("The equipment maker's figure, not the engine maker's. It decides what to set to."),
    ),
    Box(
        "maker_tolerance",
        ("engine", "maker_no_load", "tolerance"),
        _("Its ±, rpm"),
        "speed",
        hint=_("0 where the maker gives none."),
    ),
    Box(
        "maker_condition",
        ("engine", "maker_no_load", "condition"),
        _("It is meant with the"),
        "choice",
        (
            ("", _("say which")),
            ("blades off", _("blades off")),
            ("blades in air", _("blades in air")),
        ),
    ),
    Box(
        "maker_source",
        ("engine", "maker_no_load", "source"),
        _("Manual, edition and page"),
    ),
)
ENGINE = (
    Box("prime_mover", ("engine", "prime_mover"), _("Turned by"), "choice", PRIME_MOVERS),
    Box("code", ("engine", "code"), _("Engine code")),
    Box(
        "rated_max",
        ("engine", "rated_max"),
        _("Engine maker's highest no-load speed, rpm"),
        "speed",
    ),
    Box("clutch", ("engine", "clutch"), _("Blades can be disengaged while it runs"), "flag"),
)
ENGINE_MORE = (
    Box("strokes", ("engine", "strokes"), _("Strokes, 2 or 4"), "whole"),
    Box("cylinders", ("engine", "cylinders"), _("Cylinders"), "whole"),
    Box(
        "firing",
        ("engine", "firing"),
        _("Firing"),
        "choice",
        (UNKNOWN, ("even", _("even")), ("uneven", _("uneven"))),
    ),
    Box(
        "firing_angles",
        ("engine", "firing_angles"),
        _("Where each cylinder fires"),
        "angles",
        hint=_("Only for uneven firing: crank angles, such as 0 deg; 270 deg."),
    ),
    Box(
        "ignition",
        ("engine", "ignition"),
        _("Ignition"),
        "choice",
        (
            UNKNOWN,
            ("wasted spark", _("wasted spark: once every turn")),
            ("spark every cycle", _("one spark every working cycle")),
            ("double spark", _("double spark")),
            ("no spark", _("no spark")),
        ),
    ),
    Box(
        "governor",
        ("engine", "governor"),
        _("Governor"),
        "choice",
        (
            UNKNOWN,
            ("mechanical", _("mechanical")),
            ("air vane", _("air vane")),
            ("electronic", _("electronic")),
            ("none", _("none")),
        ),
    ),
    Box(
        "rated_min",
        ("engine", "rated_min"),
        _("Lowest no-load speed at full throttle, rpm"),
        "speed",
    ),
    Box("idle", ("engine", "idle"), _("Idle speed, rpm"), "speed"),
    Box(
        "droop",
        ("engine", "droop"),
        _("Droop, %"),
        "percent",
        hint=_("No-load less loaded speed, as a share of the loaded speed."),
    ),
    Box("notes", ("notes",), _("Notes"), "long"),
)

DRIVE_KINDS: Choices = (
    ("belt", _("belt over two pulleys")),
    ("direct", _("direct: one shaft")),
    ("gear", _("gears")),
    ("chain", _("chain")),
    ("counted", _("ratio counted by hand")),
    ("two_readings", _("ratio from two readings at once")),
    ("variable", _("variable drive")),
)
SENSES: Choices = (
    ("", _("as usual for its kind")),
    ("same", _("the same way")),
    ("opposite", _("the other way")),
)
DRIVE = (
    Box("driven", ("driven",), _("This shaft is called")),
    Box("driver", ("driver",), _("It is driven from"), "choice"),
    Box("kind", (), _("By"), "choice", DRIVE_KINDS),
)
DRIVE_MORE = (
    Box("sense", ("sense",), _("It turns"), "choice", SENSES),
    Box(
        "slip_max",
        ("slip_max",),
        _("Most slip under load, %"),
        "percent",
        hint=_("Only where a lowest speed must be kept; never assumed."),
    ),
    Box("source", ("source",), _("Where these figures come from")),
)
TEETH = (
    Box("driver_teeth", ("driver_teeth",), _("Teeth on the driving one"), "whole"),
    Box("driven_teeth", ("driven_teeth",), _("Teeth on the driven one"), "whole"),
)
DRIVE_OF = {
    "belt": (
        Box("section", ("section",), _("Belt section"), "choice"),
        Box("driver_outside", ("driver_outside",), _("Driving pulley, outside diameter")),
        Box("driven_outside", ("driven_outside",), _("Driven pulley, outside diameter")),
        Box("driver_datum", ("driver_datum",), _("Driving pulley, datum diameter if stamped")),
        Box("driven_datum", ("driven_datum",), _("Driven pulley, datum diameter if stamped")),
        Box(
            "datum_offset",
            ("datum_offset",),
            _("Outside less datum diameter"),
            hint=_("From the pulley maker's page, where the section's is not known."),
        ),
        Box("datum_offset_source", ("datum_offset_source",), _("Whose page")),
        Box(
            "driver_pulley",
            ("driver_pulley",),
            _("Driving pulley's own name"),
            hint=_("Where several belts run on one pulley: the same name at each, its diameter at one."),
        ),
        Box("driven_pulley", ("driven_pulley",), _("Driven pulley's own name")),
    ),
    "direct": (),
    "gear": TEETH,
    "chain": TEETH,
    "counted": (
        Box("turns_in", ("turns_in",), _("Driving shaft turned by"), hint=_("Such as 20 turns.")),
        Box("turns_out", ("turns_out",), _("Driven shaft came round by"), hint=_("Such as 24 1/4 turns.")),
        Box("resolution", ("resolution",), _("Read to ±"), hint=_("Such as 1/8 turn or 10 deg.")),
    ),
    "two_readings": (
        Box(
            "driver_speed", ("driver",), _("Driving shaft, with its ±"), hint=_("Such as 3,300 rpm ± 5 rpm.")
        ),
        Box("driven_speed", ("driven",), _("Driven shaft, with its ±")),
    ),
    "variable": (
        Box("least", ("least",), _("Lowest ratio, driven over driving")),
        Box("most", ("most",), _("Highest ratio")),
    ),
}

PART_KINDS: Choices = (
    ("blade", _("blade")),
    ("string_head", _("string head")),
    ("wheel", _("cut-off wheel")),
    ("disc", _("disc")),
    ("alternator", _("alternator")),
    ("pump", _("pump")),
    ("other", _("another part with a highest speed")),
)
PART = (
    Box("name", ("name",), _("It is called")),
    Box("shaft", ("shaft",), _("It sits on"), "choice"),
    Box("kind", (), _("It is a"), "choice", PART_KINDS),
)
ARMS_MEASURED = "arms"
MEASURED: Choices = (
    (ARMS_MEASURED, _("bore to tip, at both ends (best)")),
    ("corner to corner", _("corner to corner")),
    ("square across", _("square across, and its width")),
    ("swing from the bore", _("circle swung from the bore")),
)
BLADE_START = (
    Box(
        "measured",
        ("measured",),
        _("How was it measured?"),
        "choice",
        MEASURED,
        _("To the farthest points: the tips draw a circle wider than a tape laid along the middle."),
    ),
)
ARMS = (
    Box("arm_1", ("arms", 0), _("Middle of bore to farthest point, one end")),
    Box("arm_2", ("arms", 1), _("The same, other end"), hint=_("Over 1/8 in apart: bent. Stop.")),
)
LENGTH = (Box("length", ("length",), _("Blade length")),)
SQUARE = (*LENGTH, Box("width", ("width",), _("Blade width at its ends")))
NEW_BLADE = (
    Box(
        "new_largest",
        ("new_largest",),
        _("Longest new blade the maker lists"),
        hint=_("A worn blade is shorter than the one that will be fitted next."),
    ),
)
DIAMETER = Box("diameter", ("diameter",), _("Diameter"))
MARKED = (
    Box("speed_max", ("speed_max",), _("Highest speed marked on it, rpm"), "speed"),
    Box("speed_min", ("speed_min",), _("Lowest speed it needs, rpm"), "speed"),
    Box("source", ("source",), _("Where that is marked or printed")),
)
PART_OF = {
    "string_head": (DIAMETER,),
    "wheel": (DIAMETER, Box("surface_max", ("surface_max",), _("Highest rim speed marked"))),
    "disc": (DIAMETER, Box("surface_max", ("surface_max",), _("Highest rim speed marked"))),
    "alternator": (
        Box("poles", ("poles",), _("Poles"), "whole"),
        Box("frequency_max", ("frequency_max",), _("Highest frequency, no load")),
        Box("frequency_min", ("frequency_min",), _("Lowest frequency, loaded")),
        Box(
            "performance_class",
            ("performance_class",),
            _("Class"),
            "choice",
            (UNKNOWN, ("G1", "G1"), ("G2", "G2"), ("G3", "G3")),
        ),
        Box("inverter", ("inverter",), _("Inverter: makes its frequency apart from speed"), "flag"),
    ),
    "pump": (),
    "other": (),
}


def part_boxes(kind: str, measured: str) -> tuple[Box, ...]:
    """The boxes of a part: its sizes as they were measured, then what is marked on it."""
    if kind != "blade":
        return (*PART_OF[kind], *MARKED)
    sizes = ARMS if measured == ARMS_MEASURED else SQUARE if measured == "square across" else LENGTH
    return (*BLADE_START, *sizes, *NEW_BLADE, *MARKED)
