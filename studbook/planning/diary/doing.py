"""Doing a task and taking it back, as changes of the record."""

from dataclasses import replace
from datetime import date

from studbook.book.changes import CarryOut, Change, Correct, Enter, Together, Withdraw
from studbook.book.husbandry.rows import Apart, Move, Tick
from studbook.book.ids import TickId
from studbook.book.records import Snapshot
from studbook.planning.diary.birds import review_day
from studbook.planning.diary.outlook import DayText, Outlook
from studbook.planning.diary.task import Task
from studbook.words import _


def do(task: Task, snapshot: Snapshot, today: date, day_text: DayText = date.isoformat) -> Change:
    """The change that does a task: a move is carried out, a bird looked at gets its next day, all else is ticked."""
    match task.row:
        case Move() as move:
            return CarryOut((move,), today)
        case Apart() as apart:
            outlook = Outlook(snapshot, today, today, today)
            again = review_day(outlook, apart, today)
            title = _("look at {bird} again on {day}").format(
                bird=outlook.called(apart.bird), day=day_text(again)
            )
            return Together((Correct((apart,), (replace(apart, review=again),)),), title)
    tick = Enter((Tick(TickId(""), task.key, today),))
    return Together((tick,), _("tick “{task}”").format(task=task.words))


def take_back(task: Task) -> Change:
    """The change that makes a ticked task open again."""
    return Together((Withdraw(task.ticks),), _("open “{task}” again").format(task=task.words))
