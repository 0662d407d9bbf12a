"""What does reading cost: decoding against working out, length, memory, and workers on this machine or a cluster?"""

import os
import subprocess
import sys
import tempfile
import time
import wave
from collections.abc import Callable
from pathlib import Path

import numpy as np
from pyarrow.parquet import read_table

from benchmarks._memory import peak_of
from benchmarks.kept import share_of, table, verdict
from benchmarks.peers import yin
from benchmarks.simulator.engine import Scene, record
from benchmarks.simulator.files import film_file, sound_file
from benchmarks.simulator.film import Camera, Part, moments, pictures
from benchmarks.simulator.ride import ride
from snath.formulas.signals.candidates import Orders
from snath.formulas.signals.film.read import speed_from_light
from snath.formulas.signals.live import LiveReader
from snath.formulas.signals.sound import speed_from_sound
from snath.shop.batch.run import run_batch
from snath.shop.batch.spread import Crew, Where
from snath.shop.media.begun import end
from snath.shop.media.film import film
from snath.shop.media.recording import read_recording
from snath.shop.media.request import ReadRequest
from snath.shop.media.sound import sound_stream, whole

SHEET = Orders(875 / 60, 90.0, 2, (0.0,))
RATE = 44_100
LONG_S = 2 * 3600
CLIPS = 64
FILM_RUNS, IN_A_ROW = 8, 4
FILMS = (  # frames a second, seconds, how coded, in words, most that all of it may take beside decoding alone
    (240, 2.0, "ultrafast", "coded as plainly as can be", 4 / 3),
    (240, 2.0, "veryfast", "coded as a phone does", 4 / 3),
    (60, 4.0, "veryfast", "coded as a phone does", 2.0),
)
# Passes over all lengths, before the other tables and after them: a shared machine is slower for minutes at a time.
PASSES = 4


def spent(action: Callable[..., object], *given: object) -> float:
    """CPU time of this process for one call, the lesser of two: what ran before leaves caches and pages cold. [s]"""
    least = np.inf
    for _ in range(2):
        begun = time.process_time()
        action(*given)
        least = min(least, time.process_time() - begun)
    return least


def engine(seconds: float, seed: int = 1) -> np.ndarray:
    """A steady engine's sound."""
    return record(Scene(rev_s=53.0, seconds=seconds, snr_db=10), np.random.default_rng(seed)).samples


def sounds_by_length() -> dict[float, np.ndarray]:
    """The same engine for a few lengths. [s]"""
    return {seconds: engine(seconds) for seconds in (5.0, 20.0, 60.0, 300.0)}


def passes_over(sounds: dict[float, np.ndarray]) -> list[list[tuple[float, float]]]:
    """Ours and librosa's YIN, one after the other over all lengths, a few times. [s]"""
    return [[(spent(ours, x), spent(peer, x)) for x in sounds.values()] for _ in range(PASSES)]


def ours(samples: np.ndarray) -> object:
    return speed_from_sound(samples, RATE, SHEET)


def peer(samples: np.ndarray) -> object:
    at = np.arange(0.25, len(samples) / RATE - 0.25, 0.1)
    return yin(samples.astype(float), RATE, at, SHEET.rev_s_low / 2, SHEET.rev_s_high / 2)


def sound_by_length(sounds: dict[float, np.ndarray], passes: list[list[tuple[float, float]]]) -> None:
    """Times real time of working out, decoding apart, by the least of all passes."""
    lines, slowest = [], np.inf
    for (seconds, samples), (took, theirs) in zip(
        sounds.items(), np.min(passes, axis=0).tolist(), strict=True
    ):
        begun = time.perf_counter()
        file = sound_file(samples, RATE, "m4a")
        coded = time.perf_counter() - begun
        begun = time.perf_counter()
        whole(sound_stream(file))
        decoding = time.perf_counter() - begun
        slowest = min(slowest, seconds / took)
        lines.append(
            (
                f"{seconds:g} s",
                f"{1000 * took:.0f}",
                f"{seconds / took:.0f}",
                f"{took / theirs:.2f}",
                f"{1000 * decoding:.0f}",
                f"{coded:.1f}",
            )
        )
    table(
        (
            "sound",
            "ms worked out",
            "times real time",
            "over librosa yin's",
            "ms decoding M4A, child included",
            "s coding",
        ),
        lines,
    )
    verdict("real time over computing time, inverted", 1 / slowest, 1 / 300)


def live_chunks() -> None:
    """Computing per half-second piece, and when the first and the settled figure come."""
    samples, reader = engine(6.0), LiveReader(float(RATE), SHEET)
    lines, first, settled = [], None, None
    for start in range(0, len(samples) - RATE // 2 + 1, RATE // 2):
        begun = time.perf_counter()
        result = reader.push(samples[start : start + RATE // 2], start)
        took = time.perf_counter() - begun
        end = (start + RATE // 2) / RATE
        if result.steady is not None and first is None:
            first = end
        if result.decided and settled is None:
            settled = end
        lines.append((f"{end:.1f} s", f"{1000 * took:.0f} of 500", "yes" if result.decided else "no"))
    table(("live, piece up to", "ms", "settled"), lines)
    verdict("first live figure", first or np.inf, 1.0, " s")
    verdict("settled live figure", settled or np.inf, 2.0, " s")


def film_cost() -> None:
    """720p: all of it beside decoding alone, by the processors' time of all processes."""
    lines, verdicts = [], []
    for rate, seconds, effort, words, most in FILMS:
        file = large_film(rate, seconds, effort)
        runs = [_beside(file) for _ in range(share_of(FILM_RUNS) + 1)][1:]  # the first run warms up
        alone, ours, whole = np.mean(runs, axis=0)
        spread = [each[1] / each[0] for each in runs]
        told = f"{rate}/s, {words}"
        verdicts.append((told, ours / alone, most))
        verdicts.append((f"{told}, one of {IN_A_ROW} in a row, looked into first", whole / alone, most))
        lines.append(
            (
                f"{seconds:g} s, {told}",
                f"{len(file) / 2**20:.1f}",
                f"{alone:.2f}",
                f"{ours:.2f}",
                f"{ours / alone:.2f} [{min(spread):.2f} {max(spread):.2f}]",
                f"{whole / alone:.2f}",
            )
        )
    head = ("film of 720p", "MB", "s decoding", "s all of it", "mean ratio [runs]", f"one of {IN_A_ROW}")
    table(head, lines, "processors' time of all processes, decoder threads alike, starting included")
    for told, ratio, most in verdicts:
        verdict(f"all of it beside decoding alone, {told}", ratio, most)


def _beside(file: bytes) -> tuple[float, float, float]:
    """Decoding alone; all of it for one film; and for each of several, read as a batch reads them. [s]"""

    def in_a_row() -> None:
        for _ in range(IN_A_ROW):
            read_recording(file, ReadRequest(marks=1))

    return (
        _cost(lambda: _decoding_alone(file)),
        _cost(lambda: _read_film(file)),
        _cost(in_a_row) / IN_A_ROW,
    )


def large_film(rate: int, seconds: float, effort: str) -> bytes:
    """A mark at 3,060 rpm."""
    generator = np.random.default_rng(1)
    going = ride("steady", rev_s=51.0, seconds=seconds + 1, cycle_turns=2, jitter=0.005, generator=generator)
    small = Camera(rate, size=(180, 320), readout_s=0.003)
    began, stamped = moments(small, seconds, generator)
    large = (np.kron(p, np.ones((4, 4), np.uint8)) for p in pictures(going, Part(), small, began, generator))
    return film_file(large, stamped, size=(720, 1280), effort=effort)


def _cost(action: Callable[[], object]) -> float:
    """Processors' time of this process and of all it began. [s]"""
    before = os.times()
    action()
    end()  # the loaded process is waited for, or what it and its children cost would not be counted
    return sum(os.times()[:4]) - sum(before[:4])


def _read_film(file: bytes) -> None:
    seen = film(file)
    speed_from_light(seen.t_s, seen.cells, rev_s_low=875 / 60, rev_s_high=90.0)


DECODE = """
import io, sys, av
container = av.open(io.BytesIO(sys.stdin.buffer.read()))
stream = container.streams.video[0]
stream.thread_type = "AUTO"
print(sum(1 for _ in container.decode(stream)))
"""


def _decoding_alone(file: bytes) -> None:
    subprocess.run([sys.executable, "-I", "-c", DECODE], input=file, check=True, stdout=subprocess.DEVNULL)


def two_hours() -> None:
    """Memory of a 2-hour WAV, parent and child together."""
    seconds = share_of(LONG_S)
    minute = (engine(60.0) * 32767).astype("<i2")
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "long.wav"
        with wave.open(str(path), "wb") as file:
            file.setparams((1, 2, RATE, 0, "NONE", ""))
            for _ in range(max(seconds // 60, 1)):
                file.writeframes(minute.tobytes())
        begun = time.perf_counter()
        code = "from snath.shop.cli.main import main; main()"
        command = [sys.executable, "-c", code, "read", str(path), "--json", "--as", "sound"]
        together, largest = peak_of(command)
        took = time.perf_counter() - begun
        size = path.stat().st_size
    lines = [
        (
            f"{seconds / 3600:.2f} h, {size / 2**20:.0f} MB",
            f"{took:.0f}",
            f"{seconds / took:.0f}",
            f"{largest / 2**20:.0f}",
            f"{together / 2**20:.0f}",
        )
    ]
    head = ("WAV of", "s", "times real time", "MB at most, largest process", "MB at most, all together")
    table(
        head, lines, "a fresh `snath read`: largest resident set by the system, and shared pages counted once"
    )
    verdict("memory of a long WAV", max(together, largest) / 2**20, 300, " MB")


def batch_cost() -> None:
    """Clips a second by engine, workers and number of clips, starting up included; rows alike from all."""
    lines, unlike = [], 0
    places: tuple[tuple[Where, int], ...] = (("here", 1), ("here", 2), ("dask", 2))
    with tempfile.TemporaryDirectory() as folder:
        for count in (share_of(CLIPS // 4), share_of(CLIPS)):
            clips = Path(folder) / f"clips{count}"
            clips.mkdir()
            for seed in range(count):
                (clips / f"c{seed:03d}.wav").write_bytes(sound_file(engine(5.0, seed), RATE, "wav"))
            tables = []
            for name, workers in places:
                out = Path(folder) / f"{name}{workers}-{count}.parquet"
                begun = time.perf_counter()
                done = run_batch(clips, out, ReadRequest(), Crew(name, workers))
                took = time.perf_counter() - begun
                lines.append((f"{name}, {workers}", done.files, f"{took:.1f}", f"{done.files / took:.1f}"))
                tables.append(read_table(out))
            unlike += sum(not found.equals(tables[0]) for found in tables[1:])
    table(("engine, workers", "clips of 5 s", "s", "clips/s"), lines, "batches")
    verdict("batches whose rows differ from those of one worker", unlike, 0)


def main() -> None:
    """Print all the tables."""
    sounds = sounds_by_length()
    early = passes_over(sounds)
    live_chunks()
    film_cost()
    batch_cost()
    two_hours()
    sound_by_length(sounds, early + passes_over(sounds))


if __name__ == "__main__":
    main()
