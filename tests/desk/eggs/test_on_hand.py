"""The eggs on hand: a short table as high as its lines."""

from pytestqt.qtbot import QtBot

from studbook.book.changes import Enter
from studbook.book.husbandry.rows import Collection
from studbook.book.ids import CollectionId
from studbook.desk.window import Window
from tests.desk.eggs.conftest import TODAY, enter
from tests.season_flock import Yard


def test_the_last_line_on_hand_is_seen_whole_also_above_a_bar_for_going_sideways(
    qtbot: QtBot, window: Window, yard: Yard
) -> None:
    yard.book.apply(
        Enter(tuple(Collection(CollectionId(""), TODAY, 4, pen=pen) for pen in (yard.orchard, yard.lane)))
    )
    table = enter(window, yard).collections.on_hand.table
    assert table.rows.rowCount() == 2

    def is_whole() -> bool:
        last = table.visualRect(table.rows.index(1, 0))
        return bool(last.bottom() <= table.viewport().height())

    assert is_whole()
    table.setColumnWidth(0, 900)
    qtbot.waitUntil(lambda: table.horizontalScrollBar().maximum() > 0)
    qtbot.waitUntil(is_whole)
