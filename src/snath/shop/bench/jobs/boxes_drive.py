"""List what the form asks of each drive, by the kind of drive it is."""

from django.utils.translation import gettext_lazy as _

from snath.shop.bench.jobs.box import Box, Choices

DRIVE_KINDS: Choices = (
    ("belt", _("belt over two pulleys")),
    ("direct", _("direct: one shaft")),
    ("gear", _("gears")),
    ("chain", _("chain or toothed belt")),
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
    Box("driven", ("driven",), _("This shaft is called"), must=True),
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
PARTS = (
    Box("driver_part", ("driver_part",), _("Driving one, its maker's part number")),
    Box("driven_part", ("driven_part",), _("Driven one, its maker's part number")),
)
NOT_LOOKED, FLUSH = "not looked", "flush"
RIDES: Choices = (
    (NOT_LOOKED, _("nobody looked: 0 to 3 mm too deep")),
    (FLUSH, _("flush with the rim")),
    ("sunk", _("sunk, by")),
    ("above", _("above, by")),
)
GROOVES: Choices = (
    ("of its section", _("for this section")),
    ("A/B combination", _("for A and B belts")),
)
SIZES_FROM = Box(
    "sizes_from",
    ("sizes_from",),
    _("Maker's page these sizes are from"),
    hint=_("Empty where you measured: a size without its ± then gets that of a tape, 1/16 in or 1 mm."),
)
TEETH = (
    Box("driver_teeth", ("driver_teeth",), _("Teeth on the driving one"), "whole", must=True),
    Box("driven_teeth", ("driven_teeth",), _("Teeth on the driven one"), "whole", must=True),
    *PARTS,
)
DRIVE_OF = {
    "belt": (
        Box("section", ("section",), _("Belt section"), "choice"),
        Box(
            "driver_outside", ("driver_outside",), _("Driving pulley, outside diameter"), "length", must=True
        ),
        Box("driven_outside", ("driven_outside",), _("Driven pulley, outside diameter"), "length", must=True),
        Box(
            "driver_rides",
            ("driver_rides",),
            _("In the driving pulley the belt rides"),
            "choice",
            RIDES,
            _("Top of the belt against the rim, seen from the side; a worn groove lets it sink."),
        ),
        Box(
            "driver_by",
            ("driver_by",),
            _("Sunk or above by"),
            "length",
            hint=_("Along the radius, such as 2 mm."),
        ),
        Box("driven_rides", ("driven_rides",), _("In the driven pulley the belt rides"), "choice", RIDES),
        Box("driven_by", ("driven_by",), _("Sunk or above by"), "length"),
        Box("driver_datum", ("driver_datum",), _("Driving pulley, datum diameter if stamped"), "length"),
        Box("driven_datum", ("driven_datum",), _("Driven pulley, datum diameter if stamped"), "length"),
        Box(
            "datum_offset",
            ("datum_offset",),
            _("Outside less datum diameter"),
            "length",
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
        Box("driver_groove", ("driver_groove",), _("Groove of the driving pulley"), "choice", GROOVES),
        Box("driven_groove", ("driven_groove",), _("Groove of the driven pulley"), "choice", GROOVES),
        SIZES_FROM,
        *PARTS,
    ),
    "direct": (),
    "gear": TEETH,
    "chain": TEETH,
    "counted": (
        Box("turns_in", ("turns_in",), _("Driving shaft turned by"), hint=_("Such as 20 turns."), must=True),
        Box(
            "turns_out",
            ("turns_out",),
            _("Driven shaft came round by"),
            hint=_("Such as 24 1/4 turns."),
            must=True,
        ),
        Box("resolution", ("resolution",), _("Read to ±"), hint=_("Such as 1/8 turn or 10 deg."), must=True),
    ),
    "two_readings": (
        Box(
            "driver_speed",
            ("driver",),
            _("Driving shaft, with its ±"),
            hint=_("Such as 3,300 rpm ± 5 rpm."),
            must=True,
        ),
        Box("driven_speed", ("driven",), _("Driven shaft, with its ±"), must=True),
    ),
    "variable": (
        Box("least", ("least",), _("Lowest ratio, driven over driving"), must=True),
        Box("most", ("most",), _("Highest ratio"), must=True),
    ),
}
