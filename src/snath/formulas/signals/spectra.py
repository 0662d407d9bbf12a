"""Measure how far each frequency stands above the noise, frame by frame, when speed may change inside a frame.

A frame is resampled so that a comb whose speed grows by the share `slope` per second stands still in it;
all harmonics of one shaft share one such slope (docs/sound.md, equations 1 to 3).
"""

from functools import lru_cache
from typing import Any

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from scipy.fft import irfft, next_fast_len, rfft
from scipy.signal import firwin

WORKING_RATE = 8000.0  # lines of interest end below 4 kHz; higher rates cost time and bring nothing
FLOOR_BAND = 60.0  # width over which the noise is taken as even [Hz]
TAPS = 4  # half length of the low-pass, in samples of the lower rate
TOGETHER = 2 * TAPS  # samples of the lower rate made at once


@lru_cache(maxsize=32)
def lowpass(factor: int) -> Any:
    """Low-pass for taking every `factor`-th sample, shape (2, samples, `TOGETHER`).

    What the samples of one run, and of the next, bring to the `TOGETHER` samples that begin in the first.
    """
    taps = firwin(2 * TAPS * factor + 1, 0.8 / factor, window=("kaiser", 4.0))
    weight = np.zeros((2 * TOGETHER * factor, TOGETHER), dtype=np.float32)
    for sample in range(TOGETHER):
        weight[sample * factor : sample * factor + len(taps), sample] = taps
    return weight.reshape(2, -1, TOGETHER)


def decimated(samples: Any, rate: float) -> Any:
    """The signal at a lower rate, an integer share of the given one, so that the clock stays exact.

    Parameters
    ----------
    samples : array_like, shape (n,)
        Sound. [any]
    rate : float
        Samples per second. [1/s]

    Returns
    -------
    tuple of (ndarray, float)
        The signal, still centred on the same times, and its rate. [any], [1/s]
    """
    x = np.asarray(samples, dtype=np.float32)
    factor = int(rate // WORKING_RATE)
    if factor < 2:
        return x, float(rate)
    return _every(x, factor), rate / factor


def _every(x: Any, factor: Any) -> Any:
    """Every `factor`-th sample of the low-passed signal, `TOGETHER` of them in one product: faster than tap by tap."""
    count = -(-len(x) // factor)
    here, next_ = lowpass(factor)
    runs = np.zeros((-(-count // TOGETHER) + 1, TOGETHER * factor), dtype=np.float32)
    runs.reshape(-1)[TAPS * factor : TAPS * factor + len(x)] = x
    low = runs[:-1] @ here
    low += runs[1:] @ next_
    return low.reshape(-1)[:count]


@lru_cache(maxsize=32)
def _warp(slopes: tuple[float, ...], span: float, rate: float, frame_rate: float) -> Any:
    """Sample places of frames in which a comb of each slope stands still, as index and fraction."""
    points = int(span * frame_rate)
    s = (np.arange(points) - (points - 1) / 2) / frame_rate
    root = np.sqrt(np.maximum(1 + 2 * np.array(slopes)[:, None] * s, 0.05))
    place = 2 * s / (1 + root) * rate
    whole = np.floor(place).astype(np.int32)
    window = np.hanning(points + 2)[1:-1].astype(np.float32)
    return whole, (place - whole).astype(np.float32), window / np.sqrt((window**2).sum())


@lru_cache(maxsize=64)
def hann(points: int) -> Any:
    """Periodic Hann window."""
    window = np.hanning(points + 1)[:-1].astype(np.float32)
    window.flags.writeable = False
    return window


def frame_power(
    x: Any,
    rate: float,
    centres: Any,
    *,
    slopes: tuple[float, ...],
    span: float,
    frame_rate: float,
    top: float,
) -> Any:
    """Power spectra of frames around `centres`, for each slope so that a comb of that slope stands still.

    Parameters
    ----------
    x : ndarray, shape (n,)
        Signal without content over about half of `frame_rate`. [any]
    rate : float
        Its rate. [1/s]
    centres : ndarray of int, shape (m,)
        Frame centres; frames may reach over the ends. [samples]
    slopes : tuple of float
        Growths of speed as a share of itself. [1/s]
    span : float
        Length of a frame. [s]
    frame_rate : float
        Samples per second inside a frame. [1/s]
    top : float
        Highest frequency wanted. [Hz]

    Returns
    -------
    tuple of (ndarray of shape (slopes * m, bins), float)
        Power, noise of unit variance giving 1, slope by slope; and the bin width. [any], [Hz]
    """
    whole, fraction, window = _warp(slopes, span, rate, frame_rate)
    if slopes == (0.0,) and len(centres):
        frames = _unwarped(x, rate, centres, frame_rate, len(window)) * window
    else:
        frames = _between(x, centres[:, None] + whole[:, None, :], fraction[:, None, :]) * window
    size = next_fast_len(int(1.06 * len(window)), real=True)
    width = frame_rate / size
    spectrum = rfft(frames.reshape(-1, len(window)), size, axis=1)[:, : int(top / width) + 3]
    return spectrum.real**2 + spectrum.imag**2, width


def _unwarped(x: Any, rate: Any, centres: Any, frame_rate: Any, points: Any) -> Any:
    """Frames in which time runs evenly, cut from one resampled signal; centres as near as its samples allow."""
    starts = np.rint((centres - centres[0]) * (frame_rate / rate)).astype(int)
    place = np.arange(starts[-1] + points) - (points - 1) / 2
    place *= rate / frame_rate
    whole = np.floor(place).astype(np.intp)
    even = _between(x, whole + centres[0], (place - whole).astype(np.float32))
    return sliding_window_view(even, points)[starts]


def _between(x: Any, at: Any, fraction: Any) -> Any:
    """Samples that fraction beyond `at`, on straight lines; beyond the ends the last one again."""
    near = x.take(at, mode="clip")
    at += 1
    beyond = x.take(at, mode="clip")
    beyond -= near
    beyond *= fraction
    near += beyond
    return near


def noise_floor(power: Any, width: float) -> Any:
    """Noise power along frequency: a low quantile in bands, joined by straight lines.

    Parameters
    ----------
    power : ndarray, shape (m, bins)
        Power spectra. [any]
    width : float
        Bin width. [Hz]

    Returns
    -------
    ndarray, shape (m, bins)
        Expected noise power in each bin. [any]
    """
    m, bins = power.shape
    per_band = max(int(FLOOR_BAND / width), 4)
    bands = max(bins // per_band, 1)
    quarter = min(per_band, bins) // 4
    low = np.partition(power[:, : bands * per_band].reshape(m, bands, -1), quarter, axis=2)[:, :, quarter]
    low = low / 0.2877  # quarter quantile of an exponential of mean 1: -ln(3/4)
    low += 1e-7 * power.mean(axis=1, keepdims=True) + 1e-30
    if bands == 1:
        return np.repeat(low, bins, axis=1)
    left, share = _joined(bins, per_band, bands)
    floor = low.take(left, axis=1, mode="clip")
    floor += (low[:, 1:] - low[:, :-1]).take(left, axis=1, mode="clip") * share
    return floor


@lru_cache(maxsize=64)
def _joined(bins: int, per_band: int, bands: int) -> Any:
    """Between which bands every bin lies, and how far on from the first."""
    place = np.clip(np.arange(bins) / per_band - 0.5, 0, bands - 1.001)
    left = place.astype(int)
    return left, (place - left).astype(np.float32)


def below(spectrum: Any, size: int, rate: float, top: float) -> Any:
    """The part of a signal below `top`, from its spectrum.

    Parameters
    ----------
    spectrum : ndarray of complex
        Of `size` samples. [any]
    size : int
        Samples. [1]
    rate : float
        Samples per second. [1/s]
    top : float
        Frequency above which nothing is left. [Hz]

    Returns
    -------
    ndarray, shape (size,)
        The signal. [any]
    """
    first, last = (min(int(share * top / rate * size), len(spectrum)) for share in (1.05, 1.15))
    kept = spectrum[:last].copy()
    kept[first:] *= np.clip((1.15 * top - np.arange(first, last) * (rate / size)) / (0.1 * top), 0, 1)
    return irfft(kept, size).astype(np.float32, copy=False)
