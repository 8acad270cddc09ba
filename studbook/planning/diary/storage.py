"""Eggs on hand that grow old: gathered where a cock runs, and neither set nor used since."""

from collections.abc import Iterator
from datetime import date, timedelta
from itertools import takewhile

from studbook.book.husbandry.rows import Collection
from studbook.book.records import Sex
from studbook.planning.diary.outlook import Outlook
from studbook.planning.diary.task import Kind, Task
from studbook.planning.eggs.stock import OnHand, eggs_on_hand
from studbook.words import plural

_WEEK = timedelta(days=6)
"""Eggs laid within a week of the oldest are told with it."""


def storage_tasks(outlook: Outlook) -> Iterator[Task]:
    """One task for each week's eggs of a pen or hen that are still on hand."""
    for on_hand in eggs_on_hand(outlook.snapshot, outlook.today):
        rest = on_hand.laid
        while rest and _meets_a_cock(outlook, on_hand, rest[0][0]):
            oldest = rest[0][0]
            week = tuple(takewhile(lambda lot, oldest=oldest: lot[0] <= oldest + _WEEK, rest))  # type: ignore[misc]
            rest = rest[len(week) :]
            found = _oldest_collection(outlook, on_hand, oldest)
            if found is not None:
                yield _task(outlook, on_hand, found, sum(eggs for _day, eggs in week))


def _oldest_collection(outlook: Outlook, on_hand: OnHand, day: date) -> Collection | None:
    """The collection that gives the task its lasting key."""
    for row in outlook.year.collections_on.get(day, ()):
        if row.hen == on_hand.of.hen and (row.hen is not None or row.pen == on_hand.of.pen):
            return row
    return None


def _task(outlook: Outlook, on_hand: OnHand, oldest: Collection, eggs: int) -> Task:
    key = f"collection/{oldest.id}/ageing"
    pen, hen = on_hand.of.pen, on_hand.of.hen
    where = outlook.called(hen) if hen is not None else outlook.pen_called(pen)
    words = plural(
        "Set or use {count} egg of {where}, laid on {day}",
        "Set or use {count} eggs of {where}, the oldest laid on {day}",
        eggs,
    )
    hint = plural(
        "Fewer hatch after {count} day of storage.",
        "Fewer hatch after {count} days of storage.",
        on_hand.warn_days,
    )
    code = outlook.snapshot.bird(hen).species if outlook.snapshot.has(hen) and hen is not None else None
    most = outlook.practice(code or outlook.snapshot.details.species).storage_most_days
    until = oldest.on + timedelta(days=most)
    return Task(
        key,
        Kind.STORAGE,
        oldest.on + timedelta(days=on_hand.warn_days),
        until,
        words.format(count=eggs, where=where, day=outlook.day_text(oldest.on)),
        hint.format(count=on_hand.warn_days),
        gone=until + timedelta(days=1),
        birds=(hen,) if hen is not None else (),
        pen=pen,
        ticks=outlook.ticks(key),
    )


def _meets_a_cock(outlook: Outlook, on_hand: OnHand, day: date) -> bool:
    """True when the eggs may be meant for hatching: a cock runs with the hens, or she has met one."""
    pen, hen = on_hand.of.pen, on_hand.of.hen
    if hen is not None:
        return bool(outlook.whose.meetings(hen))
    return any(
        stay.until is None or stay.until >= day
        for stay in (outlook.year.stays_in.get(pen, ()) if pen is not None else ())
        if stay.since <= outlook.today
        and outlook.snapshot.has(stay.bird)
        and outlook.snapshot.bird(stay.bird).sex is Sex.COCK
    )
