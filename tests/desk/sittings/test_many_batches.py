"""A sitting of very many batches: it tells the first of them, and all of them when asked."""

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from studbook.book.changes import Enter
from studbook.book.husbandry.rows import Batch, EggFate, Fate, Sitting
from studbook.book.ids import BatchId, EggFateId, SittingId
from studbook.book.records import Snapshot
from studbook.desk.rooms.eggs.sittings.page import SittingsPage
from studbook.words import plural
from tests.desk.sittings.conftest import press
from tests.season_flock import Yard, new_yard

LAST = 40
LAID = date(2027, 1, 20)


@pytest.fixture
def yard(tmp_path: Path) -> Yard:
    """Forty batches of the Orchard in one sitting, each of as many eggs as its place; chicks of the last hatched."""
    made = new_yard(tmp_path / "withybrook.studbook")
    sitting = Sitting(SittingId(made.book.new_id()), date(2027, 1, 23), machine=made.machine)
    batches = tuple(
        Batch(BatchId(made.book.new_id()), sitting.id, number, pen=made.orchard, laid_from=LAID, laid_to=LAID)
        for number in range(1, LAST + 1)
    )
    made.book.apply(Enter((sitting, *batches)))
    hatched = EggFate(EggFateId(""), batches[-1].id, Fate.HATCHED, 3, date(2027, 2, 13))
    made.book.apply(Enter((hatched,)))
    made.book.close()
    return made


def told(page: SittingsPage) -> list[int]:
    """The sizes of the batches whose lines are read."""
    lines = page.sheet.eggs.toPlainText().splitlines()
    return [
        number
        for number in range(1, LAST + 1)
        if any(
            line.startswith(plural("{count} egg", "{count} eggs", number).format(count=number) + " of ")
            for line in lines
        )
    ]


def test_a_large_sitting_tells_twelve_batches_and_the_rest_by_one_press(
    qtbot: QtBot, page: SittingsPage
) -> None:
    assert told(page) == list(range(1, 13))
    assert page.sheet.more.text() == "and 28 more batches…"
    press(qtbot, page, "more_batches")
    qtbot.waitUntil(lambda: told(page) == list(range(1, LAST + 1)))
    assert not page.sheet.more.isVisible()


def test_chicks_of_a_batch_that_is_not_told_yet_can_be_registered(page: SittingsPage) -> None:
    assert told(page) == list(range(1, 13))
    assert page.findChild(object, f"register_{LAST}") is not None


def test_what_was_unfolded_stays_so_after_a_change(
    qtbot: QtBot, page: SittingsPage, book: Callable[[], Snapshot], changes: Callable[..., None]
) -> None:
    press(qtbot, page, "more_batches")
    row = next(iter(book().husbandry.egg_fates.values()))
    changes(lambda: page.context.record.apply(Enter((_one_more(row),))))
    qtbot.waitUntil(lambda: told(page) == list(range(1, LAST + 1)))


def _one_more(row: EggFate) -> EggFate:
    return EggFate(EggFateId(""), row.batch, Fate.HATCHED, 1, row.on)
