"""The columns of the page, as two lists: what speaks for and against a bird, and what goes with it.

A fact the record learns to keep of a bird (its weight, faults, temper) gets its column by one entry in
`columns_for_and_against`, and its place in `Line`; until then there is no empty column on screen.
"""

from __future__ import annotations

from collections.abc import Callable

from studbook.book.husbandry.choosing_rows import Verdict
from studbook.book.husbandry.wording import apart_word, verdict_word
from studbook.desk.tables import Column, Paint
from studbook.desk.wording import MISSING, bird_text, day_text, number_text, percent_text
from studbook.planning.bloodlines.report import Standing
from studbook.planning.breeders.lines import Flock, Line
from studbook.planning.breeders.telling import (
    age_text,
    change_text,
    earlier_text,
    offspring_text,
    risks_text,
    standing_word,
    trial_text,
)
from studbook.planning.care.telling import trial_line
from studbook.planning.eggs.telling import share_text, share_words
from studbook.words import _

FlockNow = Callable[[], "Flock | None"]
Named = Callable[[Line], str]

BOTH = ("bird", "verdict", "kinship")
"""The columns of both lists."""

PARTING = (*BOTH, "without_diversity", "without_expected", "without_kinship", "last_of")
"""The columns of "keep or part"."""


def columns(flock: FlockNow, risks_named: Named, last_named: Named) -> tuple[Column[Line], ...]:
    """All columns; `flock` gives the flock as it is, the others name founders."""
    return (*columns_for_and_against(risks_named), *columns_of_parting(flock, last_named))


def columns_for_and_against(risks_named: Named) -> tuple[Column[Line], ...]:
    """What is known of a bird, one entry for each fact."""
    return (
        Column(
            "bird", _("Bird"), lambda line: bird_text(line.bird), lambda line: line.bird.called, 26,
            paint=Paint.BIRD, bird=lambda line: line.bird,
        ),
        Column("verdict", _("Marked"), _verdict, _verdict_order, 8, tip=_reason),
        Column(
            "kinship", _("Kinship"), lambda line: percent_text(line.kinship), lambda line: line.kinship, 8,
            right=True, paint=Paint.TINT, tip=_both_ways,
            explained=_("Mean kinship with the living flock: the lower, the rarer what it carries."),
        ),
        Column(
            "standing", _("Lines"), standing_word, lambda line: list(Standing).index(line.standing), 13,
            explained=_(
                "Rare: carries what few others carry. Only looks rare: parents are unknown, and cautiously counted "
                "it is not."
            ),
        ),
        Column(
            "inbreeding", _("F"), lambda line: percent_text(line.inbreeding), lambda line: line.inbreeding, 7,
            right=True, paint=Paint.TINT, explained=_("Its own inbreeding coefficient."),
        ),
        Column(
            "risk", _("At risk"), risks_text, lambda line: len(line.at_risk), 7, right=True, tip=risks_named,
            explained=_("How many founders it carries that are about to be lost."),
        ),
        Column(
            "trial", _("Trial"), trial_text, _trial_share, 18, tip=_trial_tip,
            explained=_("Fertile eggs of those seen in the last trial, with the exact 95 % interval."),
        ),
        Column("age", _("Age"), age_text, lambda line: line.age_days, 11),
        Column("apart", _("Apart"), _apart, _apart, 9, tip=_apart_tip),
        Column(
            "offspring", _("Chicks"), offspring_text, lambda line: line.offspring, 12,
            explained=_("Birds of the book that are or may be its chicks, and how many of them live."),
        ),
        Column(
            "hatched", _("Hatched of set"), lambda line: share_text(line.hatched),
            lambda line: line.hatched.share if line.hatched is not None else None, 18,
            tip=lambda line: share_words(line.hatched),
            explained=_("Of eggs that were certainly its own, in sittings that are over."),
        ),
        Column("earlier", _("Before"), earlier_text, earlier_text, 28, tip=earlier_text),
        Column(
            "convention", _("By convention"), lambda line: percent_text(line.by_convention),
            lambda line: line.by_convention, 8, right=True, shown=False,
        ),
        Column(
            "cautious", _("Cautious"), lambda line: percent_text(line.cautious), lambda line: line.cautious, 8,
            right=True, shown=False,
        ),
        Column(
            "rank", _("Place"), lambda line: number_text(line.rank), lambda line: line.rank, 5, right=True,
            shown=False,
        ),
    )  # fmt: skip


def columns_of_parting(flock: FlockNow, last_named: Named) -> tuple[Column[Line], ...]:
    """What becomes of the flock without a bird, as changes; up is told by a plus sign."""

    def change(
        of_line: Callable[[Line], float | None], of_flock: Callable[[Flock], float | None]
    ) -> Callable[[Line], float | None]:
        def found(line: Line) -> float | None:
            now = flock()
            before = of_flock(now) if now is not None else None
            after = of_line(line)
            return None if before is None or after is None else after - before

        return found

    diversity = change(lambda line: line.parting.gene_diversity, lambda now: now.gene_diversity)
    expected = change(lambda line: line.parting.expected, lambda now: now.expected)
    kinship = change(lambda line: line.parting.kinship, lambda now: now.kinship)

    def cell(key: str, title: str, value: Callable[[Line], float | None], explained: str) -> Column[Line]:
        return Column(
            key, title, lambda line: change_text(value(line)) or MISSING, value, 14, right=True, shown=False,
            explained=explained,
        )  # fmt: skip

    return (
        cell(
            "without_diversity",
            _("Diversity"),
            diversity,
            _("What the gene diversity of the flock changes by if the bird goes: less is a loss."),
        ),
        cell(
            "without_expected",
            _("Next F"),
            expected,
            _("What the mean F of the next generation changes by if the bird goes: less is better."),
        ),
        cell(
            "without_kinship",
            _("Next kinship"),
            kinship,
            _("What the mean kinship of the next generation changes by if the bird goes: less is better."),
        ),
        Column(
            "last_of", _("Last copy of"), lambda line: last_named(line) or MISSING,
            lambda line: len(line.parting.last_of), 24, shown=False, tip=last_named,
            explained=_("Founders of which it is the last living bird."),
        ),
    )  # fmt: skip


def _verdict(line: Line) -> str:
    return verdict_word(line.verdict) if line.verdict is not None else MISSING


def _verdict_order(line: Line) -> int | None:
    return list(Verdict).index(line.verdict) if line.verdict is not None else None


def _reason(line: Line) -> str:
    return line.choice.reason if line.choice is not None else ""


def _both_ways(line: Line) -> str:
    return _("{cautious} cautiously, {convention} by convention").format(
        cautious=percent_text(line.cautious), convention=percent_text(line.by_convention)
    )


def _trial_share(line: Line) -> float | None:
    return line.trial.result.whole.share if line.trial is not None else None


def _trial_tip(line: Line) -> str:
    return trial_line(line.trial, day_text) if line.trial is not None else ""


def _apart(line: Line) -> str:
    return apart_word(line.apart.reason) if line.apart is not None else ""


def _apart_tip(line: Line) -> str:
    if line.apart is None:
        return ""
    return _("{reason}, since {day}").format(
        reason=apart_word(line.apart.reason), day=day_text(line.apart.since)
    )
