"""What spreadsheets make of a list: separators, encodings, quotes, headings, sheets."""

import io
from datetime import datetime
from pathlib import Path

import pytest
from openpyxl import Workbook

from studbook.book.errors import BookUnusable
from studbook.book.importing.columns import Column
from studbook.book.importing.reading import read_table
from studbook.book.records import MarkKind


def table(tmp_path: Path, content: bytes, name: str = "list.csv"):
    path = tmp_path / name
    path.write_bytes(content)
    return read_table(path)


def cells(tmp_path: Path, text: str):
    return [dict(row.cells) for row in table(tmp_path, text.encode()).rows]


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_the_heading_line_tells_the_delimiter(tmp_path: Path, delimiter: str) -> None:
    text = "mark|name|note\nA1|Sloe|blue, with; a\tgood comb".replace("|", delimiter)
    text = text.replace("blue, with; a\tgood comb", '"blue, with; a\tgood comb"')
    read = table(tmp_path, text.encode())
    assert read.delimiter == delimiter
    assert read.rows[0].cells == {"mark": "A1", "name": "Sloe", "note": "blue, with; a\tgood comb"}


def test_a_delimiter_inside_a_quoted_heading_does_not_count(tmp_path: Path) -> None:
    read = table(tmp_path, b'mark;"name, or what it is called, at home";sex\nA1;Sloe;hen\n')
    assert read.delimiter == ";"
    assert read.rows[0].cells == {"mark": "A1", "sex": "hen"}
    assert read.rows[0].others == (("name, or what it is called, at home", "Sloe"),)


def test_a_first_line_that_only_names_the_separator_is_no_heading(tmp_path: Path) -> None:
    read = table(tmp_path, b"sep=;\r\nmark;name\r\nA1;Sloe\r\n")
    assert read.columns == (Column.MARK, Column.NAME)
    assert read.rows[0].line == 3


@pytest.mark.parametrize(
    ("encoding", "reported"),
    [
        ("utf-8", "utf-8"),
        ("utf-8-sig", "utf-8-sig"),
        ("utf-16", "utf-16"),
        ("windows-1252", "windows-1252"),
    ],
)
def test_the_encoding_is_found_and_said(tmp_path: Path, encoding: str, reported: str) -> None:
    read = table(tmp_path, "mark,name\nA1,Señor Bjørn\n".encode(encoding))
    assert read.encoding == reported
    assert read.rows[0].cells == {"mark": "A1", "name": "Señor Bjørn"}


def test_lines_are_counted_as_an_editor_shows_them(tmp_path: Path) -> None:
    text = 'mark,name,note\r\n\r\nA1,Sloe,"two\r\nlines"\r\n,,\r\nA2,Ivy,\r\n'
    read = table(tmp_path, text.encode())
    assert [row.line for row in read.rows] == [3, 6]
    assert read.rows[0].cells["note"] == "two\r\nlines"


def test_old_line_ends_are_lines(tmp_path: Path) -> None:
    assert [row.line for row in table(tmp_path, b"mark,name\rA1,Sloe\rA2,Ivy\r").rows] == [2, 3]


def test_headings_come_in_any_order_case_and_wording(tmp_path: Path) -> None:
    text = "MOTHER;Date of Birth ; Father; Colour; Gender;Ring_No.;Remarks\nB07;2019;A12;blue;hen;C1;calm\n"
    assert cells(tmp_path, text) == [
        {
            Column.DAM: "B07",
            Column.HATCHED: "2019",
            Column.SIRE: "A12",
            Column.COLOUR: "blue",
            Column.SEX: "hen",
            Column.MARK: "C1",
            Column.NOTE: "calm",
        }
    ]


def test_a_columns_own_name_wins_over_another_word_for_it(tmp_path: Path) -> None:
    read = table(tmp_path, b"ring,mark\nold,new\n")
    assert read.rows[0].cells == {"mark": "new"}
    assert read.other_columns == ("ring",)


def test_a_column_of_wing_tags_holds_wing_tags(tmp_path: Path) -> None:
    assert table(tmp_path, b"wing tag,name\n12,Sloe\n").mark_kind is MarkKind.WING_TAG


def test_two_columns_of_one_heading_are_a_problem(tmp_path: Path) -> None:
    (problem,) = table(tmp_path, b"mark,sire,Sire\nA1,B,C\n").problems
    assert (problem.line, problem.column) == (1, "sire")


def test_without_mark_and_name_the_headings_are_a_problem(tmp_path: Path) -> None:
    (problem,) = table(tmp_path, b"A1,Sloe,hen\nA2,Ivy,hen\n").problems
    assert problem.line == 1
    assert "A1" in problem.message


def test_an_open_quotation_mark_is_found_where_it_opens(tmp_path: Path) -> None:
    read = table(tmp_path, b'mark,name\nA1,Sloe\nA2,"Ivy\nA3,Vetch\nA4,Hazel\n')
    assert [problem.line for problem in read.problems] == [3]


def test_a_line_with_too_many_fields_is_a_problem(tmp_path: Path) -> None:
    read = table(tmp_path, b"mark,note\nA1,calm\nA2,blue, calm\n")
    assert [problem.line for problem in read.problems] == [3]


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "empty"),
        (b" \r\n\r\n", "empty"),
        (b";;;\n;;\n", "empty"),
        (b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR", "no list"),
        (b"SQLite format 3\x00\x10\x00", "no list"),
        (b"PK\x03\x04 torn", "damaged"),
        (bytes.fromhex("d0cf11e0a1b11ae1") + "EncryptedPackage".encode("utf-16-le"), "password"),
        (bytes.fromhex("d0cf11e0a1b11ae1") + "Workbook".encode("utf-16-le"), "older kind"),
    ],
)
def test_a_file_that_is_no_list_is_refused_in_words(tmp_path: Path, content: bytes, said: str) -> None:
    with pytest.raises(BookUnusable, match=said):
        table(tmp_path, content)


def test_a_missing_file_and_a_folder_are_refused_in_words(tmp_path: Path) -> None:
    with pytest.raises(BookUnusable, match="cannot be read"):
        read_table(tmp_path / "missing.csv")
    with pytest.raises(BookUnusable, match="cannot be read"):
        read_table(tmp_path)


def workbook_bytes(*sheets: list[list[object]]) -> bytes:
    workbook = Workbook()
    workbook.remove(workbook.active)
    for rows in sheets:
        sheet = workbook.create_sheet()
        for row in rows:
            sheet.append(row)
    content = io.BytesIO()
    workbook.save(content)
    return content.getvalue()


def test_a_spreadsheet_reads_as_a_person_would_write_it(tmp_path: Path) -> None:
    content = workbook_bytes(
        [
            ["Mark", "Name", "Hatched", "Sire", "Weight"],
            [12.0, "Sloe", datetime(2019, 5, 4), "007", 2.35],
            [None, None, None, None, None],
            ["0012", "Ivy", 2018, 12, None],
        ]
    )
    read = table(tmp_path, content, "list.xlsx")
    assert [row.line for row in read.rows] == [2, 4]
    assert read.rows[0].cells == {"mark": "12", "name": "Sloe", "hatched": "2019-05-04", "sire": "007"}
    assert read.rows[0].others == (("Weight", "2.35"),)
    assert read.rows[1].cells == {"mark": "0012", "name": "Ivy", "hatched": "2018", "sire": "12"}
    assert (read.encoding, read.delimiter) == ("", "")


def test_a_number_shown_with_leading_zeros_keeps_them(tmp_path: Path) -> None:
    workbook = Workbook()
    workbook.active.append(["mark", "name"])
    workbook.active.append([7, "Sloe"])
    workbook.active["A2"].number_format = "0000"
    workbook.save(tmp_path / "list.xlsx")
    assert read_table(tmp_path / "list.xlsx").rows[0].cells["mark"] == "0007"


def test_the_sheet_with_the_list_is_found(tmp_path: Path) -> None:
    content = workbook_bytes([["Our flock in 2019"]], [["ring", "sex"], ["A1", "hen"]])
    assert table(tmp_path, content, "list.xlsx").rows[0].cells == {"mark": "A1", "sex": "hen"}


def test_a_spreadsheet_is_known_by_its_content(tmp_path: Path) -> None:
    content = workbook_bytes([["mark"], ["A1"]])
    assert table(tmp_path, content, "list.csv").rows[0].cells == {"mark": "A1"}
    assert table(tmp_path, b"mark\nA1\n", "list.xlsx").rows[0].cells == {"mark": "A1"}
