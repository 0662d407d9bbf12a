"""Draw recordings out of the written ranges, the same ones for the same seed."""

import tomllib
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from zlib import crc32

import numpy as np

from benchmarks.engines.case import Beside, Case, Course, Cycles, Engine, Part, Phone

RANGES = tomllib.loads((Path(__file__).parent / "ranges.toml").read_text("utf-8"))
SETS = ("mixed", "alternating", "throttled", "run-down", "beside", "wandering")
FIXED = 20261130


def cases(which: str, family: str, seed: int, count: int) -> Iterator[Case]:
    """`count` recordings of one of `SETS`; another family draws others.

    Parameters
    ----------
    which, family : str
        The set, and the family the clips are meant for.
    seed, count : int
        The same seed gives the same clips, however many.
    """
    for number in range(count):
        yield case(which, (seed, crc32(f"{which} {family}".encode()), number))


def case(which: str, seed: tuple[int, ...]) -> Case:
    """One recording."""
    g = np.random.default_rng(seed)
    engine = _engine(g)
    situation = which if which in ("throttled", "run-down", "wandering") else _one(RANGES["situation"], g)
    if which in ("alternating", "beside"):
        situation = "held"
    rev_s = _slow(engine, g) if which == "alternating" else _speed(engine, situation, g)
    return Case(
        number=seed[-1],
        seed=seed,
        engine=engine,
        course=_course(situation, engine, rev_s, g),
        cycles=_cycles(which, g),
        part=_part(g),
        beside=_beside(which, g),
        outlet=_one(RANGES["outlet"], g),
        room=_one(RANGES["room"], g),
        snr_db=float(_one(RANGES["sound"]["snr_db"], g)),
        wind_db=_sometimes("wind", g),
        speech_db=_sometimes("speech", g),
        hum_db=_sometimes("hum", g),
        phone=_phone(g),
    )


def _one(shares: Mapping[str, float], g: np.random.Generator) -> str:
    named = {name: share for name, share in shares.items() if isinstance(share, float)}
    part = np.array(list(named.values()))
    return str(g.choice(list(named), p=part / part.sum()))


def _between(span: Sequence[float], g: np.random.Generator) -> float:
    return float(g.uniform(*span))


def _log_between(low: float, high: float, g: np.random.Generator) -> float:
    return float(np.exp(g.uniform(np.log(low), np.log(high))))


def _chance(share: float, g: np.random.Generator) -> bool:
    return bool(g.random() < share)


def _engine(g: np.random.Generator) -> Engine:
    rows = RANGES["engine"]
    row = rows[int(g.choice(len(rows), p=[r["share"] for r in rows]))]
    firings = row["firings"][int(g.integers(len(row["firings"])))]
    idle, rated = (_between(row[name], g) / 60 for name in ("idle", "rated"))
    return Engine(row["name"], row["strokes"], tuple(firings), idle, rated)


def _speed(engine: Engine, situation: str, g: np.random.Generator) -> float:
    where = "top" if situation in ("throttled", "run-down") else _one(RANGES["speed"], g)
    if where == "idle":
        return engine.idle * g.uniform(0.85, 1.15)
    if where == "between":
        return _log_between(engine.idle, engine.rated, g)
    return engine.rated * g.uniform(0.92, 1.10)


def _slow(engine: Engine, g: np.random.Generator) -> float:
    if _chance(RANGES["alternating"]["slow_share"], g):
        return engine.idle * g.uniform(0.6, 1.0)
    return _log_between(engine.idle, 1.1 * engine.rated, g)


def _course(situation: str, engine: Engine, rev_s: float, g: np.random.Generator) -> Course:
    span = RANGES["course"]
    seconds = round(4 * _between(span["rundown_seconds" if situation == "run-down" else "seconds"], g)) / 4
    sign = float(g.choice([-1.0, 1.0]))
    if situation in ("drift", "ramp"):
        return Course(situation, rev_s, seconds, amount=sign * _between(span[situation], g))
    if situation == "hunting":
        return Course(
            situation, rev_s, seconds, _between(span["hunting"], g), _between(span["hunting_hz"], g)
        )
    if situation == "step":
        at = seconds * _between(span["step_at"], g)
        return Course(
            situation, rev_s, seconds, sign * _between(span["step"], g), _between(span["step_s"], g), at
        )
    if situation == "wandering":
        return Course(
            situation, rev_s, seconds, _between(span["wandering"], g), _between(span["wandering_s"], g)
        )
    if situation == "throttled":
        held = _chance(span["throttled_held"], g)
        return Course(
            situation,
            rev_s,
            seconds,
            tempo=_between(span["throttled_s"], g),
            at_s=seconds * _between(span["throttled_at"], g),
            target=rev_s if held else engine.idle * g.uniform(0.9, 1.15),
            quieter_db=_between(span["throttled_db"], g),
        )
    if situation == "run-down":
        return Course(
            situation,
            rev_s,
            seconds,
            tempo=_between(span["rundown_s"], g),
            at_s=_between(span["rundown_at"], g),
        )
    return Course("held", rev_s, seconds)


def _cycles(which: str, g: np.random.Generator) -> Cycles:
    span = RANGES["cycles"]
    alternating = _between(span["alternating"], g) if _chance(span["alternating_share"], g) else 0.0
    if which == "alternating":
        alternating = _between(RANGES["alternating"]["alternating"], g)
    misfires = _between(span["misfires"], g) if _chance(span["misfiring_share"], g) else 0.0
    return Cycles(_between(span["jitter"], g), _between(span["scatter"], g), alternating, misfires)


def _part(g: np.random.Generator) -> Part | None:
    span, kind = RANGES["part"], _one({k: RANGES["part"][k] for k in ("none", "direct", "belt")}, g)
    nominal, slip = _between(span["ratio"], g), _between(span["slip"], g)
    tips, db = int(g.choice(span["tips"])), _between(span["db"], g)
    if kind == "none":
        return None
    return Part(1.0, 1.0, tips, db) if kind == "direct" else Part(nominal * (1 - slip), nominal, tips, db)


def _beside(which: str, g: np.random.Generator) -> Beside | None:
    span, engine = RANGES["beside"], _engine(g)
    found = Beside(engine, _speed(engine, "held", g), _between(span["db"], g))
    return found if which == "beside" or (which == "mixed" and _chance(span["share"], g)) else None


def _sometimes(name: str, g: np.random.Generator) -> float | None:
    span = RANGES["sound"]
    level = _between(span[f"{name}_db"], g)
    return level if _chance(span[f"{name}_share"], g) else None


def _phone(g: np.random.Generator) -> Phone:
    span = RANGES["phone"]
    return Phone(
        high_pass=_log_between(*span["high_pass"], g),
        telephone=_chance(span["telephone_share"], g),
        agc=_chance(span["agc_share"], g),
        clipped=_chance(span["clipped_share"], g),
        clock=_between((-span["clock"], span["clock"]), g),
        rate=int(_one(span["rate"], g)),
        codec=_one(RANGES["codec"], g),
    )
