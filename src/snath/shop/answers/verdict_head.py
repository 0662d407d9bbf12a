"""Head a verdict: its word, and what limits and maker's figure say."""

from collections.abc import Iterator

from snath.decisions.verdict.verdict import Verdict
from snath.quantities.message import Message, term


def verdict_head(verdict: Verdict) -> Iterator[Message]:
    """The word, and what limits and maker's figure say."""
    word, rule = term("verdict-word", verdict.word), term("decision-rule", verdict.decision_rule)
    yield Message("terminal.verdict", word=word, rule=rule)
    limits, maker = term("limits-word", verdict.limits), term("maker-word", verdict.maker)
    yield Message("terminal.limits-and-maker", limits=limits, maker=maker)
