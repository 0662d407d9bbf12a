"""Do recordings of others come out within their stated truth, or undecided? `python -m benchmarks recordings FOLDER`

The folder holds truth.csv: what each file is, its stated speed, its track where the speed moves. Whole jobs on three of
them, by command line down to the PDF, have their outcome worked out by hand.
"""

import csv
import os
import tempfile
from pathlib import Path

import numpy as np

from benchmarks.kept import FOLDER_VARIABLE, ROOT, table, verdict
from snath.decisions.machine.parts import Engine, Machine
from snath.shop.media.recording import read_recording
from snath.shop.media.request import ReadRequest
from tests.jobs_by_command import LOOKED_AT, PUMP_SET, SINGLE, worked

FOLDER = Path(
    os.environ.get(FOLDER_VARIABLE)
    or os.environ.get("SNATH_RECORDINGS")
    or ROOT.parent / "shared" / "recordings"
)
NOMINAL = 0.02  # what a nominal set speed may be off by
WRONG = 0.01


def main() -> None:
    """Print one line a recording, with a sheet and without; a pulse log also has to hold its truth within 2 u."""
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
            for asked in (ReadRequest(), ReadRequest(machine=machine_of(row), per_turn=per_turn_of(row))):
                reading = read_recording(path, asked).reading
                low, high = spread(row, truth)
                if reading.value is None:
                    shown.append("undecided")
                    continue
                got, u = reading.value.value * 60, reading.value.u * 60
                off = not low * (1 - allowed) <= got <= high * (1 + allowed)
                off |= row["kind"] == "pulse" and abs(got - truth) > 2 * u + 0.001
                wrong += off
                shown.append(f"{got:.1f}{' WRONG' if off else ''}")
            lines.append((row["file"], f"{truth:.1f}", *shown))
    table(("recording", "stated rpm", "without a sheet", "with one"), lines)
    verdict("decided and wrong", wrong, 0)
    whole_jobs()


def whole_jobs() -> None:
    """Jobs on a running engine's pulse log (an edge a turn, 1,419.362 rpm by its turns) and a clip at 3,087 rpm.

    By hand: a 16 in blade may turn 19,000/(pi 16/12) = 4,535.9 rpm, one of 26 in 2,791.3 rpm.
    """
    log, clip = FOLDER / "pulse_crank_index_1rev.npz", FOLDER / "wg_02_1cyl_c.flac"
    if not (log.exists() and clip.exists()):
        print("whole jobs: their two recordings are not in this folder")
        return
    lines = []
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "log.csv").write_text("t_s\n" + "".join(f"{t:.9f}\n" for t in np.load(log)["t"]))
        counted = 'per_turn = "1"\n' + LOOKED_AT
        for what, sheet, recorded, more, wanted in (
            ("log, pump to 1,450 rpm", PUMP_SET.format(limit="1,450 rpm"), "log.csv", counted, (0, "pass")),
            ("log, pump to 1,400 rpm", PUMP_SET.format(limit="1,400 rpm"), "log.csv", counted, (1, "fail")),
            ("clip, blade 16 in", SINGLE.format(blade="16 in"), str(clip), LOOKED_AT, (3, "undecided")),
            ("clip, blade 26 in", SINGLE.format(blade="26 in"), str(clip), LOOKED_AT, (1, "fail")),
        ):
            code, found = worked(folder, sheet, recorded, more)
            lines.append((what, wanted, (code, found["as_found"]["stands"]["verdict"])))
    table(("whole job", "by hand", "found"), [tuple(map(str, line)) for line in lines])
    verdict("whole jobs gone wrong", sum(wanted != found for _, wanted, found in lines), 0)


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
