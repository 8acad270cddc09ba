"""A table on paper."""

from pathlib import Path

import pytest
from PySide6.QtGui import QPainter
from PySide6.QtPrintSupport import QPrinter

from studbook.desk.table_paper import TablePaper
from studbook.desk.tables import Column
from studbook.desk.theme import Theme


@pytest.mark.parametrize(("rows", "least", "most"), [(3, 1, 1), (200, 3, 6)])
def test_a_long_table_takes_as_many_pages_as_it_needs(
    theme: Theme, tmp_path: Path, rows: int, least: int, most: int
) -> None:
    columns = (
        Column[int]("number", "Number", str, right=True),
        Column[int]("words", "Words", lambda row: f"hen number {row}", width=30),
    )
    printer = QPrinter()
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(tmp_path / "out.pdf"))
    painter = QPainter(printer)
    TablePaper("Hens", "Withybrook", columns, range(rows)).paint(printer, painter)
    painter.end()
    written = (tmp_path / "out.pdf").read_bytes()
    assert least <= written.count(b"/Type /Page\n") <= most
