"""What a blade's tip can throw, in lines for the terminal and as JSON."""

from collections.abc import Iterator
from typing import Any

from snath.decisions.behaviour.throw import Carried, ThrowResult
from snath.decisions.behaviour.throw_reach import Reach
from snath.quantities.message import Amount, Message, Value, term
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
                "means": said(pair.criterion.means),
                "does_not_mean": said(pair.criterion.does_not_mean),
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
        yield said(
            Message(
                "terminal.thrown",
                thing=one.thing,
                stage=one.stage,
                least=Amount(one.leaves_low, "speed"),
                little=Amount(one.energy_low, "energy"),
                most=Amount(one.leaves_high, "speed"),
                much=Amount(one.energy_high, "energy"),
            )
        )
        for pair in one.low:
            criterion = pair.criterion
            times = Message("terminal.times", times=pair.times, printed=criterion.printed, id=criterion.id)
            yield f"    {said(times)}"
    for pair in judged.carried[0].low:
        criterion = pair.criterion
        standing = term("standing", criterion.standing)
        yield said(Message("terminal.published", id=criterion.id, source=criterion.source, standing=standing))
        yield f"    {said(criterion.means)} {said(criterion.does_not_mean)}"
    yield from (said(_reach_line(reach)) for reach in judged.training)
    yield from map(said, judged.notes)


def _reach_line(reach: Reach) -> Message:
    values: dict[str, Value] = {"stage": reach.stage, "rough": reach.rough, "smoother": reach.smoother}
    if reach.sphere is None:
        return Message("terminal.reach", **values)
    return Message("terminal.reach-ball", ball=reach.sphere, **values)
