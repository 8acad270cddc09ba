"""What sittings ask for: candlings, the lockdown, the hatch."""

from collections.abc import Iterator
from datetime import date, timedelta

from studbook.book.husbandry.rows import Batch, Sitting
from studbook.planning.diary.outlook import Outlook
from studbook.planning.diary.task import Kind, Task
from studbook.planning.sittings.counts import count_sitting, last_candling, with_eggs
from studbook.planning.sittings.days import plan_of
from studbook.season.incubation import MOST_DAYS, all_incubations
from studbook.words import _


def sitting_tasks(outlook: Outlook) -> Iterator[Task]:
    """The tasks of every sitting that may have one in the days asked about."""
    reach = timedelta(days=MOST_DAYS)
    kinds = {kind.species for kind in all_incubations().values()}
    for sitting in outlook.year.sittings.values():
        known = sitting.species in kinds
        if known and outlook.first - reach <= sitting.set_on <= outlook.last:
            yield from _tasks(outlook, sitting)


def eggs_called(outlook: Outlook, sitting: Sitting) -> str:
    """What a task calls the eggs of a sitting: by its name, else by who or what hatches them."""
    if sitting.name.strip():
        return _("the eggs of {sitting}").format(sitting=sitting.name)
    if sitting.broody is not None:
        return _("the eggs under {broody}").format(broody=outlook.called(sitting.broody))
    machine = outlook.year.machines.get(sitting.machine) if sitting.machine is not None else None
    return _("the eggs in {machine}").format(machine=machine.name if machine is not None else _("no machine"))


def is_candled(outlook: Outlook, batches: tuple[Batch, ...], since: date) -> bool:
    """True when every one of these batches was looked at on that day or later."""
    seen = [last_candling(outlook.year, batch) for batch in batches]
    return bool(seen) and all(candling is not None and candling.on >= since for candling in seen)


def _tasks(outlook: Outlook, sitting: Sitting) -> Iterator[Task]:
    count = count_sitting(outlook.year, sitting)
    if not count.eggs:
        return
    days = plan_of(sitting)
    batches = outlook.year.batches_of.get(sitting.id, ())
    is_over = sitting.closed is not None or not count.left
    eggs, set_on = eggs_called(outlook, sitting), outlook.day_text(sitting.set_on)

    def task(
        key: str, kind: Kind, day: date, until: date, words: str, *, recorded: bool, hint: str = "",
        opens: date | None = None, gone: date | None = None,
    ) -> Task:  # fmt: skip
        name = f"sitting/{sitting.id}/{key}"
        text = words.format(eggs=eggs, day=set_on)
        return Task(
            name,
            kind,
            day,
            until,
            text[:1].upper() + text[1:],
            hint,
            opens,
            gone,
            sitting=sitting.id,
            ticks=outlook.ticks(name),
            recorded=is_over or recorded,
        )

    for place, candling in enumerate(days.candlings):
        if place == 0 and all(batch.trial is not None for batch in batches):
            # the trial asks for it
            continue
        later = days.candlings[place + 1].on if place + 1 < len(days.candlings) else days.due_first
        yield task(
            f"candling/{place + 1}",
            Kind.CANDLING,
            candling.on,
            candling.until,
            _("Candle {eggs} again, set on {day}") if place else _("Candle {eggs}, set on {day}"),
            recorded=is_candled(outlook, with_eggs(outlook.year, batches), candling.on),
            hint=_("In time until {day}.").format(day=outlook.day_text(candling.until)),
            gone=later,
        )
    if sitting.machine is not None:
        yield task(
            "lockdown",
            Kind.LOCKDOWN,
            days.lockdown,
            days.lockdown,
            _("Stop turning {eggs}, set on {day}"),
            recorded=sitting.parted is not None or count.hatched > 0,
            hint=_(
                "For a pedigree hatch part them into compartments by hen or pen. Humidity as the machine's maker says."
            ),
            gone=days.due_first,
        )
    first, last = outlook.day_text(days.due_first), outlook.day_text(days.due_last)
    yield task(
        "hatch",
        Kind.HATCH,
        days.due,
        days.due_last,
        _("Chicks due: {eggs}, set on {day}"),
        recorded=False,
        hint=_("Expected from {first} to {last}. Write down the end of every egg.").format(
            first=first, last=last
        ),
        opens=days.due_first,
    )
