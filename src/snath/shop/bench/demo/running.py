"""What was looked at on the demo's surging mower beside its speed: governor, setting, stop, throw, balance, checks."""

from snath.decisions.behaviour.asked import (
    BalanceInput,
    BehaviourInput,
    ChecklistInput,
    GovernorInput,
    Mark,
    StopInput,
)
from snath.decisions.behaviour.setting_input import SettingInput, SettingPoint
from snath.decisions.behaviour.thrown import Thing, ThrowInput
from snath.quantities.measured import Line, Measured
from snath.quantities.units import from_rpm
from snath.shop.bench.demo.tracks import SHAFT, steady, stopping, surging

DONE = ("manual", "fuel-oil", "warm", "cable", "static", "idle", "seals")
LOAD = 1100.0  # W


def surging_mower() -> BehaviourInput:
    """Linkage hung up as found; freed, set, its stop tested and what it throws compared as left."""
    return BehaviourInput(
        governor_found=GovernorInput(loaded=_read(3700, 15), track=surging()),
        governor_left=GovernorInput(track=steady(), load_w=LOAD),
        setting=_setting(),
        stop=StopInput(
            stopping(),
            SHAFT,
            "flywheel brake",
            maker_limit=3.0,
            maker_source="demo handbook, 3rd edition, page 22",
        ),
        throw=ThrowInput((), (Thing("stone of 20 g", 0.02, 2600.0),)),
        balance=BalanceInput(
            mass=0.8,
            missing=0.006,
            missing_radius=0.25,
            tip_radius=0.2667,
            grind_radius=0.25,
            rotation=from_rpm(3100),
            machine_mass=32.0,
        ),
        checklist=_checks(),
        wanted_loaded=_read(3700, 0),
    )


def _setting() -> SettingInput:
    """Three turns of the screw; target and band are the window's own."""
    points = tuple(SettingPoint(turns, _read(speed, 4)) for turns, speed in ((0, 3340), (2, 3180), (3, 3100)))
    low, target, high = (from_rpm(speed) for speed in (3000, 3100, 3200))
    return SettingInput("turns", points, target, low, high, ceiling=high)


def _checks() -> ChecklistInput:
    marks = tuple(Mark(check, "done") for check in DONE)
    freed = Mark(
        "linkage",
        "fault",
        "hung up, spring in the wrong hole",
        put_right="spring moved, rod straightened",
        by="the day's mechanic",
    )
    heavy = Mark("balance", "open", "6 g heavy at one end, told to the owner")
    return ChecklistInput(
        (*marks, freed, heavy),
        seals="governor seal broken when it came in",
        in_order=("as found", "as left"),
    )


def _read(rpm: float, u: float) -> Measured:
    return Measured(from_rpm(rpm), (Line("as read", from_rpm(u)),) if u else ())
