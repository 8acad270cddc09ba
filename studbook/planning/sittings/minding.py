"""What to mind about a sitting: eggs kept long, a machine overfull or asked to do two things, a broody sitting long."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from enum import Enum

from studbook.book.husbandry.rows import Batch, MixedIn, Sitting
from studbook.book.husbandry.whose_egg import WhoseEgg
from studbook.book.records import Snapshot
from studbook.planning.pens.naming import When
from studbook.planning.sentences import BirdPart, Sentence, compose
from studbook.planning.sittings.counts import count_sitting, with_eggs
from studbook.planning.sittings.days import plan_of, root_of, set_on_of
from studbook.planning.sittings.names import sitting_text, source_text
from studbook.planning.sittings.standing import due_text
from studbook.season.incubation import Storage, StorageGrade, storage
from studbook.season.practice import Practice
from studbook.words import _, plural

_LONG_BY_DAYS = 7
"""A broody that has sat a week beyond the last usual day is sat out: common practice."""

_BETWEEN_DAYS = 3
"""A hen given fresh eggs within so many days has gone on sitting."""


class Matter(Enum):
    """What a remark is about."""

    AGE = "age of the eggs"
    PLACES = "places of the machine"
    TURNING = "turning"
    LONG = "sitting long"
    OTHER_DAY = "set on another day"


@dataclass(frozen=True, slots=True)
class Remark:
    """One thing to mind, as a sentence."""

    matter: Matter
    sentence: Sentence


def remarks(
    snapshot: Snapshot, asking: WhoseEgg, sitting: Sitting, today: date, day_text: When
) -> tuple[Remark, ...]:
    """Everything to mind about a sitting on a day; for one that is closed, only what stays true."""
    found = [*_ages(snapshot, asking, sitting)]
    if sitting.closed is None:
        found += _places(snapshot, sitting)
        found += _turning(snapshot, sitting, day_text)
        found += _long(snapshot, sitting, today)
        found += _other_days(snapshot, sitting, day_text)
    return tuple(found)


def age_when_set(batch: Batch | MixedIn, set_on: date, practice: Practice) -> Storage | None:
    """How old eggs were when set; None where no laying day is told or the days cannot be."""
    first, last = batch.laid_from or batch.laid_to, batch.laid_to or batch.laid_from
    if first is None or last is None or last < first or last > set_on:
        return None
    return storage(first, last, set_on, practice)


def age_sentence(age: Storage, practice: Practice) -> str:
    """How old the eggs are when set, with the caution and its source where they are old."""
    if age.youngest_days == age.oldest_days:
        text = plural("{count} day old when set.", "{count} days old when set.", age.oldest_days)
    else:
        text = plural(
            "{young} to {count} day old when set.", "{young} to {count} days old when set.", age.oldest_days
        )
    said = text.format(young=age.youngest_days, count=age.oldest_days)
    if age.grade is StorageGrade.FRESH:
        return said
    name = "storage_most_days" if age.grade is StorageGrade.OLD else "storage_warn_days"
    figure = practice.figures[name]
    caution = (
        _("Past {days} days next to nothing hatches ({source}).")
        if age.grade is StorageGrade.OLD
        else _("Past {days} days fewer hatch ({source}).")
    )
    source = _(figure.source) if figure.source else _("the keeper's own figure")
    return _("{age} {caution}").format(
        age=said, caution=caution.format(days=round(figure.value), source=source)
    )


def _ages(snapshot: Snapshot, asking: WhoseEgg, sitting: Sitting) -> Iterator[Remark]:
    practice = asking.practice(sitting.species)
    for batch in snapshot.husbandry.batches_of.get(sitting.id, ()):
        age = age_when_set(batch, sitting.set_on, practice) if batch.moved_from is None else None
        if age is not None and age.grade is not StorageGrade.FRESH:
            source = source_text(snapshot, batch)
            text = _("{source}: {age}").format(source=source, age=age_sentence(age, practice))
            yield Remark(Matter.AGE, (text,))


def _beside(snapshot: Snapshot, sitting: Sitting) -> list[Sitting]:
    """The open sittings in the same machine."""
    return [
        other
        for other in snapshot.husbandry.sittings.values()
        if other.machine == sitting.machine and other.id != sitting.id and other.closed is None
    ]


def _places(snapshot: Snapshot, sitting: Sitting) -> Iterator[Remark]:
    year = snapshot.husbandry
    machine = year.machines.get(sitting.machine) if sitting.machine is not None else None
    if machine is None or machine.places is None:
        return
    eggs = sum(count_sitting(year, each).left for each in (sitting, *_beside(snapshot, sitting)))
    if eggs > machine.places:
        text = _("{machine} holds {eggs} eggs, more than its {places} places.")
        yield Remark(Matter.PLACES, (text.format(machine=machine.name, eggs=eggs, places=machine.places),))


def _turning(snapshot: Snapshot, sitting: Sitting, day_text: When) -> Iterator[Remark]:
    if sitting.machine is None:
        return
    mine = plan_of(sitting)
    for other in _beside(snapshot, sitting):
        theirs = plan_of(other)
        first, second = (mine, theirs) if mine.lockdown <= theirs.lockdown else (theirs, mine)
        if first.lockdown < second.lockdown and second.set_on <= first.due_last:
            text = _(
                "From {lockdown} the eggs of {first} lie still and want moist air while those of {second} are still "
                "to be turned: use a second machine, or part them."
            )
            names = [sitting_text(snapshot, each, day_text) for each in (sitting, other)]
            if first is theirs:
                names.reverse()
            said = text.format(lockdown=day_text(first.lockdown), first=names[0], second=names[1])
            yield Remark(Matter.TURNING, (said,))


def _long(snapshot: Snapshot, sitting: Sitting, today: date) -> Iterator[Remark]:
    most = plan_of(sitting)
    for broody in (sitting.broody, sitting.second_broody):
        if broody is None:
            continue
        began = _sits_since(snapshot, sitting)
        days = (today - began).days
        if days > most.day(most.due_last) + _LONG_BY_DAYS:
            text = _(
                "{hen} has sat for {count} days: she eats little and loses weight. Give her chicks, or take the eggs "
                "away and break her off; look at her crop and her weight."
            )
            yield Remark(Matter.LONG, compose(text, hen=BirdPart(broody), count=str(days)))


def _sits_since(snapshot: Snapshot, sitting: Sitting) -> date:
    """The day from which the broody of a sitting has sat without a break."""
    began = sitting.set_on
    earlier = [
        other
        for other in snapshot.husbandry.sittings.values()
        if other.id != sitting.id and sitting.broody in (other.broody, other.second_broody)
    ]
    for other in sorted(earlier, key=lambda each: each.set_on, reverse=True):
        ended = other.closed or plan_of(other).due_last
        if other.set_on < began <= ended + timedelta(days=_BETWEEN_DAYS):
            began = other.set_on
    return began


def _other_days(snapshot: Snapshot, sitting: Sitting, day_text: When) -> Iterator[Remark]:
    year = snapshot.husbandry
    for batch in with_eggs(year, year.batches_of.get(sitting.id, ())):
        set_on = set_on_of(year, batch)
        if set_on == sitting.set_on:
            continue
        left = year.eggs_left(batch)
        text = plural(
            "{count} egg of {source} was set on {day}: {due}.",
            "{count} eggs of {source} were set on {day}: {due}.",
            left,
        )
        first = year.sittings[root_of(year, batch).sitting]
        said = text.format(
            count=left,
            source=source_text(snapshot, batch),
            day=day_text(set_on),
            due=due_text(plan_of(first), day_text),
        )
        yield Remark(Matter.OTHER_DAY, (said,))
