"""The letter as plain text, for a message: the same words as on paper, without what only paper needs."""

from typing import Any

from snath.shop.pictures.voice import Voice

PARTS = ("found", "set", "means")


def letter_text(words: dict[str, Any], voice: Voice) -> str:
    """What `letter_words` gives, as a message.

    Parameters
    ----------
    words : dict
        Of `letter.letter_words`.
    voice : Voice
        The voice those words were said in.
    """
    lines = [str(words["about"])]
    for part in PARTS:
        if words[part]:
            lines += ["", f"{voice.say(f'letter.{part}')}:", " ".join(words[part])]
    lines += ["", *(str(line) for line in (words["shop"], *words["shop_lines"]) if line)]
    return "\n".join(lines).strip() + "\n"
