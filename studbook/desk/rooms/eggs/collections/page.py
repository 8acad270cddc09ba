"""The page Collections."""

from studbook.book.records import Snapshot
from studbook.desk.context import Context
from studbook.desk.rooms.eggs.page import Page


class CollectionsPage(Page):
    """The page Collections."""

    def __init__(self, context: Context) -> None:
        super().__init__(context, "eggs_collections")

    def show_snapshot(self, snapshot: Snapshot) -> None:
        self.show_content()
