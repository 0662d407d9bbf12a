"""What does an answer cost? Medians and ratios against a named peer in the same run."""

import statistics
import subprocess
import sys
import time
from collections.abc import Callable

import numpy as np
from uncertainties import ufloat

from snath.decisions.window.limits import limits_of
from snath.decisions.window.solve import SettingNeeds, solve
from tests.machines import INCH, deck, job

REPEATS = 15
DRAWS = 100_000
DECK = {"left": (18, 5, 5.5), "centre": (18, 5, 5.5), "right": (18, 5, 5.25)}


def median_ms(action: Callable[[], object], repeats: int = REPEATS) -> float:
    """Median wall time of a call, in ms, after one to warm up."""
    action()
    times = []
    for _ in range(repeats):
        begun = time.perf_counter()
        action()
        times.append(1000 * (time.perf_counter() - begun))
    return statistics.median(times)


def run(*command: str) -> Callable[[], object]:
    return lambda: subprocess.run(command, check=False, stdout=subprocess.DEVNULL)


def with_package() -> float:
    """The same deck's ceiling with the uncertainties package: every member in both conventions."""
    lowest = []
    for size, driver, driven in DECK.values():
        blade, big, small = (ufloat(x * INCH, 0.0005) for x in (size, driver, driven))
        limit = 96.52 / (np.pi * blade)
        for offset in (0.0, 0.25 * INCH):
            lowest.append(limit / ((big - offset) / (small - offset)))
    return min(x.nominal_value - 1.645 * x.std_dev for x in lowest)


def by_monte_carlo() -> float:
    """The same by 100,000 draws."""
    rng = np.random.default_rng(1)
    lowest = []
    for size, driver, driven in DECK.values():
        blade, big, small = (rng.normal(x * INCH, 0.0005, DRAWS) for x in (size, driver, driven))
        limit = 96.52 / (np.pi * blade)
        for offset in (0.0, 0.25 * INCH):
            lowest.append(np.quantile(limit / ((big - offset) / (small - offset)), 0.05))
    return float(min(lowest))


def main() -> None:
    """Print the table."""
    sheet = "examples/belt_28_inch.toml"
    bare = median_ms(run(sys.executable, "-c", "pass"))
    cold = median_ms(run(sys.executable, "-m", "snath", "window", sheet, "--json"))
    asked = job(deck(DECK))

    def ours() -> object:
        limits = limits_of(asked.machine, asked.rules, market="")
        return solve(asked.machine, limits, decision="one-sided 95 %", needs=SettingNeeds())

    solved, package, drawn = (median_ms(action) for action in (ours, with_package, by_monte_carlo))
    print("what                                              median ms   ratio to peer")
    print(f"cold `python -c pass`                            {bare:10.2f}")
    print(f"cold `snath window SHEET`                        {cold:10.2f}   {cold / bare:8.1f} x bare python")
    print(f"three spindles: solve, working and budget        {solved:10.3f}")
    print(f"   the bare sum with the uncertainties package   {package:10.3f}   {solved / package:8.2f} x")
    print(f"   the bare sum by {DRAWS:,} draws                {drawn:10.3f}   {solved / drawn:8.2f} x")


if __name__ == "__main__":
    main()
