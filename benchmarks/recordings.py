"""Do the recordings beside the project come out within their stated truth, or undecided?"""

import csv
import os
import tempfile
from pathlib import Path

import numpy as np

from benchmarks.kept import ROOT, table, verdict
from snath.decisions.machine.parts import Engine, Machine
from snath.shop.media.asked import Asked
from snath.shop.media.recording import read_recording

FOLDER = Path(os.environ.get("SNATH_RECORDINGS", ROOT.parent / "shared" / "recordings"))
NOMINAL = 0.02  # what a nominal set speed may be off by
WRONG = 0.01


def main() -> None:
    """Print one line a recording, with a sheet and without."""
    if not (FOLDER / "truth.csv").exists():
        print(f"no recordings at {FOLDER}; set SNATH_RECORDINGS to the folder that holds them")
        return
    lines, wrong = [], 0
    with (FOLDER / "truth.csv").open(newline="") as file, tempfile.TemporaryDirectory() as name:
        for row in csv.DictReader(file):
            path = FOLDER / row["file"]
            if path.suffix == ".npz":
                text = "t_s\n" + "".join(f"{t:.9f}\n" for t in np.load(path)["t"])
                path = Path(name) / f"{path.stem}.csv"
                path.write_text(text)
            truth, allowed = float(row["true_rpm"]), NOMINAL if row["kind"] == "vibration" else WRONG
            shown = []
            for asked in (Asked(), Asked(machine=machine_of(row), per_turn=per_turn_of(row))):
                reading = read_recording(path, asked).reading
                low, high = spread(row, truth)
                if reading.value is None:
                    shown.append("undecided")
                    continue
                got = reading.value.value * 60
                off = not low * (1 - allowed) <= got <= high * (1 + allowed)
                wrong += off
                shown.append(f"{got:.1f}{' WRONG' if off else ''}")
            lines.append((row["file"], f"{truth:.1f}", *shown))
    table(("recording", "stated rpm", "without a sheet", "with one"), lines)
    verdict("decided and wrong", wrong, 0)


def spread(row: dict[str, str], truth: float) -> tuple[float, float]:
    """Range a single figure for the recording may lie in: that of its track, where it has one. [1/min]"""
    if not row["track"]:
        return truth, truth
    rpm = np.loadtxt(FOLDER / row["track"], delimiter=",", skiprows=1)[:, 1]
    turning = rpm[rpm > 300]
    return float(turning.min()), float(turning.max())


def machine_of(row: dict[str, str]) -> Machine | None:
    """What a sheet would say of the engine; how several cylinders fire is not stated."""
    if not row["strokes"] or not row["cylinders"]:
        return None
    cylinders = int(row["cylinders"])
    firings = (0.0,) if cylinders == 1 else None
    engine = Engine(strokes=int(row["strokes"]), cylinders=cylinders, firings=firings)
    return Machine("recording", "ride-on rotary mower", engine)


def per_turn_of(row: dict[str, str]) -> float | None:
    """Pulses a turn, where the list states a plain number."""
    if row["kind"] != "pulse":
        return None
    try:
        return float(row["pulses_per_rev"])
    except ValueError:
        return None


if __name__ == "__main__":
    main()
