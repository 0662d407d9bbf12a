"""What every picture is: the drawing, and the same thing said in sentences for whoever cannot see it."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing and its text equivalent.

    Attributes
    ----------
    svg : str
        The whole `<svg>` element, fit to stand in a page or on paper.
    text : str
        Everything the drawing shows, in full sentences.
    """

    svg: str
    text: str
