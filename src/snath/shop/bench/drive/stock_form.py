"""Pulleys and belts with their sizes as two tables of the shop's own, typed, pasted or as files."""

from typing import Any

from django import forms
from django.utils.translation import gettext, gettext_lazy

from snath.decisions.drive.stock import RowFault, Stock
from snath.decisions.drive.stock_csv import BELT_COLUMNS, SHEAVE_COLUMNS, read_stock
from snath.quantities.errors import InputError
from snath.shop.bench.drive.stock_shown import heading_shown, headings
from snath.shop.bench.fields import fault_words
from snath.shop.bench.preferences import Preferences
from snath.shop.bench.refusals import Refusing
from snath.shop.tables.stock_words import table_for_core

TABLE_MOST = 400_000  # characters; a longer one is sent in parts
SHEAVES, BELTS = "sheaves", "belts"


class StockTablesForm(Refusing, forms.Form):
    """Two tables with a line of headings."""

    use_required_attribute = False
    sheaves = forms.CharField(
        label=gettext_lazy("Pulleys"),
        max_length=TABLE_MOST,
        required=False,
        widget=forms.Textarea(attrs={"class": "sheet", "spellcheck": "false", "wrap": "off"}),
        help_text=gettext_lazy(
            "One a line. Needed: number, section, outside (or datum). bore such as 1 in key; make stamped or cast."
        ),
    )
    sheaves_file = forms.FileField(label=gettext_lazy("or a file of pulleys (CSV)"), required=False)
    belts = forms.CharField(
        label=gettext_lazy("Belts"),
        max_length=TABLE_MOST,
        required=False,
        widget=forms.Textarea(attrs={"class": "sheet", "spellcheck": "false", "wrap": "off"}),
        help_text=gettext_lazy(
            "One a line. Needed: number and belt, such as A51; for a maker's own belt section and outside_length."
        ),
    )
    belts_file = forms.FileField(label=gettext_lazy("or a file of belts (CSV)"), required=False)

    def __init__(self, *args: Any, preferences: Preferences, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.preferences = preferences
        self.initial = {SHEAVES: headings(SHEAVE_COLUMNS), BELTS: headings(BELT_COLUMNS), **self.initial}

    def clean_sheaves_file(self) -> str:
        return self._text_of("sheaves_file")

    def clean_belts_file(self) -> str:
        return self._text_of("belts_file")

    def stock(self) -> Stock | None:
        """The rows that can be read; None where a table cannot be read at all."""
        if not self.is_valid():
            return None
        given = self.cleaned_data
        tables = {name: table_for_core(given[f"{name}_file"] or given[name]) for name in (SHEAVES, BELTS)}
        try:
            return read_stock(**tables, decimal_mark=self.preferences.decimal_mark)
        except InputError as fault:
            box = BELTS if fault.field.startswith(BELTS) else SHEAVES
            self.add_error(box, f"{fault.field}: {fault_words(fault, self.preferences.decimal_mark)}")
            return None

    def name_fault(self, fault: RowFault) -> None:
        """Mark a row that was left out at its table."""
        words = fault_words(fault.fault, self.preferences.decimal_mark)
        line = gettext("line %(line)d, %(column)s") % {
            "line": fault.line,
            "column": heading_shown(fault.fault.field),
        }
        self.add_error(fault.table, f"{line}: {words}")

    def _text_of(self, name: str) -> str:
        sent = self.cleaned_data[name]
        if sent is None:
            return ""
        if sent.size > TABLE_MOST:
            raise forms.ValidationError(gettext("This file is too large: send it in parts."))
        try:
            return bytes(sent.read()).decode("utf-8-sig")
        except UnicodeDecodeError:
            raise forms.ValidationError(gettext("This is not a table of plain text (UTF-8).")) from None
