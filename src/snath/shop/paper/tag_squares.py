"""The squares of a tag: one opens the record in the shop's network, one holds the figures themselves."""

from typing import Any

from snath.shop.paper.facts import SheetFacts
from snath.shop.paper.square import LONGEST, square_code
from snath.shop.pictures.voice import Voice


def tag_squares(
    data: dict[str, Any], facts: SheetFacts, voice: Voice
) -> tuple[dict[str, str], dict[str, str]]:
    """The squares by name, and what the tag says of them.

    Parameters
    ----------
    data : dict
        What stands on the tag.
    facts : SheetFacts
        `opens` is empty where no phone could reach the record; the tag then says so.
    voice : Voice
    """
    squares = {"figures": square_code(figures_text(data, voice)[:LONGEST])}
    if facts.opens:
        squares["square"] = square_code(facts.opens)
    reach = "" if facts.opens else voice.say("tag.no-network")
    return squares, {"figures": voice.say("tag.figures"), "reach": reach}


def figures_text(data: dict[str, Any], voice: Voice) -> str:
    """The tag's figures as a text that any phone shows without a network."""
    lines = [data["machine"], data["serial"], data["stop"]]
    if data["left_at"]:
        lines.append(f"{voice.say('tag.left-at')} {data['left_at']} {data['unit']}")
    lines.append(f"{voice.say('tag.never-above')} {data['never']} {data['unit']}")
    if data["not_covered"]:
        lines.append(data["not_covered"])
    if data["target"]:
        lines.append(f"{voice.say('tag.set-to')} {data['target']} {data['unit']}")
    lines += [data["date"], data["number"], data["shop"]]
    return "\n".join(line for line in lines if line)
