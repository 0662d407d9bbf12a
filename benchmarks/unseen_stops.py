"""Hold the stop test against brakes that change their mind, on families that no method was fitted to."""

from collections import Counter
from typing import Any

import numpy as np

from benchmarks.unseen import stops_braked, stops_shown, stops_turned
from benchmarks.unseen.drawn import cases, median, ranges, seeds, wilson
from snath.decisions.behaviour.asked import StopInput
from snath.decisions.behaviour.stop import StopResult, judge_stop
from snath.decisions.machine.parts import CRANKSHAFT, Engine, Machine
from snath.formulas.signals.candidates import Event, Track
from snath.rules.load import shipped_rules

FAMILIES: dict[str, Any] = {"braked": stops_braked, "turned": stops_turned, "shown": stops_shown}
MOWER = Machine("Mower", "walk-behind rotary mower", Engine(), made=2015)
LIMIT = 3.0  # s
COUNT = 400
U_SEEN = 0.05  # s, of a standstill that somebody marks


def judged(one: Any, *marks: Event) -> StopResult | None:
    """What the stop's decision says of a track with its release marked; None where it refuses it."""
    u = (one.u,) * len(one.t_s)
    events = (Event(one.release_s, "release"), *marks)
    track = Track(CRANKSHAFT, tuple(one.t_s), tuple(one.rev_s), u, events=events)
    asked = StopInput(track, CRANKSHAFT, "flywheel brake", maker_limit=LIMIT, u_release=0.06)
    try:
        return judge_stop(asked, MOWER, shipped_rules(), market="US")
    except ValueError:
        return None


def wrong(got: StopResult, truth_s: float) -> bool:
    """Whether it passed what turns on too long, or failed what stands in time."""
    return (got.word == "pass" and truth_s > LIMIT) or (got.word == "fail" and truth_s < LIMIT)


def main() -> None:
    """Print the table."""
    for seed in seeds():
        for family, maker in FAMILIES.items():
            given = ranges("stops", family)
            drawn = [
                (case, maker.stop(given, np.random.default_rng((*case, 7)))) for case in cases(seed, COUNT)
            ]
            _told(f"{family}, seed {seed}", [(one, judged(one)) for _, one in drawn])
            if family == "shown":
                _told(
                    f"{family}, seen to stand, seed {seed}",
                    [(one, judged(one, _seen(one, case))) for case, one in drawn],
                )


def _seen(one: Any, case: tuple[int, int]) -> Event:
    """The standstill as somebody marks it who sees the blade."""
    off = U_SEEN * float(np.random.default_rng((*case, 8)).standard_normal())
    return Event(one.release_s + one.truth_s + off, "standstill")


def _told(title: str, every: list[tuple[Any, StopResult | None]]) -> None:
    kept = [(one, got) for one, got in every if got is not None]
    words = Counter(got.word for _, got in kept)
    off = [(one, got) for one, got in kept if wrong(got, one.truth_s)]
    spans = [(one.truth_s, got.evidence) for one, got in kept if got.evidence is not None]
    covered = sum(found.earliest <= truth <= found.latest for truth, found in spans)
    rest = [got.word for one, got in kept if one.seen_to == 0]
    print(
        f"{title}: wrong {wilson(len(off), len(kept))}; covered {wilson(covered, len(spans))}; {dict(words)}, "
        f"refused {len(every) - len(kept)}"
    )
    print(
        f"   seen to rest: decided {wilson(sum(word != 'undecided' for word in rest), len(rest))}; "
        f"median width where finite {median([found.latest - found.earliest for _, found in spans]):.2f} s",
        flush=True,
    )
    for (kind, seen_to, word), hits in Counter((one.kind, one.seen_to, got.word) for one, got in off).items():
        print(f"   wrong: {kind}, seen to {seen_to:.0%}: {word}: {hits}")


if __name__ == "__main__":
    main()
