"""How the longer pages of the room fit their tables and show what has just been opened."""

from PySide6.QtWidgets import QScrollArea, QWidget

from studbook.desk.page import Page
from studbook.desk.tables import Table
from studbook.desk.theme import space


def fit_rows(table: Table, rows: int, most: int = 16) -> None:
    """Make a table as high as its rows, or as the `most` of them that are seen at once."""
    header = table.horizontalHeader().sizeHint().height()
    shown = min(rows, most) * table.verticalHeader().defaultSectionSize()
    table.setFixedHeight(header + shown + 2 * table.frameWidth() + space(1))


def reveal(page: Page, part: QWidget) -> None:
    """Scroll a page until a part of it that has just grown is seen."""
    area, layout = page.findChild(QScrollArea), page.content.layout()
    if area is not None and layout is not None:
        layout.activate()
        area.ensureWidgetVisible(part, 0, space(1))
