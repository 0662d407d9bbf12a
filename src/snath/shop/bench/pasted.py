"""A pasted table's page: how its numbers are written, and what each column holds, as guessed or as chosen by hand."""

from collections.abc import Collection, Sequence
from typing import Any

from django import forms
from django.http import HttpRequest
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy

from snath.shop.bench.refusals import Refusing
from snath.shop.tables.cells import Cells

PREVIEWED = 6


class TableForm(Refusing, forms.Form):
    """How the numbers of a table are written; the table itself and what else is asked come before."""

    use_required_attribute = False
    unit = forms.ChoiceField(
        label=gettext_lazy("A bare size is in"),
        choices=(("in", gettext_lazy("inches")), ("mm", gettext_lazy("millimetres"))),
    )
    mark = forms.ChoiceField(
        label=gettext_lazy("Decimals are written"),
        choices=(("", gettext_lazy("as found")), (".", "1.5"), (",", "1,5")),
        required=False,
    )


def chosen_or(guesses: list[str], request: HttpRequest, known: Collection[str], *, kind: str) -> list[str]:
    """What each column holds: as chosen where somebody chose for such a table, else as guessed; no column twice."""
    if request.POST.get("mapped") != _mapped(kind, guesses):
        return guesses
    found: list[str] = []
    for at in range(len(guesses)):
        chosen = request.POST.get(f"m{at}", "")
        found.append(chosen if chosen in known and chosen not in found else "")
    return found


def columns_shown(
    table: Cells, columns: list[str], choices: Sequence[tuple[str, str | Promise]], *, kind: str
) -> dict[str, Any]:
    """What `bench/columns.html` shows: each column with its first cells, and what it may hold."""
    heads = [
        {
            "at": at,
            "head": table.head[at] if at < len(table.head) else "",
            "column": column,
            "cells": [row[at] if at < len(row) else "" for row in table.rows[:PREVIEWED]],
        }
        for at, column in enumerate(columns)
    ]
    return {
        "heads": heads,
        "unread": [one["head"] for one in heads if one["head"] and not one["column"]],
        "choices": choices,
        "mapped": _mapped(kind, columns),
        "all_rows": len(table.rows),
    }


def _mapped(kind: str, columns: list[str]) -> str:
    return f"{kind}:{len(columns)}"
