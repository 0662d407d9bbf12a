"""Show an answer: its head as one line, its arithmetic as text, its picture in a notebook, its rows as a table."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from html import escape
from typing import TYPE_CHECKING, Any, Self

from snath.decisions.job.job import Job
from snath.quantities.message import Message
from snath.shop.answers.facts import as_data
from snath.words.render import Locale, say

if TYPE_CHECKING:
    from pandas import DataFrame

    from snath.shop.pictures.voice import Voice


class Shown:
    """What every answer can do besides: say itself, show its picture, become data."""

    _locale: Locale

    @classmethod
    def _made(cls, answer: object, locale: Locale, **more: Any) -> Self:
        """This answer with what it is shown from."""
        made = cls.__new__(cls)
        made.__dict__.update(vars(answer), _locale=locale, **more)
        return made

    def to_dict(self) -> dict[str, Any]:
        """The answer as the command of the same name prints it with `--json`."""
        data: dict[str, Any] = as_data(self)
        return data

    def to_pandas(self) -> "DataFrame":
        """Its rows as a table; needs pandas."""
        return table([as_data(one) for one in self._rows()])

    @property
    def working(self) -> str:
        """The arithmetic, line by line."""
        raise NotImplementedError

    def __str__(self) -> str:
        parts = ("\n".join(self._said(self._head())), self.working, "\n".join(self._said(self._foot())))
        return "\n\n".join(part for part in parts if part)

    def __repr__(self) -> str:
        return f"<{type(self).__name__}: {'; '.join(' '.join(line.split()) for line in self._said(self._head()))}>"

    def _repr_html_(self) -> str:
        head = "<br>".join(escape(line) for line in self._said(self._head()))
        foot = "".join(f"<p>{escape(line)}</p>" for line in self._said(self._foot()))
        working = escape(self.working)
        working = f"<details><summary>=</summary><pre>{working}</pre></details>" if working else ""
        return f"<div><p><strong>{head}</strong></p>{self._picture()}{working}{foot}</div>"

    def _rows(self) -> Iterable[object]:
        """What is a row each of its table; the answer as one where it has none."""
        return (self,)

    def _head(self) -> Iterable[Message | str]:
        raise NotImplementedError

    def _foot(self) -> Iterable[Message | str]:
        return ()

    def _picture(self) -> str:
        return ""

    def _said(self, things: Iterable[Message | str]) -> list[str]:
        return [say(thing, self._locale) for thing in things]

    def _voice(self, job: Job | None = None) -> "Voice":
        from snath.shop.pictures.voice import speaking

        voice = speaking(self._locale.language, self._locale.length)
        voice = replace(voice, decimal_mark=self._locale.decimal_mark)
        return voice if job is None else voice.about(job)


def html_table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A table for a notebook; its cells are escaped already."""
    heads = "".join(f"<th>{name}</th>" for name in head)
    lines = "".join(f"<tr>{''.join(f'<td>{cell}</td>' for cell in row)}</tr>" for row in rows)
    return f"<table><tr>{heads}</tr>{lines}</table>"


def table(rows: Sequence[Mapping[str, Any]]) -> "DataFrame":
    """Rows as a pandas table.

    Raises
    ------
    ImportError
        Where pandas is not installed.
    """
    from pandas import DataFrame

    return DataFrame(rows)
