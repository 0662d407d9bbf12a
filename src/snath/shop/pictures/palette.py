"""What each part of a picture looks like: one table, read by paper as it stands and overridden by pages.

Paper is printed in black and white, so every look here is black, a grey or a hatch, and two looks that
must be told apart differ in shape, weight or dash as well. `static/pictures/pictures.css` gives the
same names their colours for light and dark pages.
"""

FONT = "Open Sans, Noto Sans, Liberation Sans, DejaVu Sans, sans-serif"

_NO_FILL = {"fill": "none"}

LOOKS: dict[str, dict[str, str]] = {
    # words
    "text": {"fill": "currentColor"},
    "soft": {"fill": "currentColor", "fill-opacity": "0.75"},
    "over": {"fill": "#ffffff"},  # words on a solid mark
    # lines
    "line": {**_NO_FILL, "stroke": "currentColor", "stroke-width": "1.5"},
    "thin": {**_NO_FILL, "stroke": "currentColor", "stroke-width": "1"},
    "heavy": {**_NO_FILL, "stroke": "currentColor", "stroke-width": "3"},
    "grid": {**_NO_FILL, "stroke": "currentColor", "stroke-width": "0.8", "stroke-opacity": "0.25"},
    "dashed": {**_NO_FILL, "stroke": "currentColor", "stroke-width": "1.5", "stroke-dasharray": "6 4"},
    "halo": {**_NO_FILL, "stroke": "#ffffff", "stroke-width": "3", "stroke-opacity": "0.35"},  # under a line
    "dotted": {**_NO_FILL, "stroke": "currentColor", "stroke-width": "1.5", "stroke-dasharray": "1.5 3"},
    # areas
    "page": {"fill": "#ffffff"},  # the ground, for halos and openings
    "allowed": {"fill": "#d8d8d8"},
    "set": {"fill": "#8c8c8c"},  # the band to set in
    "bar": {"fill": "#9a9a9a"},  # a member or budget line that does not decide
    "binds": {"fill": "#1a1a1a"},  # the one that does
    "blocked": {"fill": "#f2f2f2"},  # ground under a hatch
    "hatch": {**_NO_FILL, "stroke": "#5a5a5a", "stroke-width": "1"},
    "part": {"fill": "#e4e4e4", "stroke": "currentColor", "stroke-width": "1.5"},  # sheave, shaft, box
    # marks
    "mark": {"fill": "currentColor"},
    "target": {"fill": "#ffffff", "stroke": "currentColor", "stroke-width": "2"},
    "reading": {"fill": "#000000", "stroke": "#ffffff", "stroke-width": "1.5"},
    "spread": {**_NO_FILL, "stroke": "#000000", "stroke-width": "2.5"},  # uncertainty of a reading
    "trace": {**_NO_FILL, "stroke": "#000000", "stroke-width": "1.8", "stroke-linejoin": "round"},
    "limit": {**_NO_FILL, "stroke": "#000000", "stroke-width": "2.5"},
}
