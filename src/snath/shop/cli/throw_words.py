"""What a blade's tip can throw, in lines for the terminal and as JSON."""

from collections.abc import Iterator
from typing import Any

from snath.decisions.behaviour.throw import Carried, ThrowResult
from snath.decisions.behaviour.throw_reach import Reach
from snath.quantities.units import show
from snath.shop.cli.answer import facts, said


def throw_data(judged: ThrowResult, rule: str) -> dict[str, Any]:
    """The answer as JSON has it; `rule` is the row whose limit is the last stage."""
    return {
        "rule": rule,
        "carried": [_carried(one) for one in judged.carried],
        "training": [_reach(one) for one in judged.training],
        "notes": facts(judged.notes),
    }


def _carried(one: Carried) -> dict[str, Any]:
    return {
        "thing": one.thing,
        "stage": one.stage,
        "leaves_m_s": [0.0, round(one.leaves_high, 3)],
        "square_hit_m_s": [round(one.leaves_low, 3), round(one.leaves_high, 3)],
        "energy_j": [round(one.energy_low, 4), round(one.energy_high, 4)],
        "beside_first": round(one.beside_first, 6),
        "figures": [
            {
                "id": pair.criterion.id,
                "times": round(pair.times, 4),
                "standing": pair.criterion.standing,
                "means": pair.criterion.means,
                "does_not_mean": pair.criterion.does_not_mean,
            }
            for pair in one.low
        ],
    }


def _reach(one: Reach) -> dict[str, Any]:
    return {
        "stage": one.stage,
        "farthest_m": [round(one.rough, 2), round(one.smoother, 2)],
        "farthest_smooth_ball_m": None if one.sphere is None else round(one.sphere, 2),
        "highest_m": round(one.apex, 2),
        "still_carries_at_m": round(one.carry, 2),
    }


def throw_text(judged: ThrowResult) -> Iterator[str]:
    """The answer in lines."""
    for one in judged.carried:
        least, most = (show(speed, "m/s", digits=0) for speed in (one.leaves_low, one.leaves_high))
        little, much = (show(energy, "J", digits=0) for energy in (one.energy_low, one.energy_high))
        yield (
            f"{one.thing}, {one.stage}: anything from 0 up to {least} ({little}) with the least bounce, up to "
            f"{most} ({much}) with the most. Beside published figures, with the least:"
        )
        yield from (f"    {p.times:.2f} times {p.criterion.printed} ({p.criterion.id})" for p in one.low)
    for pair in judged.carried[0].low:
        criterion = pair.criterion
        yield f"{criterion.id}: {criterion.source} (known: {criterion.standing})."
        yield f"    {criterion.means} {criterion.does_not_mean}"
    for reach in judged.training:
        ball = "" if reach.sphere is None else f", a smooth ball {reach.sphere:.0f} m"
        yield f"For teaching, {reach.stage}: a stone {reach.rough:.0f} to {reach.smoother:.0f} m{ball}."
    yield from map(said, judged.notes)
