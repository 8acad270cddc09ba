"""A batch that is still being written: whose its eggs would be, and what the counts of a form get wrong."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from studbook.book.errors import Problem
from studbook.book.husbandry.rows import Batch, MixedIn, Sitting
from studbook.book.husbandry.whose_egg import Whose, WhoseEgg
from studbook.words import _, plural


def whose_draft(asking: WhoseEgg, sitting: Sitting, batch: Batch, mixed: Sequence[MixedIn] = ()) -> Whose:
    """Whose the eggs of a batch would be, before any of it is in the book."""
    year = replace(
        asking.year,
        sittings={**asking.year.sittings, sitting.id: sitting},
        batches={**asking.year.batches, batch.id: batch},
        mixed_in={
            **asking.year.mixed_in,
            **{lot.id: replace(lot, batch=batch.id) for lot in mixed},
        },
    )
    return WhoseEgg(asking.birds, year).of_batch(batch)


def too_many(told: int, left: int, source: str, field: str) -> tuple[Problem, ...]:
    """The problem of more eggs told of than are left in a batch; none when they fit."""
    if told <= left:
        return ()
    text = plural(
        "{source}: {told} eggs told of, but only {count} is left: correct the counts.",
        "{source}: {told} eggs told of, but only {count} are left: correct the counts.",
        left,
    )
    return (Problem("count", text.format(source=source, told=told, count=left), field=field),)


def before_setting(day: date | None, set_on: date, today: date, field: str) -> tuple[Problem, ...]:
    """The problem of a day before the eggs were set or still to come; none when it fits."""
    if day is None:
        return (Problem("date", _("Enter the day, with month and year."), field=field),)
    if day < set_on:
        text = _("That is before the eggs were set on {set_on}: correct the day.")
        return (Problem("date", text.format(set_on=set_on), field=field),)
    if day > today:
        return (Problem("date", _("That day is still to come: correct it."), field=field),)
    return ()
