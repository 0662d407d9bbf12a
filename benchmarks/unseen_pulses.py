"""Hold the pulse reader against layouts, pick-ups and faults of two families that it was not fitted to."""

from collections import Counter
from typing import Any

import numpy as np

from benchmarks.unseen import pulses_spun, pulses_waved
from benchmarks.unseen.drawn import cases, ranges, seeds, wilson
from snath.formulas.signals.pulses.read import speed_from_pulses

FAMILIES: dict[str, Any] = {"spun": pulses_spun, "waved": pulses_waved}
COUNT = 200
OFF = 0.01
TOLD = ("rightly", "not at all", "one too many", "twice")


def told(how: str, marks: int) -> float | None:
    """The number somebody says."""
    return {"rightly": marks, "not at all": None, "one too many": marks + 1, "twice": 2 * marks}[how]


def main() -> None:
    """Print the table."""
    for seed in seeds():
        for how in TOLD:
            for family, maker in FAMILIES.items():
                given = ranges("pulses", family)
                wrong, listed, count, wide = 0, 0, 0, 0
                decided, of = Counter[str](), Counter[str]()
                for case in cases(seed, COUNT if how == TOLD[0] else COUNT // 2):
                    one = maker.log(given, np.random.default_rng((*case, 5)))
                    got = speed_from_pulses(one.t_s, per_turn=told(how, one.marks))
                    count += 1
                    truth = one.speed_over(one.t_s[0], one.t_s[-1])
                    group = "missed at most 1 %" if one.missed <= 0.01 else "missed more"
                    of[group] += 1
                    near = any(abs(c.rev_s / truth - 1) < 0.03 for c in got.candidates)
                    listed += near
                    if not got.decided or got.steady is None:
                        continue
                    decided[group] += 1
                    span = (one.t_s[0] + s for s in got.span_s)
                    off = got.steady.value / one.speed_over(*span) - 1
                    wide += got.steady.u > 0.02 * got.steady.value
                    if abs(off) > OFF:
                        wrong += 1
                        print(
                            f"   wrong: {case}, {one.kind}, {one.marks} marks, missed {one.missed:.2%}, {off:+.1%}"
                        )
                said = ", ".join(f"{g}: {wilson(decided[g], of[g])}" for g in sorted(of))
                print(f"{family}, seed {seed}, told {how}: wrong {wilson(wrong, count)}; decided {said};")
                print(
                    f"   truth among the candidates {wilson(listed, count)}; decided with u over 2 %: {wide}"
                )


if __name__ == "__main__":
    main()
