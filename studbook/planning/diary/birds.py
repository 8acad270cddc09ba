"""What birds ask for: a look at those apart, rings of growing birds, toe punches, marks for adults."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from studbook.book.husbandry.rows import Apart
from studbook.book.husbandry.wording import apart_word
from studbook.book.ids import SittingId
from studbook.book.records import Bird, Mark, MarkKind
from studbook.dates import Precision
from studbook.planning.diary.outlook import Outlook
from studbook.planning.diary.task import Kind, Task
from studbook.season.practice import ApartReason, Practice
from studbook.words import _, plural

_REMARK_SPAN = timedelta(days=28)
"""Adult rings are fitted over about four weeks (large fowl: 8 to 12 weeks of age); from memory."""
_PUNCH_SPAN = timedelta(days=7)
_LEG_RINGS = (MarkKind.RING, MarkKind.RING_COLOUR)


def apart_tasks(outlook: Outlook) -> Iterator[Task]:
    """The looks at the birds that are apart."""
    for apart in outlook.year.aparts.values():
        bird = outlook.living(apart.bird)
        if apart.until is None and bird is not None:
            yield _look(outlook, apart)


def review_day(outlook: Outlook, apart: Apart, since: date) -> date:
    """The day after `since` on which a bird apart is looked at again, by the practice of its species."""
    figures = outlook.practice(outlook.snapshot.bird(apart.bird).species)
    return since + timedelta(days=figures.review_days(apart.reason))


def _look(outlook: Outlook, apart: Apart) -> Task:
    key = f"apart/{apart.id}/review"
    day = apart.review or review_day(outlook, apart, apart.since)
    words = _("Look at {bird}, apart: {reason}").format(
        bird=outlook.called(apart.bird), reason=apart_word(apart.reason)
    )
    ill = apart.reason in (ApartReason.ILL, ApartReason.HURT)
    return Task(
        key,
        Kind.REVIEW,
        day,
        day,
        words,
        _("This program names no disease: a vet decides.") if ill else "",
        birds=(apart.bird,),
        row=apart,
        # a look made before the day was put off does not count for the new one
        ticks=tuple(tick for tick in outlook.ticks(key) if tick.on >= day),
    )


@dataclass(frozen=True, slots=True)
class _Hatch:
    """Birds that hatched together: those of one sitting, or of one species and day."""

    key: str
    hatched: date
    sitting: SittingId | None
    figures: Practice
    birds: tuple[Bird, ...]


def mark_tasks(outlook: Outlook) -> Iterator[Task]:
    """Toe punches to be looked at again and marks to be changed for an adult's, hatch by hatch."""
    for hatch in _hatches(outlook):
        yield from _punches(outlook, hatch)
        yield from _adult_marks(outlook, hatch)


def _punches(outlook: Outlook, hatch: _Hatch) -> Iterator[Task]:
    punched = [bird for bird in hatch.birds if any(_is(mark, MarkKind.TOE_PUNCH) for mark in bird.marks)]
    if punched:
        words = plural(
            "Look at the toe punch of {bird} again",
            "Look at the toe punches of {count} birds hatched {day} again",
            len(punched),
        )
        day = hatch.hatched + timedelta(days=hatch.figures.toe_punch_check_days)
        hint = _("The web can grow together. Whether toes may be punched is for local rules to say.")
        yield _of_hatch(outlook, hatch, "toe punch", day, day + _PUNCH_SPAN, words, hint, punched)


def _adult_marks(outlook: Outlook, hatch: _Hatch) -> Iterator[Task]:
    day = hatch.hatched + timedelta(days=hatch.figures.remark_days)
    fitting = _rings_fit_from(hatch.hatched, hatch.figures)
    wanting = [bird for bird in hatch.birds if not _has_adult_mark(bird, fitting)]
    marked_again = [bird for bird in hatch.birds if bird not in wanting and len(bird.marks) > 1]
    if not wanting and not marked_again:
        return
    words = plural(
        "Give {bird} its adult mark",
        "Give {count} birds hatched {day} their adult marks",
        len(wanting or marked_again),
    )
    hint = _("A chick's ring left on grows in. The ring must fit the grown leg.")
    yield _of_hatch(
        outlook, hatch, "adult mark", day, day + _REMARK_SPAN, words, hint, wanting or marked_again,
        recorded=not wanting,
    )  # fmt: skip


def _of_hatch(
    outlook: Outlook,
    hatch: _Hatch,
    what: str,
    day: date,
    until: date,
    words: str,
    hint: str,
    birds: Sequence[Bird],
    *,
    recorded: bool = False,
) -> Task:
    key = f"{hatch.key}/{what}"
    bird, hatched = outlook.called(birds[0].id), outlook.day_text(hatch.hatched)
    return Task(
        key,
        Kind.MARKS,
        day,
        until,
        words.format(bird=bird, count=len(birds), day=hatched),
        hint,
        birds=tuple(bird.id for bird in birds),
        ticks=outlook.ticks(key),
        recorded=recorded,
    )


def _hatches(outlook: Outlook) -> Iterator[_Hatch]:
    """The hatches young enough to have a mark looked at in the days asked about, with their living birds."""
    year = outlook.year
    found: dict[tuple[str, date, str], tuple[str, SittingId | None, list[Bird]]] = {}
    earliest = outlook.first - timedelta(days=366)
    for bird in outlook.snapshot.birds:
        if bird.hatched.precision is not Precision.DAY or bird.hatched.about or bird.placeholder:
            continue
        hatched = bird.hatched.earliest
        if not earliest <= hatched <= outlook.last:
            continue
        batch = year.batch_of.get(bird.id)
        sitting = year.batches[batch].sitting if batch is not None else None
        key = f"sitting/{sitting}" if sitting is not None else f"bird/{bird.id}"
        group = found.setdefault((str(sitting or ""), hatched, bird.species), (key, sitting, []))
        if bird.is_living:
            group[2].append(bird)
    for (_sitting, hatched, _species), (key, sitting, birds) in found.items():
        if birds:
            yield _Hatch(key, hatched, sitting, outlook.practice(birds[0].species), tuple(birds))


def _has_adult_mark(bird: Bird, since: date) -> bool:
    """True when it wears a tag or chip, or a ring that was not put on before `since`."""
    for mark in bird.marks:
        if not mark.is_worn or not mark.kind.is_own:
            continue
        if mark.kind is not MarkKind.RING or not _was_put_on_before(mark, since):
            return True
    return False


def _rings_fit_from(hatched: date, figures: Practice) -> date:
    """The day from which a ring put on is taken to be one for life: half the age at which adult rings are fitted."""
    return hatched + timedelta(days=figures.remark_days // 2)


def _was_put_on_before(mark: Mark, day: date) -> bool:
    return mark.since.is_known and mark.since.latest < day


def _is(mark: Mark, kind: MarkKind) -> bool:
    return mark.is_worn and mark.kind is kind


def ring_tasks(outlook: Outlook) -> Iterator[Task]:
    """A look at the rings of growing birds every week: one task for all of them."""
    growing = [
        (bird, grown)
        for bird in outlook.snapshot.living
        if bird.hatched.year is not None
        and bird.hatched.year >= outlook.first.year - 1
        and (grown := _grown(outlook, bird)) is not None
        and grown > outlook.first
    ]
    if not growing:
        return
    step = min(outlook.practice(bird.species).ring_check_days for bird, _day in growing) or 1
    first = max(outlook.first, min(bird.hatched.earliest for bird, _day in growing))
    # counted from the first Monday of the calendar, so that the days are the same whoever hatches
    day = date.fromordinal(first.toordinal() + (1 - first.toordinal()) % step)
    last = min(outlook.last, max(grown for _bird, grown in growing))
    while day <= last:
        there = [
            bird for bird, grown in growing if bird.hatched.earliest + timedelta(days=step) <= day < grown
        ]
        if there:
            yield _rings(outlook, day, step, there)
        day += timedelta(days=step)


def _rings(outlook: Outlook, day: date, step: int, birds: Sequence[Bird]) -> Task:
    key = f"rings/{day.isoformat()}"
    words = plural(
        "Look at the ring of {bird}, still growing", "Look at the rings of {count} growing birds", len(birds)
    )
    after = day + timedelta(days=step)
    return Task(
        key,
        Kind.RINGS,
        day,
        after - timedelta(days=1),
        words.format(bird=outlook.called(birds[0].id), count=len(birds)),
        _("A ring that is too small grows in: it must turn and slide freely."),
        gone=after,
        birds=tuple(bird.id for bird in birds),
        ticks=outlook.ticks(key),
    )


def _grown(outlook: Outlook, bird: Bird) -> date | None:
    """Until when a bird's ring is looked at: the age of first laying; None where it wears no chick's ring."""
    if bird.hatched.precision is not Precision.DAY:
        return None
    figures = outlook.practice(bird.species)
    fitting = _rings_fit_from(bird.hatched.earliest, figures)
    rings = [mark for mark in bird.marks if mark.is_worn and mark.kind in _LEG_RINGS]
    if not any(not mark.since.is_known or _was_put_on_before(mark, fitting) for mark in rings):
        return None
    return bird.hatched.latest + timedelta(days=figures.laying_age_days)
