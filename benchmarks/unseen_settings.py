"""Follow the setting advice on adjusters of three families until it ends, or eight settings are made."""

from collections import Counter
from typing import Any

import numpy as np

from benchmarks.unseen import settings_lever, settings_screw, settings_warmed
from benchmarks.unseen.drawn import cases, ranges, seeds, wilson
from snath.decisions.behaviour.checklist import ChecklistResult
from snath.decisions.behaviour.setting import OPEN_SLOWLY, next_setting
from snath.decisions.behaviour.setting_input import SettingInput, SettingPoint
from snath.quantities.measured import Line, Measured

FAMILIES: dict[str, Any] = {"screw": settings_screw, "lever": settings_lever, "warmed": settings_warmed}
READY = ChecklistResult((), (), ("as found", "as left"), (), may_set=True, outcome="", notes=())
COUNT = 200
MOST = 8


def followed(one: Any, *, watched: bool = False) -> tuple[str, int, float]:
    """How it ended, after how many settings, and the highest true speed that advice led to.

    Where it is watched, the driver does as the steps say: opens the throttle slowly at a place never read, and closes
    it at the ceiling, which is then all that was read there.
    """
    target = (one.low + one.high) / 2
    points: list[SettingPoint] = []
    highest, position, tried = 0.0, one.start, 0

    def look(place: float, slowly: bool = False) -> float:
        read, true = one.set_and_read(place)
        if slowly and place not in {point.position for point in points}:
            read, true = min(read, one.ceiling), min(true, one.ceiling)
        points.append(SettingPoint(place, Measured(read / 60, (Line("reading", one.u / 60),))))
        return float(true)

    look(position)
    while tried < MOST:
        asked = SettingInput(
            one.kind, tuple(points), target / 60, one.low / 60, one.high / 60, one.ceiling / 60
        )
        got = next_setting(asked, hunts=False, checked=READY)
        if got.advice in ("leave it", "no choice fits"):
            return got.advice, tried, highest
        if got.position is None:
            slower = points[-1].speed.value * 60 > target
            size = 1.0 if one.kind != "turns" else 0.25
            taken = {point.position for point in points}
            position = points[-1].position + (-size if slower else size)
            while position in taken and len(taken) < 30:
                position += -size if slower else size
        else:
            position = got.position
        tried += 1
        true = look(position, slowly=watched and OPEN_SLOWLY in got.steps)
        if got.position is not None:
            highest = max(highest, true)
    return "no end", tried, highest


def main() -> None:
    """Print the table."""
    for seed in seeds():
        for family, maker in FAMILIES.items():
            given = ranges("settings", family)
            ends: Counter[str] = Counter()
            over = passed = within = false = possible = ended = 0
            took = []
            for case in cases(seed, COUNT):
                one = maker.adjuster(given, np.random.default_rng((*case, 9)))
                can = one.possible()
                how, tried, highest = followed(one)
                ends[f"{how}{'' if can else ' (nothing fits)'}"] += 1
                possible += can
                over += highest > one.ceiling
                slowly = maker.adjuster(given, np.random.default_rng((*case, 9)))
                passed += followed(slowly, watched=True)[2] > one.ceiling
                within += how == "leave it" and tried <= 5 and can
                ended += how != "no end"
                false += how == "no choice fits" and can
                took.append(tried)
            print(
                f"{family}, seed {seed}: in the band in 5 settings at most {wilson(within, possible)} of what can be; "
                f"over the ceiling {over}, opened slowly as told {passed}; "
                f"told no choice though one fits {wilson(false, possible)}"
            )
            print(
                f"   ended {wilson(ended, len(took))}; {dict(ends)}; settings taken, median {np.median(took):g}"
            )


if __name__ == "__main__":
    main()
