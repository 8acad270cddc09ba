"""The page Sittings."""

from studbook.book.records import Snapshot
from studbook.desk.context import Context
from studbook.desk.rooms.eggs.page import Page


class SittingsPage(Page):
    """What is set, and when is it due?"""

    def __init__(self, context: Context) -> None:
        super().__init__(context, "eggs_sittings")

    def show_snapshot(self, snapshot: Snapshot) -> None:
        self.show_content()


def build_sittings(context: Context) -> SittingsPage:
    """The page."""
    return SittingsPage(context)
