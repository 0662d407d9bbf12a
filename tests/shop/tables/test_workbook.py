"""A spreadsheet is read as text, and one that would unpack to a flood is refused before it is unpacked."""

import io
import zipfile
from datetime import date, datetime

import openpyxl
import pytest

from snath.shop.tables import workbook
from snath.shop.tables.cells import cells_of, letter, text_of
from snath.shop.tables.harmless import as_it_was, harmless
from snath.shop.tables.workbook import cells_of_workbook, is_workbook
from tests.told import refused


def book(*rows, title="Machines", formats=()):
    made = openpyxl.Workbook()
    made.active.title = title
    for row in rows:
        made.active.append(list(row))
    for cell, number_format in formats:
        made.active[cell].number_format = number_format
    out = io.BytesIO()
    made.save(out)
    return out.getvalue()


def read(content, **more):
    return cells_of_workbook(content, lambda cell: cell == "machine", most=more.pop("most", 100), **more)


def test_numbers_days_and_shares_come_as_somebody_would_type_them():
    content = book(
        ("machine", "blade", "day", "moment", "share", "on"),
        ("Push", 21.75, date(2026, 11, 30), datetime(2026, 11, 30), 0.001, True),
        (),
        ("Next", 22.0, None, None, 0.00002, False),
        formats=[("E2", "0.0%")],
    )
    found = read(content)
    assert found.rows == (
        ("Push", "21.75", "2026-11-30", "2026-11-30", "0.1 %", "yes"),
        ("Next", "22", "", "", "0.00002", "no"),
    )
    assert (found.lines, found.sheet) == ((2, 4), "Machines")
    assert read(content, decimal_mark=",").rows[0][1] == "21,75"


def test_a_formula_stays_its_text_and_is_not_worked_out():
    assert read(book(("machine",), ("=1+1",), ('=HYPERLINK("http://x")',))).rows == (
        ("=1+1",),
        ('=HYPERLINK("http://x")',),
    )


def packed(*parts):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts:
            archive.writestr(name, content)
    return out.getvalue()


def test_a_small_file_that_unpacks_to_a_flood_is_refused_unopened(monkeypatch):
    bomb = packed(("xl/workbook.xml", b" " * (workbook.MOST_UNPACKED + 1)))
    assert (
        len(bomb) < 100_000
    )  # by hand: deflate packs blanks about a thousand to one (RFC 1951, 258 bytes a copy)
    monkeypatch.setattr(workbook, "import_module", lambda _: pytest.fail("it was opened"))
    with refused("unpacks to more than"):
        read(bomb)
    monkeypatch.setattr(workbook, "MOST_PARTS", 50)
    with refused("unpacks to more than"):
        read(packed(*((f"part{at}", b"") for at in range(workbook.MOST_PARTS + 1))))


def test_an_entry_that_lies_about_its_size_gives_no_more_than_it_says():
    good = bytearray(book(("machine",), *(("Push",) for _ in range(200))))
    # the directory's entry begins 46 bytes before the name
    at = good.rindex(b"xl/worksheets/sheet1.xml") - 46
    good[at + 24 : at + 28] = (10).to_bytes(4, "little")  # "uncompressed size" (APPNOTE 4.3.12)
    with refused("not a spreadsheet"):
        read(bytes(good))


def test_entities_that_grow_are_refused():
    grows = '<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa">' + "".join(
        f'<!ENTITY {b} "{f"&{a};" * 10}">' for a, b in zip("abcdefgh", "bcdefghi", strict=True)
    )
    content = io.BytesIO(book(("machine",), ("Push",)))
    with zipfile.ZipFile(content) as archive:
        parts = [(name, archive.read(name)) for name in archive.namelist()]
    evil = [
        (name, f"{grows}]><sst>&i;</sst>".encode() if name.endswith("workbook.xml") else text)
        for name, text in parts
    ]
    with refused("not a spreadsheet"):
        read(packed(*evil))


@pytest.mark.parametrize("content", [b"PK\x03\x04", b"PK\x03\x04" + bytes(200), packed(("a", b"b"))])
def test_what_is_no_spreadsheet_is_refused(content):
    assert is_workbook(content)
    with refused("not a spreadsheet"):
        read(content)


def test_a_sheet_that_is_not_there_is_told_with_those_that_are():
    with refused("Machines"):
        read(book(("machine",)), sheet="Other")


def test_more_rows_than_asked_for_are_left_out_but_for_one_that_tells():
    assert len(read(book(("machine",), *((str(at),) for at in range(50))), most=10).rows) == 11


@pytest.mark.parametrize("cell", ["=1", "+1", "-1", "@x", "\tx", "plain", "", "x=1", " =1"])
def test_a_cell_made_harmless_is_given_back(cell):
    assert not harmless(cell).startswith(("=", "+", "-", "@", "\t", "\r"))
    assert as_it_was(harmless(cell)) == cell


def test_a_table_keeps_its_lines_through_its_text():
    table = cells_of("machine;blade\n\nPush;22\n\n\nNext;21", lambda cell: cell == "machine", most=9)
    again = cells_of(text_of(table), lambda cell: cell == "machine", most=9)
    assert (again.lines, again.head) == (table.lines, table.head) == ((3, 6), ("machine", "blade"))


def test_columns_are_lettered_as_spreadsheets_do():
    assert [letter(at) for at in (0, 25, 26, 701, 702)] == ["A", "Z", "AA", "ZZ", "AAA"]
