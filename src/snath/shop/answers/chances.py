"""Say a chance, never as the certainty it is not: the same on terminal, page and paper."""

from snath.quantities.message import Message
from snath.shop.answers.heads import never_certain
from snath.words.render import ENGLISH, say

LEAST = 0.001  # nothing that was measured is known to within less than this of 0 or 100 %


def chance(share: float) -> Message:
    """A chance in percent, or under or over which it lies."""
    return Message("terminal.share", share=never_certain(share, least=LEAST))


def chances(least: float, most: float) -> Message:
    """A range of chances; one where both are printed alike."""
    low, high = chance(least), chance(most)
    return low if say(low, ENGLISH) == say(high, ENGLISH) else Message("terminal.from-to", low=low, high=high)
