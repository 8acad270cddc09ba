"""The page Outcome."""

from studbook.book.records import Snapshot
from studbook.desk.context import Context
from studbook.desk.rooms.eggs.page import Page


class OutcomePage(Page):
    """The page Outcome."""

    def __init__(self, context: Context) -> None:
        super().__init__(context, "eggs_outcome")

    def show_snapshot(self, snapshot: Snapshot) -> None:
        self.show_content()
