"""How a sheet becomes a PDF: a template, the words of one language, and data that can never be source.

What a sheet says goes to the typesetter as one JSON text and is only ever placed, never read as markup. The
typesetter sees the template folder and our own fonts and nothing else: no other file, no network. Every
PDF is tagged and made for archives (PDF/A-2a, PDF/UA-1), so that it opens in twenty years and can be read
aloud.
"""

import json
import threading
from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.shop.pictures.voice import Voice
from snath.words.tables import shown

if TYPE_CHECKING:
    import typst

HERE = Path(__file__).parent
TEMPLATES = HERE / "templates"
FONTS = HERE / "fonts"
WORDS = "paper"

Paper = Literal["a4", "us-letter"]
PAPERS: Mapping[str, Paper] = {"a4": "a4", "us-letter": "us-letter", "letter": "us-letter"}

LONGEST = 1_500  # characters of one text; what is longer is cut on paper and whole in the record
MOST_ROWS = 400  # of one list
STANDARDS: list[Literal["a-2a", "ua-1"]] = ["a-2a", "ua-1"]

_each_thread = threading.local()


def printed(
    template: str,
    data: Mapping[str, Any],
    *,
    voice: Voice,
    paper: str,
    made: str,
    pictures: Mapping[str, str] | None = None,
) -> bytes:
    """A PDF from one of our templates.

    Parameters
    ----------
    template : str
        Its file name.
    data : mapping
        Texts, lists and mappings of them, ready to be placed.
    voice : Voice
        Its `paper.` words go along.
    paper : str
        "a4" or "us-letter".
    made : str
        ISO date that is put down as the PDF's own, so that the same sheet gives the same bytes.
    pictures : mapping of str to str, optional
        SVG texts of our own pictures by name; these are not cut.

    Raises
    ------
    InputError
        For a paper we do not print on.
    """
    if paper not in PAPERS:
        raise InputError("paper", paper, Message("fault.one-of", known=tuple(PAPERS)))
    words = {key: voice.words[key] for key in shown(WORDS, voice.language)}
    sent = {
        **capped(data),
        "words": words,
        "paper": PAPERS[paper],
        "lang": voice.language,
        "pictures": dict(pictures or {}),
    }
    pdf = _compiler().compile(
        input=str(TEMPLATES / template),
        sys_inputs={"data": json.dumps(sent, ensure_ascii=False)},
        timestamp=_moment(made),
        pdf_standards=[*STANDARDS],
    )
    assert isinstance(pdf, bytes)
    return pdf


def as_png(svg: str) -> bytes:
    """One of our own pictures as PNG, on white, at twice the points of a page."""
    sent = json.dumps({"svg": svg}, ensure_ascii=False)
    png = _compiler().compile(
        input=str(TEMPLATES / "picture.typ"), sys_inputs={"data": sent}, format="png", ppi=144
    )
    assert isinstance(png, bytes)
    return png


def capped(data: Any) -> Any:
    """The same data with texts and lists no longer than a sheet can bear, and nothing unprintable."""
    if isinstance(data, str):
        text = "".join(c if c.isprintable() or c == "\n" else " " for c in data[: LONGEST + 1])
        return text if len(data) <= LONGEST else text[: LONGEST - 1] + "…"
    if isinstance(data, Mapping):
        return {key: capped(value) for key, value in data.items()}
    if isinstance(data, list | tuple):
        return [capped(value) for value in data[:MOST_ROWS]]
    return data


def _compiler() -> "typst.Compiler":
    """One typesetter a thread: it keeps fonts and templates, which makes the second sheet quick."""
    import typst  # an extra: what is not printed needs none

    found: typst.Compiler | None = getattr(_each_thread, "compiler", None)
    if found is None:
        found = typst.Compiler(
            str(TEMPLATES / "job_sheet.typ"),
            root=str(TEMPLATES),
            font_paths=[str(FONTS)],
            ignore_system_fonts=True,
        )
        _each_thread.compiler = found
    return found


def _moment(made: str) -> int:
    try:
        return int(datetime.fromisoformat(made[:10]).replace(tzinfo=UTC).timestamp())
    except ValueError:
        return 0
