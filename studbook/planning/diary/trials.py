"""What fertility trials ask for: when eggs count, when to set and candle them, when to decide."""

from collections.abc import Iterator
from datetime import date, timedelta

from studbook.book.husbandry.rows import Decision, Trial
from studbook.book.ids import SittingId
from studbook.planning.diary.outlook import Outlook
from studbook.planning.diary.sittings import is_candled
from studbook.planning.diary.task import Kind, Task
from studbook.planning.sittings.days import plan_of
from studbook.season.incubation import all_incubations, plan
from studbook.words import _

_TOLD = timedelta(days=7)


def trial_tasks(outlook: Outlook) -> Iterator[Task]:
    """The days of the trials of cocks of the flock."""
    for trial in outlook.year.trials.values():
        if outlook.living(trial.cock) is not None:
            yield from _tasks(outlook, trial)


def _tasks(outlook: Outlook, trial: Trial) -> Iterator[Task]:
    year = outlook.year
    cock = outlook.snapshot.bird(trial.cock)
    figures = outlook.practice(cock.species)
    batches = year.batches_of_trial.get(trial.id, ())
    sittings = sorted((year.sittings[batch.sitting] for batch in batches), key=lambda sitting: sitting.set_on)
    is_decided = trial.decision is not Decision.OPEN

    def task(
        key: str, day: date, until: date, words: str, *, recorded: bool, gone: date | None = None,
        hint: str = "", sitting: SittingId | None = None,
    ) -> Task:  # fmt: skip
        name = f"trial/{trial.id}/{key}"
        return Task(
            name,
            Kind.TRIAL,
            day,
            until,
            words.format(cock=outlook.called(trial.cock)),
            hint,
            gone=gone,
            birds=(trial.cock, *year.hens_of.get(trial.id, ())),
            pen=trial.pen,
            sitting=sitting,
            ticks=outlook.ticks(name),
            recorded=is_decided or recorded,
        )

    yield task(
        "counts",
        trial.counts_from,
        trial.counts_from,
        _("Trial of {cock}: eggs count from this day on"),
        recorded=bool(batches),
        gone=trial.counts_from + _TOLD,
    )
    # a week of eggs: as long as they keep well
    set_on = trial.counts_from + timedelta(days=figures.storage_warn_days)
    yield task(
        "set",
        set_on,
        set_on + timedelta(days=figures.storage_warn_days),
        _("Trial of {cock}: set the eggs"),
        recorded=bool(batches),
        hint=_("{count} eggs are wanted.").format(count=trial.eggs_wanted),
    )
    if sittings:
        days = plan_of(sittings[0])
    else:
        days = plan(set_on, cock.species if cock.species in all_incubations() else "chicken")
    if days.candlings:
        candling = days.candlings[0]
        yield task(
            "candle",
            candling.on,
            candling.until,
            _("Trial of {cock}: candle the eggs"),
            recorded=bool(batches) and is_candled(outlook, batches, candling.on),
            hint=_("In time until {day}.").format(day=outlook.day_text(candling.until)),
            sitting=sittings[0].id if sittings else None,
        )
    if trial.ends is not None:
        yield task(
            "end",
            trial.ends,
            trial.ends,
            _("Trial of {cock}: decide, and end it"),
            recorded=False,
            hint=_("A weak result early in the year asks for a second test. Hens alone with a cock wear."),
        )
