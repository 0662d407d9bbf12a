"""List what the form asks of the machine itself, its engine, and what its maker says of both."""

from django.utils.translation import gettext_lazy as _

from snath.shop.bench.jobs.box import UNKNOWN, Box, Choices

KINDS: Choices = (
    ("walk-behind rotary mower", _("walk-behind rotary mower")),
    ("ride-on rotary mower", _("ride-on rotary mower")),
    ("commercial rotary mower", _("commercial rotary mower")),
    ("electric rotary mower", _("electric rotary mower")),
    ("brush cutter", _("brush cutter")),
    ("string trimmer", _("string trimmer")),
    ("edger", _("edger")),
    ("cut-off saw", _("cut-off saw")),
    ("generator", _("generator")),
    ("pressure washer", _("pressure washer")),
    ("PTO machine", _("PTO machine")),
    ("tiller", _("tiller")),
    ("chipper", _("chipper")),
    ("snow thrower", _("snow thrower")),
    ("go-kart", _("go-kart")),
    ("other", _("other machine")),
)
PRODUCTS: Choices = (
    ("", _("whom its kind says")),
    ("consumer", _("people at home")),
    ("commercial", _("people at work")),
)
USES: Choices = (("at home", _("at home")), ("at work", _("at work: anybody paid runs it")))
MACHINE = (
    Box("name", ("name",), _("Machine"), hint=_("How you will find it again."), must=True),
    Box("kind", ("kind",), _("Kind"), "choice", KINDS),
    Box("use", ("use",), _("Used"), "choice", USES),
    Box("made", ("made",), _("Year made"), "whole"),
    Box("serial", ("serial",), _("Serial number")),
)
MACHINE_MORE = (
    Box("product", ("product",), _("Designed for"), "choice", PRODUCTS),
    Box(
        "cutting_width",
        ("cutting_width",),
        _("Cutting width"),
        "length",
        hint=_("Width, weight and power decide whether the rule on blade stops speaks of it."),
    ),
    Box("weight", ("weight",), _("Weight")),
    Box("power", ("power",), _("Engine power"), hint=_("Such as 8 hp or 6 kW.")),
)
PRIME_MOVERS: Choices = (
    ("engine", _("engine")),
    ("mains motor", _("mains motor")),
    ("battery motor", _("battery motor")),
)
CLUTCHES: Choices = (
    ("", _("say which")),
    ("none", _("none: what it drives always turns along")),
    ("by hand", _("by hand or switch")),
    ("centrifugal", _("centrifugal: by speed")),
)
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
            ("blades off", _("blades off, or disengaged")),
            ("blades in air", _("blades in air, or no load")),
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
    Box(
        "clutch",
        ("engine", "clutch"),
        _("Clutch"),
        "choice",
        CLUTCHES,
        _("By hand or switch: what it drives can stand still while the engine runs. Riders need an answer."),
    ),
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
