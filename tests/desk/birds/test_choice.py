"""What was decided of a bird stands on its page, season by season."""

from PySide6.QtWidgets import QLabel

from studbook.book.changes import Enter
from studbook.book.husbandry.choosing_rows import Choice, Verdict
from studbook.book.ids import ChoiceId
from studbook.desk.app import settle
from studbook.desk.rooms.birds.room import BirdsRoom
from studbook.desk.window import Window
from tests.desk.birds.conftest import named
from tests.flock import TODAY


def test_choices_stand_on_the_page_the_latest_first(window: Window, room: BirdsRoom) -> None:
    snapshot = window.context.record.snapshot
    assert snapshot is not None
    hazel, dart = named(snapshot, "Hazel"), named(snapshot, "Dart")
    rows = (
        Choice(ChoiceId(""), hazel.id, 2026, Verdict.RESERVE, TODAY, "young, if there is room"),
        Choice(ChoiceId(""), hazel.id, 2027, Verdict.CHOSEN, TODAY),
    )
    window.context.record.apply(Enter(rows))
    settle(window)
    room.show_bird(hazel.id)
    settle(window)
    told = room.findChild(QLabel, "page_choice_told")
    assert told is not None
    assert told.text().splitlines() == ["2027: chosen", "2026: reserve – young, if there is room"]
    room.show_bird(dart.id)
    settle(window)
    assert not room.page.choice.isVisible()
