"""Deal the simulated clips out of the frozen difficulty table, the same ones every time."""

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import Any

import av
import numpy as np

from benchmarks.simulator.engine import Blade, Scene, Take, record
from benchmarks.simulator.files import sound_file
from snath.formulas.signals.candidates import Driven, Orders

TABLE = tomllib.loads((Path(__file__).parent / "difficulty.toml").read_text())
FACTORS = ("profile", "snr_db", "cut_off", "codec", "blade", "blade_level_db", "hum", "clip")
CLOCK = 50e-6  # largest error of the simulated phone's clock, as a share


@dataclass(frozen=True, slots=True)
class Clip:
    """One clip to be made, the cells it belongs to, and what a sheet would say of its engine."""

    number: int
    cells: dict[str, str]
    scene: Scene
    sheet: Orders
    seed: tuple[int, int]

    def take(self) -> Take:
        """Render it; the same samples at every call."""
        take = record(self.scene, np.random.default_rng(self.seed))
        if self.cells["codec"] == "none":
            return take
        there_and_back = decoded(sound_file(take.samples, take.rate, self.cells["codec"]))
        # A coder fills up its last block with silence in which no engine runs: players cut it off again.
        return Take(there_and_back[: len(take.samples)], take.rate, take.ride, take.scene)


def decoded(file: bytes) -> Any:
    """The sound of a file, by the shortest way there is."""
    with av.open(BytesIO(file)) as container:
        return np.concatenate([frame.to_ndarray()[0] for frame in container.decode(audio=0)])


def dealt(shares: dict[str, float], count: int, generator: np.random.Generator) -> list[str]:
    """`count` names in the given shares, shuffled."""
    names, parts = list(shares), np.array(list(shares.values()))
    edges = np.round(np.concatenate([[0], np.cumsum(parts / parts.sum())]) * count).astype(int)
    deck = np.repeat(names, np.diff(edges))
    return [str(name) for name in generator.permutation(deck)]


def clips(seed: int = TABLE["seed"], count: int = TABLE["clips"]) -> Iterator[Clip]:
    """The clips of the table, or as many from a fresh seed."""
    generator = np.random.default_rng(seed)
    engines = {row["name"]: row for row in TABLE["engine"]}
    columns = {"engine": dealt({name: row["share"] for name, row in engines.items()}, count, generator)}
    columns |= {factor: dealt(TABLE[factor], count, generator) for factor in FACTORS}
    for number in range(count):
        cells = {factor: names[number] for factor, names in columns.items()}
        yield clip(number, cells, engines[cells["engine"]], seed)


def clip(number: int, cells: dict[str, str], engine: dict[str, Any], seed: int) -> Clip:
    """Draw what the cells leave open."""
    generator = np.random.default_rng((seed, number, 1))
    draw = generator.uniform
    firings = engine["firings"][generator.integers(len(engine["firings"]))]
    nominal = {"none": 0.0, "direct": 1.0, "belt": draw(0.75, 1.8)}[cells["blade"]]
    slip = draw(0, 0.03) if cells["blade"] == "belt" else 0.0
    blade = Blade(nominal * (1 - slip), 2, float(cells["blade_level_db"])) if nominal else None
    scene = Scene(
        rev_s=float(np.exp(draw(*np.log(engine["rpm"])))) / 60,
        seconds=TABLE["seconds"],
        profile=cells["profile"],  # type: ignore[arg-type]
        cycle_turns=engine["cycle_turns"],
        firings=tuple(firings),
        blade=blade,
        snr_db=float(cells["snr_db"]),
        cut_off=float(cells["cut_off"]),
        jitter=TABLE["jitter"],
        rate=TABLE["rate"],
        clock=draw(-CLOCK, CLOCK),
        hum=float(cells["hum"]),
        clip=cells["clip"] == "yes",
    )
    driven = {
        "none": (),
        "direct": (Driven(1.0, 1.0, 2),),
        "belt": (Driven(nominal * 0.95, nominal * 1.01, 2),),
    }[cells["blade"]]
    sheet = Orders(
        rev_s_low=engine["sheet_rpm"][0] / 60,
        rev_s_high=engine["sheet_rpm"][1] / 60,
        cycle_turns=engine["cycle_turns"],
        firings=tuple(firings),
        driven=driven,
    )
    return Clip(number, cells, scene, sheet, (seed, number))
