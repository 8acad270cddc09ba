"""What the page shows of one wish, made on a worker."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from studbook.book.husbandry.rows import Job
from studbook.book.records import Snapshot
from studbook.drawing.charts.losses import LossChart, LossStep
from studbook.drawing.charts.tones import Tone
from studbook.words import _

if TYPE_CHECKING:
    from studbook.planning.next_season.methods import Explained, SeasonFigure
    from studbook.planning.next_season.plan import SeasonPlan
    from studbook.planning.next_season.wish import Wish

DayText = Callable[[date], str]


@dataclass(frozen=True)
class Figure:
    """One line of what the answer rests on, and how it is opened."""

    which: SeasonFigure
    key: str
    name: str
    expected: str
    span: str
    share: str
    basis: str
    opened: Explained


@dataclass(frozen=True)
class Lot:
    """One lot of eggs, its days in words and as they are sorted."""

    number: int
    eggs: int
    under: str
    collect_from: date
    set_on: date
    candle: tuple[tuple[date, date], ...]
    hatch: date
    hatch_days: tuple[date, date]
    ready: date


@dataclass(frozen=True)
class Answer:
    """A plan with its sentences, its lots, its figures and its picture."""

    plan: SeasonPlan
    lead: str
    said: tuple[tuple[str, ...], ...]
    warnings: tuple[str, ...]
    join: str
    lots: tuple[Lot, ...]
    figures: tuple[Figure, ...]
    chart: LossChart | None
    jobs: tuple[Job, ...]
    jobs_before: tuple[Job, ...]


def answer(snapshot: Snapshot, species: str, wish: Wish, today: date, day_text: DayText) -> Answer:
    """All that is shown of a wish."""
    from studbook.planning.next_season.days import diary_jobs, diary_jobs_before
    from studbook.planning.next_season.plan import plan_season
    from studbook.planning.next_season.telling import (
        answer_sentence,
        expected_sentences,
        join_sentence,
        means_sentences,
        room_sentences,
        surplus_sentences,
        warnings,
    )

    plan = plan_season(snapshot, species, wish, today)
    return Answer(
        plan,
        answer_sentence(plan, day_text),
        tuple(
            said
            for said in (
                expected_sentences(plan),
                means_sentences(plan, day_text),
                room_sentences(plan),
                surplus_sentences(plan),
            )
            if said
        ),
        warnings(plan, today, day_text),
        join_sentence(plan, day_text),
        _lots(plan),
        _figures(plan),
        _chart(plan),
        diary_jobs(snapshot, plan, today),
        diary_jobs_before(snapshot, plan, today),
    )


def _lots(plan: SeasonPlan) -> tuple[Lot, ...]:
    from studbook.planning.next_season.telling import under_text

    return tuple(
        Lot(
            number,
            setting.eggs,
            under_text(plan, setting.sittings),
            setting.collect_from,
            setting.set_on,
            tuple((candling.on, candling.until) for candling in setting.plan.candlings),
            setting.plan.due,
            (setting.plan.due_first, setting.plan.due_last),
            setting.ready,
        )
        for number, setting in enumerate(plan.schedule.settings, start=1)
    )


def _figures(plan: SeasonPlan) -> tuple[Figure, ...]:
    from studbook.book.wording import figure, per_cent
    from studbook.planning.next_season.methods import SeasonFigure, explained
    from studbook.planning.next_season.telling import about, basis_text, span_text, usual_text
    from studbook.planning.next_season.wish import Way

    def line(
        which: SeasonFigure, name: str, expected: str = "", span: str = "", share: str = "", basis: str = "",
        key: str = "",
    ) -> Figure:  # fmt: skip
        return Figure(which, key or which.value, name, expected, span, share, basis, explained(which, plan))

    found, figures = plan.expected, plan.figures
    lines = [line(SeasonFigure.EGGS, _("Eggs to set"), "" if plan.eggs is None else str(plan.eggs))]
    names = (_("fertile"), _("chicks hatched"), _("grown birds"))
    steps = (SeasonFigure.FERTILE, SeasonFigure.HATCHED, SeasonFigure.REARED)
    numbers = (found.fertile, found.hatched, found.reared) if found is not None else (None, None, None)
    for which, name, number, step in zip(steps, names, numbers, figures.steps, strict=True):
        lines.append(
            line(
                which,
                name,
                about(number.mean) if number is not None else "",
                span_text(number) if number is not None else "",
                per_cent(step.rate.mean, 0),
                basis_text(step),
            )
        )
    for key, name, sex in (
        ("pullets", _("pullets"), found.pullets if found else None),
        ("cockerels", _("cockerels"), found.cockerels if found else None),
    ):
        mean, span = (about(sex.mean), span_text(sex)) if sex is not None else ("", "")
        lines.append(line(SeasonFigure.SEXES, name, mean, span, _("half"), "", key))
    laying = figures.laying
    basis = (
        usual_text(figure(laying.usual.value, 2))
        if laying.usual is not None
        else _("{eggs} eggs of {days} hen-days").format(eggs=laying.eggs, days=laying.hen_days)
    )
    lines.append(
        line(
            SeasonFigure.LAYING, _("eggs of a hen and day"), share=figure(laying.per_hen_day, 2), basis=basis
        )
    )
    if plan.wish.way is Way.BROODY:
        broody = figures.broody
        told = str(broody.eggs) if broody is not None else ""
        lines.append(line(SeasonFigure.BROODY, _("eggs under a broody"), told))
    lines.append(line(SeasonFigure.AGE, _("days until one can choose"), str(plan.wish.age_days)))
    return tuple(lines)


def _chart(plan: SeasonPlan) -> LossChart | None:
    """The eggs and what is lost on the way, on average, in whole eggs that add up."""
    found = plan.expected
    if found is None:
        return None
    left = [plan.eggs or 0, *(round(part.mean) for part in (found.fertile, found.hatched, found.reared))]
    pullets = round(found.pullets.mean)
    steps = (
        LossStep(_("clear"), left[0] - left[1], Tone.CAUTION),
        LossStep(_("dead in the shell"), left[1] - left[2], Tone.CAUTION),
        LossStep(_("lost while growing"), left[2] - left[3], Tone.CAUTION),
        LossStep(_("grown birds"), left[3], Tone.GOOD, is_lost=False),
        LossStep(_("of these pullets"), min(pullets, left[3]), Tone.GOOD, is_lost=False),
    )
    return LossChart(_("From the egg to the grown bird"), left[0], steps)
