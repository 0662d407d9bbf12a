"""Measure words on paper, and cut them to what fits."""

# Advance widths in thousandths of the letters' height: Helvetica's, of the PostScript core fonts (its public AFM file),
# which the common sans fonts keep to.
_WIDTHS = {
    "'": 191, "ijl": 222, " !,./:;I[]ft\\": 278, '()-r·|"': 333, "*°": 400, "cksvxyzJ": 500, "Q": 778, "wCDHNRUÜ": 722,
    "+±÷×=<>≤≥~": 584, "FTZß": 611, "ABEKPSVXYÄ&": 667, "GOÖ": 778, "mM": 833, "%": 889, "W": 944, "@…—": 1015,
}  # fmt: skip
_WIDTH_OF = {letter: width / 1000 for letters, width in _WIDTHS.items() for letter in letters}
_ANY = 0.556  # digits and most small letters
_BOLD = 0.05  # more a letter, from nothing on digits to 0.056 on most
_SPARE = 1.04  # for a font a little wider than that


def text_width(words: str, size: float = 14, *, bold: bool = False) -> float:
    """About how wide a line of words is in a common sans, a little on the generous side."""
    ems = sum(_WIDTH_OF.get(c, _ANY) + (_BOLD if bold else 0) for c in words)
    return ems * size * _SPARE


def fitted(words: str, room: float, size: float = 14, *, bold: bool = False) -> str:
    """The words, shortened with an ellipsis where they would not fit into `room`."""
    if text_width(words, size, bold=bold) <= room:
        return words
    kept = words
    while kept and text_width(kept + "…", size, bold=bold) > room:
        kept = kept[:-1]
    return kept.rstrip() + "…"
