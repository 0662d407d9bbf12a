"""Hold the reader to laws that need no truth, on any folder of recordings: `python -m benchmarks laws FOLDER`.

Read at k times the speed must read k times; halves of a steady piece agree within both uncertainties; noise, codec,
gain, polarity and silence do not move a decided answer beyond its interval. Answering nothing obeys every law, so how
many pieces are answered is printed beside them. The sheet is a single's; no law depends on its being the right one.
"""

import os
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from zlib import crc32

import av
import numpy as np
from numpy.typing import NDArray

from benchmarks.engines.coded import through
from benchmarks.kept import FOLDER_VARIABLE, ROOT, Row, rows, table, wilson
from snath.formulas.signals.candidates import Orders
from snath.formulas.signals.sound import speed_from_sound

PIECE, MOST = 8.0, 4  # s of a piece, and pieces of one recording
FASTER = 1.1
COVERAGE, HALVES = 1.96, 2.0
SUFFIXES = (".wav", ".flac", ".m4a", ".mp3", ".ogg", ".webm", ".mp4", ".aac", ".opus")
SHEET = Orders(875 / 60, 5400 / 60, 2, (0.0,))  # idle 1,750 and rated 3,600 rpm
Samples = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of a recording, by its file and when it begins. [s]"""

    path: Path
    start: float


def main() -> None:
    """Print every law with counts by piece and by recording."""
    folder = Path(os.environ.get(FOLDER_VARIABLE, ROOT.parent / "shared" / "recordings"))
    pieces = list(_pieces(folder)) if folder.is_dir() else []
    if not pieces:
        print(f"no recordings in {folder}; name a folder: python -m benchmarks laws FOLDER")
        return
    found = rows(f"laws-{crc32(repr(pieces).encode())}", tried, pieces)
    recordings = len({row["file"] for row in found})
    decided = sum(row["decided"] for row in found)
    ranged = sum(row["ranged"] for row in found)
    print(
        f"{len(found)} pieces of {recordings} recordings: {decided} decided, {ranged} with a speed or a range"
    )
    lines = []
    for law in dict.fromkeys(law for row in found for law in row["laws"]):
        pairs = [(row["file"], row["laws"][law]) for row in found if row["laws"].get(law) is not None]
        broken = Counter(file for file, kept in pairs if not kept)
        files = len({file for file, _ in pairs})
        lines.append(
            (
                law,
                len(pairs),
                f"{sum(broken.values())}: {wilson(sum(broken.values()), len(pairs))}",
                f"{len(broken)} of {files}",
            )
        )
    table(
        ("law", "pairs", "broken, %", "in recordings"),
        lines,
        "Laws on decided pieces: at most 5 % broken each",
    )


def tried(piece: Piece) -> Row:
    """Whether each law holds on a piece; None where either of the two answers is none."""
    samples, rate = _sound(piece)
    whole = speed_from_sound(samples, rate, SHEET)
    row: Row = {
        "file": piece.path.name,
        "decided": whole.decided,
        "ranged": whole.low is not None,
        "laws": {},
    }
    if not whole.decided or whole.steady is None:
        return row
    for law, (other, its_rate, orders, times, most) in _twins(samples, rate).items():
        again = speed_from_sound(other, its_rate, orders)
        first = whole.steady
        if law == "halves":
            half = speed_from_sound(samples[: len(samples) // 2], rate, SHEET)
            if not half.decided or half.steady is None:
                continue
            first = half.steady
        if again.decided and again.steady is not None:
            apart = abs(again.steady.value / times - first.value)
            row["laws"][law] = bool(apart <= most * np.hypot(first.u, again.steady.u / times))
    return row


def _twins(x: Samples, rate: float) -> dict[str, tuple[Samples, float, Orders, float, float]]:
    """Other recordings of the same: samples, rate, orders, times its speed, and how many u it may be off."""
    g = np.random.default_rng(1)
    noise = 0.1 * np.sqrt(np.mean(x**2)) * g.standard_normal(len(x)).astype(np.float32)
    fast = replace(SHEET, rev_s_low=SHEET.rev_s_low * FASTER, rev_s_high=SHEET.rev_s_high * FASTER)
    coded, coded_rate = through("opus_24000", x, round(rate))
    silence = np.zeros(round(rate), np.float32)
    return {
        f"{FASTER:g} times the speed": (x, rate * FASTER, fast, FASTER, COVERAGE),
        "halves": (x[len(x) // 2 :], rate, SHEET, 1.0, HALVES),
        "noise at 20 dB": (x + noise, rate, SHEET, 1.0, COVERAGE),
        "Opus at 24 kbit/s": (coded, coded_rate, SHEET, 1.0, COVERAGE),
        "a tenth as loud": (0.1 * x, rate, SHEET, 1.0, COVERAGE),
        "turned over": (-x, rate, SHEET, 1.0, COVERAGE),
        "a second of silence before": (np.concatenate([silence, x]), rate, SHEET, 1.0, COVERAGE),
    }


def _pieces(folder: Path) -> Iterator[Piece]:
    for path in sorted(p for p in folder.rglob("*") if p.suffix.lower() in SUFFIXES):
        with av.open(str(path)) as container:
            seconds = float(container.duration or 0) / 1e6
        for number in range(min(MOST, max(int(seconds / PIECE), 1))):
            yield Piece(path, number * PIECE)


def _sound(piece: Piece) -> tuple[Samples, float]:
    resampler = av.AudioResampler("flt", "mono")
    with av.open(str(piece.path)) as container:
        rate = float(container.streams.audio[0].rate)
        frames = [
            one.to_ndarray()[0] for frame in container.decode(audio=0) for one in resampler.resample(frame)
        ]
    start = round(piece.start * rate)
    return np.concatenate(frames)[start : start + round(PIECE * rate)].astype(np.float32), rate


if __name__ == "__main__":
    main()
