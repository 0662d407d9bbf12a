"""Hold the search for hunting against slow swings, lively loops and plain wander of two families."""

from typing import Any

import numpy as np

from benchmarks.unseen import governors_delayed, governors_drawn
from benchmarks.unseen.drawn import cases, ranges, seeds, wilson
from snath.decisions.behaviour.asked import GovernorInput
from snath.decisions.behaviour.governor import judge_governor
from snath.formulas.signals.candidates import Track

FAMILIES: dict[str, Any] = {"delayed": governors_delayed, "drawn": governors_drawn}
COUNT = 100


def judged(one: Any) -> Any:
    """What the governor's decision says of a course."""
    track = Track("crankshaft", tuple(one.t_s), tuple(one.rev_s), (one.u,) * len(one.t_s))
    return judge_governor(GovernorInput(track=track))


def main() -> None:
    """Print the table."""
    for seed in seeds():
        for family, maker in FAMILIES.items():
            given = ranges("governors", family)
            for seconds in (30.0, 60.0):
                for deep, name in ((1.0, "2-4 % to each side"), (0.5, "2-4 % from peak to peak")):
                    found = covered = count = 0
                    for case in cases(seed, COUNT):
                        rng = np.random.default_rng((*case, 3))
                        depth, rate = deep * rng.uniform(0.02, 0.04), rng.uniform(0.15, 0.3)
                        one = maker.course(given, rng, "hunts", rate=rate, seconds=seconds, depth=depth)
                        got = judged(one)
                        count += 1
                        found += bool(got.hunts)
                        covered += got.upper_edge >= one.top - 3 * one.u
                    print(
                        f"{family}, seed {seed}: {name} at 0.15-0.3 Hz in {seconds:g} s: "
                        f"found {wilson(found, count)}; edge covers the top {wilson(covered, count)}"
                    )
            for kind in ("hunts", "steady", "lively"):
                found = covered = count = 0
                over = []
                for case in cases(seed, 2 * COUNT):
                    rng = np.random.default_rng((*case, 4))
                    rate = rng.uniform(0.3, 3) if kind == "hunts" else None
                    one = maker.course(given, rng, kind, rate=rate)
                    got = judged(one)
                    count += 1
                    found += bool(got.hunts)
                    covered += got.upper_edge >= one.top - 3 * one.u
                    over.append((got.upper_edge - one.top) / 60)
                print(
                    f"{family}, seed {seed}: {kind}: cried {wilson(found, count)}; edge covers the top "
                    f"{wilson(covered, count)}, over it by {100 * np.median(over):.2f} % at the median"
                )


if __name__ == "__main__":
    main()
