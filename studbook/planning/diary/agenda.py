"""What is due: the tasks of some days, and today's agenda."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from studbook.book.husbandry.rows import Job
from studbook.book.records import Snapshot
from studbook.planning.diary.birds import apart_tasks, mark_tasks, ring_tasks
from studbook.planning.diary.jobs import job_tasks
from studbook.planning.diary.outlook import DayText, Outlook
from studbook.planning.diary.pens import move_tasks, pen_tasks
from studbook.planning.diary.sittings import sitting_tasks
from studbook.planning.diary.storage import storage_tasks
from studbook.planning.diary.task import Kind, Standing, Task
from studbook.planning.diary.trials import trial_tasks

WEEK_DAYS = 7
"""The days an agenda looks ahead, today among them."""

LOOK_BACK = timedelta(days=366)
"""How far back an agenda looks for what was left undone."""

_SOURCES = (
    apart_tasks,
    sitting_tasks,
    trial_tasks,
    move_tasks,
    storage_tasks,
    ring_tasks,
    mark_tasks,
    pen_tasks,
    job_tasks,
)


def due(
    snapshot: Snapshot, first: date, last: date, today: date, day_text: DayText = date.isoformat
) -> tuple[Task, ...]:
    """Every task whose day lies between `first` and `last`, done or not, in the order of their days.

    `today` is the day from which the record is looked at; `day_text` writes the days inside the words.
    """
    outlook = Outlook(snapshot, first, last, today, day_text)
    found = [task for source in _SOURCES for task in source(outlook) if first <= task.day <= last]
    order = list(Kind)
    return tuple(sorted(found, key=lambda task: (task.day, order.index(task.kind), task.words, task.key)))


@dataclass(frozen=True)
class Agenda:
    """What the keeper is to do.

    Attributes
    ----------
    overdue
        What is past its last day in time, the longest first.
    now
        What is due today, or since some days and still in time.
    week
        What comes within a week, by its first day; of a job of the keeper's own the next turn alone.
    done
        What was ticked today.
    """

    today: date
    overdue: tuple[Task, ...] = ()
    now: tuple[Task, ...] = ()
    week: tuple[Task, ...] = ()
    done: tuple[Task, ...] = ()

    @property
    def is_empty(self) -> bool:
        """True when there is nothing to do and nothing was ticked."""
        return not (self.overdue or self.now or self.week or self.done)


def agenda(
    snapshot: Snapshot,
    today: date,
    day_text: DayText = date.isoformat,
    last: date | None = None,
) -> Agenda:
    """What is overdue, due today and due up to `last` (by default within a week)."""
    end = last or today + timedelta(days=WEEK_DAYS - 1)
    tasks = due(snapshot, today - LOOK_BACK, end, today, day_text)
    by_standing: dict[Standing, list[Task]] = {standing: [] for standing in Standing}
    for task in tasks:
        by_standing[task.standing(today)].append(task)
    return Agenda(
        today,
        tuple(sorted(by_standing[Standing.OVERDUE], key=lambda task: task.until)),
        tuple(by_standing[Standing.NOW]),
        tuple(_next_turns(by_standing)),
        tuple(task for task in by_standing[Standing.DONE] if any(tick.on == today for tick in task.ticks)),
    )


def _next_turns(by_standing: dict[Standing, list[Task]]) -> Iterator[Task]:
    """What is to come, without the later turns of a job that is asked for already."""
    asked = {task.row for standing in (Standing.OVERDUE, Standing.NOW) for task in by_standing[standing]}
    for task in sorted(by_standing[Standing.TO_COME], key=lambda task: task.first_day):
        if not isinstance(task.row, Job) or task.row not in asked:
            yield task
        asked.add(task.row)
