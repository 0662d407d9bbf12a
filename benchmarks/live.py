"""When does the live door show a figure, when is it settled, and what does a piece cost beside its length?

Settled means decided and within half a percent of the speed the engine really made since listening began,
and so with every piece that follows.
"""

import time

import numpy as np

from benchmarks.kept import Row, rows, share_of, table, verdict
from benchmarks.simulator.engine import Scene, Take, record
from snath.formulas.signals.candidates import Orders
from snath.formulas.signals.live import LISTENED, LiveReader

PIECE = 0.5  # s
LENGTH = 6.0  # s
ENGINES = 50
NEAR = 0.005
SNR_DB = 10.0
SEED = 20261125
SHEET = Orders(875 / 60, 90.0, 2, (0.0,))


def listened(number: int) -> Row:
    """Half-second pieces of one engine, with a gap in the middle: figures, verdicts and computing times."""
    generator = np.random.default_rng((SEED, number))
    take = record(
        Scene(rev_s=float(generator.uniform(25, 60)), seconds=LENGTH, snr_db=SNR_DB, rate=44_100), generator
    )
    whole, spent = _told(take, 0, LiveReader(take.rate, SHEET))
    reader = LiveReader(take.rate, SHEET)
    for piece in range(3):
        _push(take, piece, piece, reader)
    again, _ = _told(take, 3, reader, gap=20)
    return {"first": whole[0], "settled": whole[1], "again": again[0], "anew": again[1]} | {
        "restarts": reader.restarts,
        "spent": spent,
    }


def _told(
    take: Take, begin: int, reader: LiveReader, gap: int = 0
) -> tuple[tuple[float | None, float | None], list[float]]:
    """Sound heard until the first figure and until it is settled for good, and what every piece cost. [s]"""
    first, settled, spent = None, None, []
    for piece in range(begin, round(LENGTH / PIECE)):
        begun = time.process_time()
        steady, decided = _push(take, piece, piece + gap, reader)
        spent.append(time.process_time() - begun)
        end = (piece + 1) * PIECE
        made = take.ride.speed_over(max(begin * PIECE, end - LISTENED), end)
        heard = end - begin * PIECE
        if steady is not None and first is None:
            first = heard
        if steady is None or not decided or abs(steady / made - 1) > NEAR:
            settled = None
        elif settled is None:
            settled = heard
    return (first, settled), spent


def _push(take: Take, piece: int, number: int, reader: LiveReader) -> tuple[float | None, bool]:
    """Hand over one piece under that number; the figure and whether it is decided."""
    size = round(PIECE * take.rate)
    result = reader.push(take.samples[piece * size : (piece + 1) * size], number * size)
    return (None if result.steady is None else result.steady.value), result.decided


def main() -> None:
    """Print the table."""
    live_table()


def live_table() -> None:
    """First and settled figures of all engines, after the start and after a gap, and the cost by piece."""
    found = rows("live", listened, list(range(share_of(ENGINES))))
    lines = []
    for title, first, settled in (("from the start", "first", "settled"), ("after a gap", "again", "anew")):
        figures, calm = ([np.inf if r[key] is None else r[key] for r in found] for key in (first, settled))
        lines.append(
            (
                title,
                len(found),
                f"{np.median(figures):.1f}",
                f"{np.max(figures):.1f}",
                f"{np.median(calm):.1f}",
                f"{np.quantile(calm, 0.9, method='higher'):.1f}",
                f"{np.max(calm):.1f}",
                sum(c > 2 for c in calm),
            )
        )
    head = ("engines at 10 dB", "n", "first s", "worst", "settled s", "90th %", "worst", "over 2 s")
    table(head, lines, "Live: decided, within 0.5 % and so for good")
    costs = np.array([r["spent"] for r in found])
    table(
        ("piece up to", "ms of 500, median", "worst"),
        [
            (f"{PIECE * (i + 1):.1f} s", f"{1000 * np.median(c):.1f}", f"{1000 * c.max():.1f}")
            for i, c in enumerate(costs.T)
        ],
    )
    verdict("first live figure, worst of all", max(r["first"] or np.inf for r in found), 1.0, " s")
    verdict("settled live figure, worst of all", max(r["settled"] or np.inf for r in found), 2.0, " s")
    verdict("gaps that did not start it anew", sum(r["restarts"] != 1 for r in found), 0)
    verdict("computing over the length of a piece, worst", float(costs.max()) / PIECE, 1.0)


if __name__ == "__main__":
    main()
