"""What an evening asks of each house: birds apart, sittings, and what the diary has due."""

from collections.abc import Iterator
from datetime import date, timedelta

from studbook.book.husbandry.rows import Apart, Job, Move, Sitting
from studbook.book.husbandry.wording import apart_word
from studbook.book.ids import HouseId
from studbook.book.records import Snapshot
from studbook.papers.sheets.evening_round import Blank, RoundLine
from studbook.papers.sheets.sheet import named, plain_day
from studbook.papers.sheets.sitting_card import is_under_way, sitting_name
from studbook.papers.sheets.walk import house_of_apart, house_of_bird, house_of_sitting
from studbook.planning.diary.agenda import LOOK_BACK, due
from studbook.planning.diary.task import Kind, Standing, Task
from studbook.planning.sittings.days import plan_of
from studbook.words import _

_ASKED = (Kind.CANDLING, Kind.LOCKDOWN, Kind.HATCH, Kind.TRIAL, Kind.MOVE, Kind.RINGS, Kind.MARKS, Kind.JOB)
"""What the diary has due in the houses, in this order; birds apart are looked at every evening."""

_OPENS_BEFORE = timedelta(days=7)
"""No task opens longer before its day: the window of a hatch."""


def tonight(snapshot: Snapshot, today: date) -> tuple[RoundLine, ...]:
    """The lines of an evening, beside the eggs and birds which every house with pens is asked for."""
    return (
        *_birds_apart(snapshot, today),
        *_every_evening(snapshot, today),
        *_due(snapshot, today),
    )


def _birds_apart(snapshot: Snapshot, today: date) -> Iterator[RoundLine]:
    for apart in snapshot.husbandry.aparts.values():
        over = apart.since > today or (apart.until is not None and apart.until <= today)
        if over or not snapshot.has(apart.bird) or not snapshot.bird(apart.bird).is_living:
            continue
        text = _("Look at {bird}, apart since {day}: {reason}").format(
            bird=named(snapshot.bird(apart.bird)), day=plain_day(apart.since), reason=apart_word(apart.reason)
        )
        if apart.place.strip():
            text = _("{what}; in {place}").format(what=text, place=apart.place)
        if apart.review is not None and apart.review <= today:
            text = _("{what}; to be thought about again").format(what=text)
        yield RoundLine(text, house_of_apart(snapshot, apart, today))


def _every_evening(snapshot: Snapshot, today: date) -> Iterator[RoundLine]:
    """Eggs in a machine are turned until the lockdown; a broody is seen to sit until her chicks are due."""
    under_way = [sitting for sitting in snapshot.husbandry.sittings.values() if is_under_way(sitting, today)]
    for sitting in sorted(under_way, key=lambda sitting: sitting.set_on):
        days, name = plan_of(sitting), sitting_name(snapshot, sitting)
        house, day = house_of_sitting(snapshot, sitting, today), days.day(today)
        if sitting.machine is not None and today < days.lockdown:
            text = _("Turn the eggs: {sitting}, day {day}").format(sitting=name, day=day)
            yield RoundLine(text, house, asks=False)
        elif sitting.broody is not None and today < days.due_first:
            text = _("She sits, has water and feed: {sitting}, day {day}").format(sitting=name, day=day)
            yield RoundLine(text, house, asks=False)


def _due(snapshot: Snapshot, today: date) -> Iterator[RoundLine]:
    tasks = due(snapshot, today - LOOK_BACK, today + _OPENS_BEFORE, today, plain_day)
    for kind in _ASKED:
        for task in tasks:
            if task.kind is kind and task.standing(today) in (Standing.NOW, Standing.OVERDUE):
                yield RoundLine(
                    task.words, _house(snapshot, task, today), _blanks(kind), asks=kind is not Kind.MOVE
                )


def _blanks(kind: Kind) -> tuple[Blank, ...]:
    if kind is Kind.CANDLING:
        return Blank(_("alive")), Blank(_("clear")), Blank(_("dead"))
    if kind is Kind.HATCH:
        return Blank(_("pipped")), Blank(_("hatched"))
    return ()


def _house(snapshot: Snapshot, task: Task, today: date) -> HouseId | None:
    """Where a task is done: a bird to be moved is where it is now."""
    year = snapshot.husbandry
    match task.row:
        case Job():
            return task.row.house
        case Apart():
            return house_of_apart(snapshot, task.row, today)
        case Move():
            return house_of_bird(year, snapshot.bird(task.row.bird), today)
    sitting: Sitting | None = year.sittings.get(task.sitting) if task.sitting is not None else None
    if sitting is not None:
        return house_of_sitting(snapshot, sitting, today)
    if task.pen is not None and task.pen in year.pens:
        return year.pens[task.pen].house
    houses = {house_of_bird(year, snapshot.bird(bird), today) for bird in task.birds if snapshot.has(bird)}
    return houses.pop() if len(houses) == 1 else None
