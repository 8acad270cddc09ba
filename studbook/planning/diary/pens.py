"""What pens ask for: from which day eggs are covered and clear after an exchange of cocks, and planned moves."""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from studbook.book.husbandry.rows import Move, Pen, Stay
from studbook.book.ids import BirdId, PenId
from studbook.book.records import Bird, Sex
from studbook.planning.diary.outlook import Outlook
from studbook.planning.diary.task import Kind, Task
from studbook.season.paternity import clear_date
from studbook.season.species import all_species, species
from studbook.words import _

_TOLD = timedelta(days=7)
"""A date on which a pen is clear is news for a week."""


def pen_tasks(outlook: Outlook) -> Iterator[Task]:
    """The covered and clear dates of the pens as their birds stand today."""
    inside: dict[PenId, list[Stay]] = {}
    for stay in outlook.year.stays.values():
        if stay.until is None and outlook.living(stay.bird) is not None:
            inside.setdefault(stay.pen, []).append(stay)
    for pen in outlook.year.pens.values():
        if pen.closed is None and pen.id in inside:
            yield from _pen(outlook, pen, sorted(inside[pen.id], key=lambda stay: (stay.since, stay.id)))


def _pen(outlook: Outlook, pen: Pen, stays: Sequence[Stay]) -> Iterator[Task]:
    birds = {stay.bird: outlook.snapshot.bird(stay.bird) for stay in stays}
    old_enough = [stay for stay in stays if _may_breed(birds[stay.bird], outlook.today)]
    cocks = [stay for stay in old_enough if birds[stay.bird].sex is Sex.COCK]
    hens = [stay for stay in old_enough if birds[stay.bird].sex is Sex.HEN]
    if not hens:
        return
    names = tuple(stay.bird for stay in cocks)
    clear = {stay.bird: _clear(outlook, stay.bird, names) for stay in hens}
    if not cocks:
        yield from _empty_of_cocks(outlook, pen, hens, clear)
        return
    newest = cocks[-1]
    there = [stay for stay in hens if stay.since <= newest.since]
    yield from _exchanged(outlook, pen, newest, names, there, clear)
    for stay in hens:
        if stay not in there and (cleared := clear[stay.bird]) is not None:
            day = max(cleared, _covered(outlook, stay.bird, names) or cleared)
            words = _("{hen} in {pen} is clear and covered: her eggs are by {cocks} from this day on")
            text = words.format(hen=outlook.called(stay.bird), pen=pen.name, cocks=outlook.listed(names))
            yield _task(outlook, f"stay/{stay.id}/clear", pen, day, text, (stay.bird, *names))


def _exchanged(
    outlook: Outlook,
    pen: Pen,
    newest: Stay,
    cocks: tuple[BirdId, ...],
    hens: Sequence[Stay],
    clear: dict[BirdId, date | None],
) -> Iterator[Task]:
    """The pen as a whole, under the stay of the cock who came last."""
    covered = max(
        (day for stay in hens if (day := _covered(outlook, stay.bird, cocks)) is not None), default=None
    )
    cleared = max((day for stay in hens if (day := clear[stay.bird]) is not None), default=None)
    about = (*cocks, *(stay.bird for stay in hens))
    names = outlook.listed(cocks)
    if covered is not None:
        words = _("{pen} is covered: eggs are reliably fertile by {cocks} from this day on")
        yield _task(
            outlook, f"stay/{newest.id}/covered", pen, covered, words.format(pen=pen.name, cocks=names), about
        )
    if cleared is not None:
        words = _("{pen} is clear of earlier cocks: eggs are by {cocks} alone from this day on")
        yield _task(
            outlook, f"stay/{newest.id}/clear", pen, cleared, words.format(pen=pen.name, cocks=names), about
        )


def _empty_of_cocks(
    outlook: Outlook, pen: Pen, hens: Sequence[Stay], clear: dict[BirdId, date | None]
) -> Iterator[Task]:
    """A pen without a cock: from which day a new one may be put in and every egg be his."""
    days = {stay.id: day for stay in hens if (day := clear[stay.bird]) is not None}
    if days:
        last = max(days, key=lambda stay: (days[stay], stay))
        words = _("{pen} is clear: its hens lay no more eggs of an earlier cock from this day on")
        about = tuple(stay.bird for stay in hens)
        yield _task(outlook, f"stay/{last}/clear", pen, days[last], words.format(pen=pen.name), about)


def _task(outlook: Outlook, key: str, pen: Pen, day: date, words: str, birds: tuple[BirdId, ...]) -> Task:
    return Task(
        key,
        Kind.CLEAR,
        day,
        day,
        words,
        gone=day + _TOLD,
        birds=birds,
        pen=pen.id,
        ticks=outlook.ticks(key),
    )


def _clear(outlook: Outlook, hen: BirdId, cocks: tuple[BirdId, ...]) -> date | None:
    """Her clear date of every cock but those with her."""
    figures = outlook.practice(outlook.snapshot.bird(hen).species)
    return clear_date(outlook.whose.meetings(hen), figures, kept=cocks)


def _covered(outlook: Outlook, hen: BirdId, cocks: tuple[BirdId, ...]) -> date | None:
    """The day from which she is covered by one of the cocks with her."""
    begun = [
        meeting.counts_from
        for meeting in outlook.whose.meetings(hen)
        if meeting.cock in cocks and meeting.last is None and meeting.counts_from is not None
    ]
    figures = outlook.practice(outlook.snapshot.bird(hen).species)
    return min(begun) + timedelta(days=figures.covered_days) if begun else None


def _may_breed(bird: Bird, today: date) -> bool:
    known = bird.species in all_species()
    return not known or species(bird.species).may_breed(bird.sex, bird.hatched, today)


def move_tasks(outlook: Outlook) -> Iterator[Task]:
    """The planned moves of birds of the flock."""
    for move in outlook.year.moves.values():
        if outlook.living(move.bird) is not None:
            yield _move(outlook, move)


def _move(outlook: Outlook, move: Move) -> Task:
    key = f"move/{move.id}"
    bird = outlook.called(move.bird)
    if move.pen is None:
        words = _("Take {bird} out of its pen").format(bird=bird)
    else:
        words = _("Move {bird} to {pen}").format(bird=bird, pen=outlook.pen_called(move.pen))
    return Task(
        key,
        Kind.MOVE,
        move.on,
        move.on,
        words,
        move.note,
        birds=(move.bird,),
        pen=move.pen,
        row=move,
        ticks=outlook.ticks(key),
    )
