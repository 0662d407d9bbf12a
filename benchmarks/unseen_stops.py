"""Hold the stop test against brakes that change their mind, on two families that no method was fitted to."""

from collections import Counter

import numpy as np

from benchmarks.unseen import stops_braked, stops_turned
from benchmarks.unseen.drawn import cases, median, ranges, seeds, wilson
from snath.decisions.behaviour.asked import StopInput
from snath.decisions.behaviour.stop import judge_stop
from snath.decisions.machine.parts import CRANKSHAFT, Engine, Machine
from snath.formulas.signals.candidates import Event, Track
from snath.rules.load import shipped_rules

FAMILIES = {"braked": stops_braked, "turned": stops_turned}
MOWER = Machine("Mower", "walk-behind rotary mower", Engine(), made=2015)
LIMIT = 3.0  # s
COUNT = 400


def main() -> None:
    """Print the table."""
    rules = shipped_rules()
    for seed in seeds():
        for family, maker in FAMILIES.items():
            given = ranges("stops", family)
            words: Counter[str] = Counter()
            wrong, kinds, covered, widths, partly, seen = 0, Counter[str](), 0, [], 0, 0
            count = 0
            for case in cases(seed, COUNT):
                one = maker.stop(given, np.random.default_rng((*case, 7)))
                u = (one.u,) * len(one.t_s)
                marks = (Event(one.release_s, "release"),)
                track = Track(CRANKSHAFT, tuple(one.t_s), tuple(one.rev_s), u, events=marks)
                asked = StopInput(track, CRANKSHAFT, "flywheel brake", maker_limit=LIMIT, u_release=0.06)
                try:
                    got = judge_stop(asked, MOWER, rules, market="US")
                except ValueError:
                    words["refused"] += 1
                    continue
                count += 1
                words[got.word] += 1
                bad = (got.word == "pass" and one.truth_s > LIMIT) or (
                    got.word == "fail" and one.truth_s < LIMIT
                )
                wrong += bad
                kinds[f"{one.kind}, seen to {one.seen_to:.0%}: {got.word}"] += bad
                assert got.evidence is not None
                covered += got.evidence.earliest <= one.truth_s <= got.evidence.latest
                widths.append(got.evidence.latest - got.evidence.earliest)
                if one.seen_to == 0:
                    seen += 1
                    partly += got.word != "undecided"
            print(
                f"{family}, seed {seed}: wrong {wilson(wrong, count)}; covered {wilson(covered, count)}; {dict(words)}"
            )
            print(
                f"   seen to rest: decided {wilson(partly, seen)}; median width where finite {median(widths):.2f} s"
            )
            for kind, hits in kinds.items():
                if hits:
                    print(f"   wrong: {kind}: {hits}")


if __name__ == "__main__":
    main()
