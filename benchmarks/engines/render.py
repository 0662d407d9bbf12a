"""Make recordings of engines with known truth in four ways that share nothing: `clip_of("crank", case)`."""

from collections.abc import Callable
from dataclasses import replace
from importlib import import_module

import numpy as np

from benchmarks.engines.case import Case, Clip
from benchmarks.engines.coded import through

Recorder = Callable[[Case, np.random.Generator], Clip]
FAMILIES = ("puffs", "crank", "pipes", "radiators")


def clip_of(family: str, case: Case) -> Clip:
    """The same recording at every call, through the phone's codec and back.

    Parameters
    ----------
    family : str
        One of `FAMILIES`.
    case : Case
        What is to be recorded.
    """
    record: Recorder = import_module(f"benchmarks.engines.{family}.record").record
    clip = record(case, np.random.default_rng((*case.seed, 1)))
    samples, rate = through(case.phone.codec, clip.samples, case.phone.rate)
    return replace(clip, samples=samples, rate=rate)
