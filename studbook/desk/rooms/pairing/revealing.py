"""How the longer pages of the room show what has just been opened."""

from PySide6.QtWidgets import QScrollArea, QWidget

from studbook.desk.page import Page
from studbook.desk.theme import space


def reveal(page: Page, part: QWidget) -> None:
    """Scroll a page until a part of it that has just grown is seen."""
    area, layout = page.findChild(QScrollArea), page.content.layout()
    if area is not None and layout is not None:
        layout.activate()
        area.ensureWidgetVisible(part, 0, space(1))
