"""How exactly do pulses tell the speed when 5 % of them are missed and 5 % doubled?"""

import numpy as np

from benchmarks.kept import Row, bounds, rows, share_of, table, verdict
from benchmarks.simulator.edges import PickUp, edges, wheel
from benchmarks.simulator.ride import ride
from snath.formulas.signals.pulses.read import speed_from_pulses

SECONDS = 5.0
COUNT = 40
PROFILES = ("steady", "drift", "hunting", "ramp", "step")
WHEELS = {  # name: (places, sparks every so many turns, pulses a turn as told or None)
    "one mark": ((0.0,), 1, 1.0),
    "spark every second turn": ((0.0,), 2, 0.5),
    "12 teeth": (wheel(12), 1, 12.0),
    "36 less 1": (wheel(36, (0,)), 1, None),
    "36 less 2": (wheel(36, (0, 1)), 1, None),
    "60 less 2": (wheel(60, (5, 6)), 1, None),
    "36 less 2 and 1": (wheel(36, (0, 1, 20)), 1, None),
    "2 marks, uneven": ((0.0, 0.4), 1, 2.0),
    "3 marks, uneven": ((0.0, 0.3, 0.7), 1, 3.0),
}


def logged(task: tuple[str, str, int]) -> Row:
    """One log and what became of it."""
    name, profile, seed = task
    places, every, per_turn = WHEELS[name]
    generator = np.random.default_rng((seed, list(WHEELS).index(name), PROFILES.index(profile)))
    rev_s = generator.uniform(25, 66)
    going = ride(profile, rev_s=rev_s, seconds=SECONDS, cycle_turns=2, jitter=0.005, generator=generator)  # type: ignore[arg-type]
    pick_up = PickUp(places, 0.05, 0.05, min(0.002, 0.3 / (rev_s * len(places))), 2e-6, every)
    t = edges(going, pick_up, seconds=SECONDS, generator=generator)
    result = speed_from_pulses(t, per_turn=per_turn)
    row: Row = {"wheel": name, "profile": profile, "decided": result.decided, "off": None, "covered": None}
    if result.steady is not None:
        truth = going.speed_over(*(t[0] + s for s in result.span_s))
        row["off"] = result.steady.value / truth - 1
        span = np.linspace(*(t[0] + s for s in result.span_s), 2000)
        meant = float(np.mean(going.governed_at(span)))
        row["covered"] = bool(abs(result.steady.value - meant) <= 1.96 * result.steady.u)
        row["u"] = result.steady.u / truth
    return row


def main() -> None:
    """Print the table."""
    tasks = [
        (name, profile, seed) for name in WHEELS for profile in PROFILES for seed in range(share_of(COUNT))
    ]
    found = rows("pulses", logged, tasks)
    lines = []
    for name in WHEELS:
        chosen = [r for r in found if r["wheel"] == name]
        decided = [r for r in chosen if r["decided"]]
        off = [abs(r["off"]) for r in decided]
        lines.append(
            (
                name,
                len(chosen),
                bounds(len(decided), len(chosen)),
                f"{100 * np.median(off):.5f}",
                f"{100 * max(off):.5f}",
                sum(o > 1e-5 for o in off),
                bounds(sum(r["covered"] for r in decided), len(decided)),
                f"{100 * 1.96 * np.median([r['u'] for r in decided]):.3f}",
            )
        )
    head = (
        "wheel",
        "logs",
        "decided % [95 %]",
        "median %",
        "worst %",
        "over 0.001 %",
        "covered %",
        "median half width %",
    )
    table(head, lines, f"Logs of {SECONDS:g} s, 5 % of the edges missed and 5 % doubled")
    even = [abs(r["off"]) for r in found if r["decided"] and "uneven" not in r["wheel"]]
    verdict("worst error of an evenly placed wheel", 100 * max(even), 0.001, " %")
    uneven = [abs(r["off"]) for r in found if r["decided"] and "uneven" in r["wheel"]]
    verdict("worst error of unevenly placed marks, where decided", 100 * max(uneven), 0.001, " %")


if __name__ == "__main__":
    main()
