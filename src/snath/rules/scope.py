"""The words a rule's scope is written in, each list in one place."""

MACHINE_KINDS = (
    "walk-behind rotary mower",
    "ride-on rotary mower",
    "commercial rotary mower",
    "electric rotary mower",
    "brush cutter",
    "string trimmer",
    "cut-off saw",
    "generator",
    "pressure washer",
    "PTO machine",
    "tiller",
    "chipper",
    "snow thrower",
    "other",
)
MEMBER_KINDS = ("blade", "string head", "disc", "wheel", "alternator", "pump", "other")
USES = ("consumer", "commercial")  # commercial: anybody at work runs it
MARKETS = ("US", "CA", "EU", "UK", "AU/NZ", "other")
