"""A table in the shop's own language is read like the core's: headings, words, semicolons, every line on its line."""

import pytest
from django.test import Client
from django.utils import translation

from snath.decisions.drive.bore import bore_of
from snath.decisions.drive.stock_csv import BELT_COLUMNS, SHEAVE_COLUMNS, read_stock
from snath.shop.bench.drive.stock_shown import headings
from snath.shop.files.stock_folder import stock_in
from snath.shop.records.models import StockPart
from snath.shop.tables.stock_words import bore_for_core, table_for_core

GERMAN = """Nummer;Anzahl;Profil;Außen;Bohrung;Bauart;Preis;Platz
101;2;A;101,6 mm;25,4 mm Passfeder;gegossen;14,20;Regal 1

102;1;A;4 in;1 in key;stamped;;
103;1;A;4 Lumpen;;;;
"""
ENGLISH = """number,count,section,outside,bore,make,price,place
101,2,A,"101,6 mm","25,4 mm key",cast,"14,20",Regal 1

102,1,A,4 in,1 in key,stamped,,
103,1,A,4 Lumpen,,,,
"""


def test_a_german_table_holds_the_same_stock_as_the_same_table_in_english():
    # another road: the table written by hand in the core's own words
    one = read_stock(sheaves=table_for_core(GERMAN), belts="", decimal_mark=",")
    other = read_stock(sheaves=ENGLISH, belts="", decimal_mark=",")
    assert one.sheaves == other.sheaves
    assert len(one.sheaves) == 2
    assert one.sheaves[0].cast
    assert [fault.line for fault in one.faults] == [5]  # counted in the text above, the empty line with it


def test_a_folder_on_the_disk_holds_what_the_page_reads(tmp_path):
    (tmp_path / "sheaves.csv").write_text(GERMAN, encoding="utf-8")
    (tmp_path / "belts.csv").write_text("Nummer;Riemen\n9;A51\n", encoding="utf-8")
    found = stock_in(str(tmp_path), ",")
    assert [one.number for one in found.sheaves] == ["101", "102"]
    assert [one.number for one in found.belts] == ["9"]


@pytest.mark.parametrize(("word", "aramid"), [("ja", True), ("nein", False), ("yes", True), ("no", False)])
def test_yes_and_no_are_taken_in_both_languages(word, aramid):
    belts = table_for_core(f"Nummer,Riemen,Aramid\n9,A51,{word}\n")
    assert [item.belt.aramid for item in read_stock(sheaves="", belts=belts).belts] == [aramid]


@pytest.mark.parametrize(
    ("typed", "same"),
    [
        ("25 mm Passfeder", "25 mm key"),
        ("25 mm paßfeder", "25 mm key"),
        ("17 mm Doppel-D", "17 mm double-D"),
        ("15 Zähne Keilwelle", "15 tooth spline"),
        ("20 mm rund", "20 mm"),
        ("1 in key", "1 in key"),
        ("", ""),
    ],
)
def test_a_bore_is_taken_in_both_languages(typed, same):
    assert bore_of(bore_for_core(typed)) == bore_of(same)


@pytest.mark.parametrize("columns", [SHEAVE_COLUMNS, BELT_COLUMNS])
@pytest.mark.parametrize("language", ["en", "de"])
def test_the_headings_to_begin_with_are_read_back(columns, language):
    with translation.override(language):
        line = headings(columns)
    assert table_for_core(line).strip().lower() == ",".join(columns)


def test_a_wrong_word_is_answered_in_the_language_of_the_page(db):
    shop = Client(headers={"host": "localhost", "accept-language": "de"})
    table = "Nummer;Profil;Außen;Bauart\n1;A;100 mm;gebacken\n2;A;101,5 mm;gegossen\n"
    page = shop.post("/shelf/stock/tables/", {"sheaves": table, "belts": ""}).content.decode()
    assert "Zeile 2, Bauart: „gebacken“: muss gepresst oder gegossen sein" in page
    assert StockPart.objects.count() == 1
