"""How often do the rows of a picture tell aliases apart, told their readout time, and do they ever tell wrongly?"""

import numpy as np

from benchmarks.kept import Row, bounds, rows, share_of, table, verdict
from benchmarks.light import HIGH, LOW, SECONDS, SIZE
from benchmarks.simulator.files import film_file
from benchmarks.simulator.film import Camera, Panel, Part, moments, pictures
from benchmarks.simulator.ride import ride
from snath.formulas.signals.film.answer import NEAR_FOLD
from snath.formulas.signals.film.read import speed_from_light
from snath.formulas.signals.film.shutter import Shutter
from snath.shop.media.film import film

COUNT = 160
SHOWN = ("mark from ahead", "mark from aside", "panel under a flash", "mark, speed not held")
TOLD_OFF = 0.1  # share by which the readout told is off, at most
FAR_OFF = 0.3  # the same, far off, to see what follows
PERIOD = 0.95  # share of a frame time in which all rows are read, at most


def filmed(number: int) -> Row:
    """One film of even frames, coded and decoded, and what it told with and without its readout time."""
    generator = np.random.default_rng((number, 29))
    shown = SHOWN[number % len(SHOWN)]
    rate = (30, 60)[number // len(SHOWN) % 2]
    rev_s = float(np.exp(generator.uniform(np.log(15.5), np.log(68))))
    held = ("steady", "drift") if shown != SHOWN[3] else ("step", "hunting")
    profile = str(generator.choice(held))
    going = ride(
        profile,  # type: ignore[arg-type]
        rev_s=rev_s,
        seconds=SECONDS + 1,
        cycle_turns=2,
        jitter=0.005,
        generator=generator,
    )
    readout = float(generator.uniform(0.005, min(0.025, PERIOD / rate)))
    camera = Camera(
        rate,
        stamps="even" if generator.random() < 0.5 else "rounded",
        exposure_s=float(generator.choice([1 / 4000, 1 / 1000, 1 / 250])),
        readout_s=readout,
        size=SIZE,
        noise=float(generator.uniform(2, 8)),
    )
    began, stamped = moments(camera, SECONDS, generator)
    part = _panel(generator) if shown == SHOWN[2] else _part(shown == SHOWN[1], generator)
    seen = film(film_file(pictures(going, part, camera, began, generator), stamped, size=SIZE))
    truth = going.speed_over(began[0], began[-1])
    far = (1 - FAR_OFF) if generator.random() < 0.5 else (1 + FAR_OFF)
    told = readout * (1 + float(generator.uniform(-TOLD_OFF, TOLD_OFF)))
    asked = {"without": None, "told": told, "far": min(readout * far, 1 / rate)}
    row: Row = {"shown": shown, "rate": rate, "truth": truth, "clear": _clear(truth, rate)}
    for name, readout_s in asked.items():
        result = speed_from_light(
            seen.t_s,
            seen.cells,
            rev_s_low=LOW,
            rev_s_high=HIGH,
            shutter=Shutter(readout_s=readout_s, lit_at_once=isinstance(part, Panel)),
        )
        row[name] = {
            "decided": result.decided,
            "wrong": result.decided and abs(result.steady.value / truth - 1) > 0.01,
            "named": min((abs(c.rev_s / truth - 1) for c in result.candidates), default=1.0) < 0.005,
            "candidates": len(result.candidates),
        }
    return row


def _part(aside: bool, generator: np.random.Generator) -> Part:
    outer = float(generator.uniform(0.22, 0.45))
    return Part(
        width=float(generator.uniform(0.04, 0.1)),
        radius=(outer * float(generator.uniform(0.3, 0.8)), outer),
        centre=(float(generator.uniform(0.45, 0.55)), float(generator.uniform(0.35, 0.65))),
        contrast=float(generator.uniform(50, 120)) * float(generator.choice([-0.5, 1])),
        tilt=float(np.radians(generator.uniform(10, 40))) if aside else 0.0,
        towards=float(generator.random()),
        near=float(generator.uniform(0.4, 1.6)),
    )


def _panel(generator: np.random.Generator) -> Panel:
    top = float(generator.uniform(0.05, 0.5))
    return Panel(
        width=float(generator.uniform(0.03, 0.1)),
        rows=(top, top + float(generator.uniform(0.25, 0.45))),
        contrast=float(generator.uniform(50, 120)),
    )


def _clear(truth: float, rate: float) -> bool:
    """Whether the speed lies far enough from any fold that a part does not seem to stand or to jump."""
    apparent = abs((truth + rate / 2) % rate - rate / 2)
    return min(apparent, rate / 2 - apparent) > NEAR_FOLD / SECONDS


def main() -> None:
    """Print the table."""
    found = rows("light-rows", filmed, list(range(share_of(COUNT))))
    lines = []
    for rate in (30, 60):
        for shown in SHOWN:
            chosen = [r for r in found if (r["rate"], r["shown"]) == (rate, shown)]
            clear = [r for r in chosen if r["clear"]]
            lines.append(
                (
                    f"{rate}/s, {shown}",
                    len(chosen),
                    f"{np.mean([r['without']['candidates'] for r in chosen] or [0]):.1f}",
                    f"{np.mean([r['told']['candidates'] for r in chosen] or [0]):.1f}",
                    sum(r["without"]["decided"] for r in chosen),
                    bounds(sum(r["told"]["decided"] for r in clear), len(clear)),
                    sum(r["told"]["wrong"] for r in chosen),
                    sum(r["far"]["wrong"] for r in chosen),
                )
            )
    head = (
        "even frames",
        "n",
        "named without",
        "named with",
        "decided without",
        "decided with, off folds %",
        "wrong",
        "wrong if 30 % off",
    )
    table(head, lines, f"{len(found)} films of {SECONDS:g} s, without and with the readout time told to 10 %")
    verdict("decided without a readout time", sum(r["without"]["decided"] for r in found), 0)
    verdict("decided and over 1 % off", sum(r["told"]["wrong"] for r in found), 0)
    lost = sum(r["without"]["named"] and not r["told"]["named"] for r in found if r["shown"] != SHOWN[3])
    verdict("true speed named without a readout time but not with it, speed held", lost, 0)


if __name__ == "__main__":
    main()
