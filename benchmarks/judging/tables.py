"""Print what a reader said of the families' clips: one table for each thing it must show."""

from collections.abc import Callable, Iterator, Sequence

import numpy as np

from benchmarks.judging.heard import WRONG
from benchmarks.kept import Row, table, wilson

Wanted = Callable[[Row], bool]
STEADY = 0.02  # share of its mean that a speed held over a clip strays from it at most, in frames of 0.1 s
FAR = 0.3  # s by which a release may be off and is found


def by_family(found: Sequence[Row]) -> Iterator[tuple[str, list[Row]]]:
    """Rows of each family, then of all together."""
    for family in dict.fromkeys(row["family"] for row in found):
        yield family, [row for row in found if row["family"] == family]
    yield "all", list(found)


def wrong(row: Row) -> bool:
    """Decided, and over 1 % off the turns made in the stretch answered."""
    return bool(answered(row) and abs(row["off"]) > WRONG)


def answered(row: Row) -> bool:
    """One speed was given."""
    return row["crash"] is None and row["decided"]


def right(row: Row) -> bool:
    """One speed was given and it is the true one."""
    return answered(row) and not wrong(row)


def loud(row: Row) -> bool:
    """At 0 dB or better."""
    return bool(row["tags"]["snr_db"] >= 0)


def plain(row: Row) -> bool:
    """One engine at a held speed, loud enough, whose cycles are alike."""
    tags = row["tags"]
    return loud(row) and tags["situation"] == "held" and not tags["beside"] and not tags["alternating"]


def steady(row: Row) -> bool:
    """Whether its speed was truly held: a light flywheel and uneven cycles may swing it by several percent."""
    return bool(row["true_high"] - row["true_low"] <= STEADY * (row["true_high"] + row["true_low"]))


def counts(title: str, found: Sequence[Row], columns: Sequence[tuple[str, Wanted, Wanted]]) -> None:
    """One line a family: in each column how many of those it is of are so."""
    lines = []
    for family, rows in by_family(found):
        cells = []
        for _, of, so in columns:
            chosen = [row for row in rows if of(row)]
            hits = sum(so(row) for row in chosen)
            cells.append(f"{hits} of {len(chosen)}: {wilson(hits, len(chosen))}")
        lines.append((family, *cells))
    table(("family", *(name for name, _, _ in columns)), lines, title)


def everyone(_: Row) -> bool:
    return True


def mixed(found: Sequence[Row]) -> None:
    """Decided and wrong, decided where it should, and crashes."""
    counts(
        "Mixed clips. Decided and wrong: at most 3 of 1,000 a family and 10 of 4,000 together",
        found,
        [
            ("decided", everyone, answered),
            ("decided and wrong", everyone, wrong),
            ("crashes", everyone, lambda row: row["crash"] is not None),
        ],
    )
    counts(
        "Held, one engine, 0 dB or better, cycles alike: at least 92 % decided, even twins 85 %",
        found,
        [
            ("decided right", lambda row: plain(row) and not row["even_twin"], right),
            (
                "no wind or speech",
                lambda row: (
                    plain(row)
                    and not row["even_twin"]
                    and not row["tags"]["wind"]
                    and not row["tags"]["speech"]
                ),
                right,
            ),
            ("even twins", lambda row: plain(row) and row["even_twin"], right),
            (f"all, within {STEADY:.0%} of one speed", lambda row: plain(row) and steady(row), right),
        ],
    )


def frames(found: Sequence[Row], peers: Sequence[Row]) -> None:
    """Frames over 4 % off while it fires, ours beside the best peer on the same clips."""
    lines = []
    together = [{**row, "peers": peer} for row, peer in zip(found, peers, strict=True)]
    for title, chosen in (("0 dB or better", [r for r in together if loud(r)]), ("all", together)):
        for family, rows in by_family(chosen):
            whole = sum(row["peers"][name]["n"] for row in rows for name in list(row["peers"])[:1])
            ours = sum(
                row["frames"]["gross"] if row["crash"] is None else row["peers"]["librosa yin"]["n"]
                for row in rows
            )
            theirs = {
                name: 100 * sum(row["peers"][name]["gross"] for row in rows) / max(whole, 1)
                for name in (rows[0]["peers"] if rows else {})
            }
            best = min(theirs, key=lambda name: theirs[name]) if theirs else "-"
            share = 100 * ours / max(whole, 1)
            ratio = share / theirs[best] if theirs and theirs[best] else float("nan")
            lines.append(
                (
                    title,
                    family,
                    whole,
                    f"{share:.2f}",
                    best,
                    f"{theirs.get(best, np.nan):.2f}",
                    f"{ratio:.2f}",
                )
            )
            title = ""
    table(
        ("clips", "family", "frames", "ours %", "best peer", "its %", "ours over its"),
        lines,
        "Frames over 4 % off while firing, or missing: a third of the best peer's at 0 dB or better, over all half",
    )


def alternating(found: Sequence[Row]) -> None:
    """Cycles strong and weak in turn."""

    def outside(row: Row) -> bool:
        return not row["half_inside"]

    counts(
        "Cycles alternating by 5 to 70 %: none wrong, truth named in 99 %, half decided right where half lies outside",
        found,
        [
            ("wrong", everyone, wrong),
            ("truth named", everyone, lambda row: row["crash"] is None and row["named"]),
            ("named, 0 dB or better", loud, lambda row: row["crash"] is None and row["named"]),
            ("half outside: right", outside, right),
            ("half inside: right", lambda row: row["half_inside"], right),
            ("half inside: wrong", lambda row: row["half_inside"], wrong),
        ],
    )


def throttled(found: Sequence[Row]) -> None:
    """Only throttled, never let go."""

    def word(row: Row) -> str:
        return str(row["stop"]["word"]) if row["crash"] is None else "undecided"

    def release(row: Row) -> bool:
        return row["crash"] is None and row["released"] is not None

    counts(
        "Throttled, never let go: no pass and no fail of a stop test (3 s; sound taken for enough)",
        found,
        [
            ("taken for a run-down", everyone, release),
            ("pass", everyone, lambda row: word(row) == "pass"),
            ("fail after a release heard", everyone, lambda row: release(row) and word(row) == "fail"),
            ("fail without", everyone, lambda row: not release(row) and word(row) == "fail"),
            ("wrong speed", everyone, wrong),
        ],
    )


def run_downs(found: Sequence[Row]) -> None:
    """Truly let go."""

    def hit(row: Row) -> bool:
        return (
            row["crash"] is None
            and row["released"] is not None
            and abs(row["released"] - row["true_release"]) < FAR
        )

    def bounded(row: Row) -> bool:
        return hit(row) and row["stop"]["latest"] is not None and row["true_stop"] is not None

    def held(row: Row) -> bool:
        stop = row["stop"]
        return bool(stop["earliest"] <= row["true_stop"] <= stop["latest"])

    counts(
        f"Run-downs: release found within {FAR} s in 95 %, interval of the stopping time holds at least 93 %",
        found,
        [
            ("found", everyone, hit),
            ("found, 0 dB or better", loud, hit),
            ("stopping time bounded", hit, bounded),
            ("interval holds", bounded, held),
            ("passed, though over 3 s", lambda row: (row["true_stop"] or 0) > 3, _passed),
        ],
    )
    for family, rows in by_family(found):
        widths = [row["stop"]["latest"] - row["stop"]["earliest"] for row in rows if bounded(row)]
        off = [row["released"] - row["true_release"] for row in rows if hit(row)]
        if widths:
            print(
                f"  {family}: median width of the interval {np.median(widths):.2f} s, release off by "
                f"{np.median(off):+.3f} s, 95 % within {np.quantile(np.abs(off), 0.95):.2f} s"
            )


def _passed(row: Row) -> bool:
    return row["crash"] is None and row["stop"]["word"] == "pass"


def beside(found: Sequence[Row]) -> None:
    """A second engine, 3 to 15 dB quieter."""

    def other(row: Row) -> bool:
        if not wrong(row):
            return False
        ratio = row["rev_s"] / row["beside_rev_s"]
        return any(abs(ratio / multiple - 1) < 2 * WRONG for multiple in (0.5, 1.0, 2.0))

    counts(
        "Beside a second engine at -15 to -3 dB: at most 1 % wrong",
        found,
        [
            ("decided", everyone, answered),
            ("wrong", everyone, wrong),
            ("took the other's, or an octave of it", everyone, other),
        ],
    )


def wandering(found: Sequence[Row]) -> None:
    """No one speed."""

    def ranged(row: Row) -> bool:
        return row["crash"] is None and row["covered"] is not None

    def covers(row: Row) -> bool:
        return ranged(row) and row["covered"] >= 0.95

    def narrow(row: Row) -> bool:
        return covers(row) and row["high"] - row["low"] <= 1.5 * (row["true_high"] - row["true_low"])

    def compared(row: Row) -> bool:
        return answered(row) and row["halves"] is not None

    counts(
        "Wandering: a range that covers 95 % of the time and is at most 1.5 times as wide in 90 %; "
        "where a mean is stated, halves within 2 u in 95 %",
        found,
        [
            ("range given", everyone, ranged),
            ("covers", everyone, covers),
            ("and is narrow", everyone, narrow),
            ("the same, 0 dB or better", loud, narrow),
            ("mean stated", everyone, answered),
            ("halves within 2 u", compared, lambda row: row["halves"]["apart"] <= 2),
            ("wrong", everyone, wrong),
        ],
    )


def worst(found: Sequence[Row], most: int = 12) -> None:
    """The clips that were decided wrong, and crashes, so that they can be made again."""
    bad = sorted(
        (row for row in found if row["crash"] or wrong(row)), key=lambda row: -abs(row.get("off") or 9)
    )
    for row in bad[:most]:
        tags = {
            name: value for name, value in row["tags"].items() if value not in (False, 0, 0.0, "none", "open")
        }
        said = row["crash"] or f"{row['off']:+.2%}, " + ", ".join(
            f"{c:.3f}: {w:.2f}" for c, w in row["candidates"]
        )
        print(f"  {row['family']} {tuple(row['seed'])}: {said} | {tags}")
    if len(bad) > most:
        print(f"  and {len(bad) - most} more")
