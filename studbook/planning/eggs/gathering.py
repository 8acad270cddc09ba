"""Changes of the tally, cell by cell: one count, one entry of the journal, one undo."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date

from studbook.book.changes import Change, Correct, Enter, Together, Withdraw
from studbook.book.errors import Problem, RecordProblems
from studbook.book.husbandry.rows import Collection
from studbook.book.ids import CollectionId
from studbook.book.records import Snapshot
from studbook.planning.eggs.week import Source
from studbook.words import _, plural


def collections_of(snapshot: Snapshot, of: Source, on: date) -> tuple[Collection, ...]:
    """What is written down of a source on a day."""
    there = snapshot.husbandry.collections_on.get(on, ())
    return tuple(row for row in there if (row.pen, row.hen) == (of.pen, of.hen))


def count_eggs(
    snapshot: Snapshot, of: Source, on: date, eggs: int | None, day_text: Callable[[date], str] = str
) -> Change | None:
    """The change after which so many eggs of a source stand under a day; ``None`` where they do already.

    Parameters
    ----------
    eggs
        ``None`` takes out what is written down: it was never looked, which is not the same as no egg.

    Raises
    ------
    RecordProblems
        If the day has several collections of the source: which of them is meant must be said.
    """
    held = collections_of(snapshot, of, on)
    where, day = source_name(snapshot, of), day_text(on)
    if len(held) > 1:
        message = _(
            "{where} has {count} collections on {day}: correct them one by one, beside the table."
        ).format(where=where, count=len(held), day=day)
        raise RecordProblems((Problem("eggs", message, field="eggs"),))
    if eggs is None:
        if not held:
            return None
        return take_out_collection(snapshot, held[0], day_text)
    if not held:
        text = plural("enter {count} egg of {where}, {day}", "enter {count} eggs of {where}, {day}", eggs)
        title = text.format(count=eggs, where=where, day=day)
        return Together((Enter((Collection(CollectionId(""), on, eggs, pen=of.pen, hen=of.hen),)),), title)
    if held[0].eggs == eggs:
        return None
    return correct_collection(snapshot, held[0], replace(held[0], eggs=eggs), day_text)


def correct_collection(
    snapshot: Snapshot, before: Collection, after: Collection, day_text: Callable[[date], str] = str
) -> Change:
    """The change of one collection."""
    where = source_name(snapshot, Source(before.pen, before.hen))
    title = _("correct the eggs of {where}, {day}").format(where=where, day=day_text(before.on))
    return Together((Correct((before,), (after,)),), title)


def another_collection(
    snapshot: Snapshot, of: Source, on: date, day_text: Callable[[date], str] = str
) -> Change:
    """The change that begins another lot of the day, to count eggs of another shell colour apart."""
    where = source_name(snapshot, of)
    title = _("begin another lot of {where}, {day}").format(where=where, day=day_text(on))
    return Together((Enter((Collection(CollectionId(""), on, 0, pen=of.pen, hen=of.hen),)),), title)


def take_out_collection(snapshot: Snapshot, row: Collection, day_text: Callable[[date], str] = str) -> Change:
    """The change that takes one lot out."""
    where = source_name(snapshot, Source(row.pen, row.hen))
    title = _("take out the eggs of {where}, {day}").format(where=where, day=day_text(row.on))
    return Together((Withdraw((row,)),), title)


def source_name(snapshot: Snapshot, of: Source) -> str:
    """What a sentence calls a pen or a hen."""
    if of.hen is not None:
        return snapshot.bird(of.hen).called if snapshot.has(of.hen) else _("a bird struck out")
    pen = snapshot.husbandry.pens.get(of.pen) if of.pen is not None else None
    return pen.name if pen is not None else _("no pen")
