"""General pitch libraries on the same clips: the same range, no help with octaves, a figure every 0.1 s."""

import os
from collections.abc import Callable
from fractions import Fraction
from functools import cache
from importlib import import_module
from pathlib import Path
from tempfile import gettempdir
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
SLOW = 11_025  # Hz the slower ones are handed, so that their frames hold low pitches
FRAME = 4096  # samples of `SLOW`
# two workers that write one store of compiled code at once leave it broken, and what reads it then crashes
os.environ["NUMBA_CACHE_DIR"] = str(Path(gettempdir()) / f"snath-bench-{os.getpid()}")


def installed() -> dict[str, Callable[[Array, float, Array, float, float], Array]]:
    """Those that can be imported here."""
    every = {
        "swift_f0 sped up": swift,
        "librosa yin": yin,
        "librosa pyin": pyin,
        "Praat": praat,
        "aubio yinfft": aubio,
    }
    needs = {"swift_f0 sped up": "swift_f0", "Praat": "parselmouth", "aubio yinfft": "aubio"}
    found = {}
    for name, method in every.items():
        try:
            import_module(needs.get(name, "librosa"))
        except ImportError:
            continue
        found[name] = method
    return found


@cache
def _swift() -> Any:
    return import_module("swift_f0").SwiftF0(threads=1)


def swift(samples: Array, rate: float, at: Array, low: float, high: float) -> Array:
    """swift_f0 hears 46.9 to 2,094 Hz: the clip is played faster until the range fits."""
    faster = max(1.0, np.ceil(2 * 46.875 / low) / 2 * 1.02)
    top = min(high * faster, 2093.0)
    seen = _swift().detect(
        samples.astype(np.float32), round(rate * faster), fmin=max(low * faster, 46.875), fmax=top
    )
    return np.interp(at, np.asarray(seen.timestamps) * faster, np.asarray(seen.pitch_hz) / faster)


def _slow(samples: Array, rate: float) -> Array:
    down = Fraction(SLOW, round(rate))
    resampled = import_module("scipy.signal").resample_poly(samples, down.numerator, down.denominator)
    return np.asarray(resampled, dtype=np.float64)


def _frame(low: float) -> int:
    """Samples of `SLOW` that hold two periods of the lowest pitch asked for."""
    return FRAME if low > 6 else 2 * FRAME


def yin(samples: Array, rate: float, at: Array, low: float, high: float) -> Array:
    """librosa's YIN."""
    pitch = import_module("librosa").yin(
        _slow(samples, rate), fmin=low, fmax=high, sr=SLOW, frame_length=_frame(low), hop_length=SLOW // 20
    )
    return np.interp(at, np.arange(len(pitch)) * (SLOW // 20) / SLOW, pitch)


def pyin(samples: Array, rate: float, at: Array, low: float, high: float) -> Array:
    """librosa's probabilistic YIN; frames it calls unvoiced stay empty."""
    pitch, _, _ = import_module("librosa").pyin(
        _slow(samples, rate), fmin=low, fmax=high, sr=SLOW, frame_length=_frame(low), hop_length=SLOW // 20
    )
    nearest = np.clip(np.rint(at * SLOW / (SLOW // 20)).astype(int), 0, len(pitch) - 1)
    return np.asarray(pitch[nearest], dtype=np.float64)


def praat(samples: Array, rate: float, at: Array, low: float, high: float) -> Array:
    """Praat's autocorrelation."""
    sound = import_module("parselmouth").Sound(_slow(samples, rate), SLOW)
    pitch = sound.to_pitch_ac(time_step=0.05, pitch_floor=low, pitch_ceiling=high, voicing_threshold=0.1)
    return np.array([pitch.get_value_at_time(t) for t in at])


def aubio(samples: Array, rate: float, at: Array, low: float, high: float) -> Array:
    """aubio's yinfft; it takes no range, so what lies outside stays empty."""
    library = import_module("aubio")
    slow, hop = _slow(samples, rate).astype(np.float32), SLOW // 20
    finder = library.pitch("yinfft", FRAME, hop, SLOW)
    pitch = np.array([finder(slow[i : i + hop])[0] for i in range(0, len(slow) - hop, hop)])
    pitch[(pitch < low) | (pitch > high)] = np.nan
    middle = (np.arange(len(pitch)) * hop + hop - FRAME / 2) / SLOW
    nearest = np.clip(np.searchsorted(middle, at), 0, len(pitch) - 1)
    return np.asarray(pitch[nearest], dtype=np.float64)
