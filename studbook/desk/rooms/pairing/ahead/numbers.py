"""The figures of the page, made on the worker threads and handed over as frozen rows."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING

from studbook.book.records import Snapshot
from studbook.desk.work import Progress
from studbook.planning.forecast.policy import BuyIn, Policy, Yard
from studbook.planning.sentences import Sentence

if TYPE_CHECKING:
    from studbook.drawing.charts.courses import CourseChart
    from studbook.planning.bloodlines.flock import Ways
    from studbook.planning.forecast.buying import BuyingIn, Newcomer
    from studbook.planning.forecast.methods import Ahead
    from studbook.planning.forecast.policy import Forecast

_NAMED = 3


@dataclass(frozen=True)
class Question:
    """What is asked: which policies, how many years and runs, from which seed, by which figure, up to which F."""

    species: str
    today: date
    cautious: bool
    policies: tuple[Policy, ...]
    years: int
    runs: int
    seed: int
    limit: float


@dataclass(frozen=True)
class Opening:
    """What the page begins with: policies to compare, more to add, and the yards of the book."""

    policies: tuple[Policy, ...]
    more: tuple[Policy, ...]
    told: str


@dataclass(frozen=True)
class CourseWords:
    """One policy: what it is in a line, what it comes to, and which founders are in most danger."""

    name: str
    line: str
    sentences: tuple[Sentence, ...]
    founders: Sentence


@dataclass(frozen=True)
class Answer:
    """What the policies come to, with sentences and charts."""

    question: Question
    forecast: Forecast
    summary: tuple[Sentence, ...]
    courses: tuple[CourseWords, ...]
    charts: dict[Ahead, CourseChart]
    basis: str


@dataclass(frozen=True)
class Bought:
    """What a bought cock would do under one of the policies."""

    policy: Policy
    found: BuyingIn
    sentences: tuple[Sentence, ...]
    rows: tuple[YardRow, ...]


@dataclass(frozen=True)
class YardRow:
    """One yard in the table of where to buy."""

    place: int
    name: str
    newcomer: Newcomer
    best: str
    passes: int | None
    chart: CourseChart


class Numbers:
    """Works out everything of one snapshot, the pedigrees behind it once. Nothing heavy is loaded before."""

    def __init__(self, snapshot: Snapshot) -> None:
        self.snapshot = snapshot

    @cached_property
    def _ways(self) -> Ways:
        from studbook.planning.bloodlines.flock import Ways

        return Ways(self.snapshot)

    def opening(self, species: str, today: date) -> Opening:
        """What to begin with, from how the flock was bred in the last years; raises `NoFlock` without one."""
        from studbook.book.records import Sex
        from studbook.planning.forecast.habits import habits, usual_policies
        from studbook.planning.forecast.policy import NoFlock
        from studbook.planning.forecast.start import may_breed_on
        from studbook.planning.forecast.telling import habits_text

        birds = may_breed_on(self.snapshot, today, species)
        cocks = sum(bird.sex is Sex.COCK for bird in birds)
        if not 0 < cocks < len(birds):
            raise NoFlock("no cock or no hen")
        found = habits(self.snapshot, species, today)
        policies = usual_policies(found, cocks, len(birds) - cocks)
        return Opening(policies[:3], policies[3:], habits_text(found))

    def forecast(self, question: Question, progress: Progress) -> Answer:
        """The policies bred out."""
        from studbook.book.relatedness import Unknown
        from studbook.desk.rooms.pairing.ahead.pictures import charts
        from studbook.planning.forecast.running import forecast
        from studbook.planning.forecast.telling import (
            course_words,
            figure_text,
            founders_words,
            policy_text,
            summary,
        )

        found = forecast(
            self.snapshot,
            question.today,
            question.policies,
            species=question.species,
            years=question.years,
            replicates=question.runs,
            seed=question.seed,
            limit=question.limit,
            unknown=Unknown.FLOCK if question.cautious else Unknown.UNRELATED,
            progress=progress.go_on,
            ways=self._ways,
        )
        return Answer(
            question,
            found,
            tuple(summary(found, self.snapshot)),
            tuple(
                CourseWords(
                    course.policy.name,
                    policy_text(course.policy, self.snapshot),
                    tuple(course_words(course, found)),
                    founders_words(course, found, _NAMED),
                )
                for course in found.courses
            ),
            charts(found),
            figure_text(found.unknown),
        )

    def buying(self, question: Question, policy: Policy, progress: Progress) -> Bought:
        """When to buy in and from where, under one policy."""
        from studbook.book.relatedness import Unknown
        from studbook.desk.rooms.pairing.ahead.pictures import buying_chart
        from studbook.planning.forecast.buying import buying_in
        from studbook.planning.forecast.telling import yard_text
        from studbook.planning.forecast.telling_buying import best_years_text, buying_words

        found = buying_in(
            self.snapshot,
            question.today,
            policy,
            species=question.species,
            years=question.years,
            limit=question.limit,
            unknown=Unknown.FLOCK if question.cautious else Unknown.UNRELATED,
            progress=progress.go_on,
            ways=self._ways,
        )
        rows = []
        for place, newcomer in enumerate(found.newcomers):
            yard = yard_text(newcomer.yard, self.snapshot)
            passes = newcomer.passes[newcomer.best[0] - found.first_year]
            chart = buying_chart(found, newcomer, yard)
            rows.append(YardRow(place, yard, newcomer, best_years_text(newcomer), passes, chart))
        return Bought(policy, found, tuple(buying_words(found, self.snapshot)), tuple(rows))


def yards_of(snapshot: Snapshot) -> tuple[tuple[str, Yard], ...]:
    """The yards one may buy from, by name: an unrelated one, the book's, and one somewhat related."""
    from studbook.planning.forecast.policy import UNRELATED
    from studbook.planning.forecast.telling import related_yard_text, yard_text

    related = Yard(kinship=RELATED)
    return (
        (yard_text(UNRELATED, snapshot), UNRELATED),
        *((origin.name, Yard(origin.id)) for origin in snapshot.origins),
        (related_yard_text(related), related),
    )


RELATED = 0.0625
"""The kinship with the flock of the somewhat related yard that is offered: that of first cousins."""


def bought_every(years: int, yard: Yard) -> BuyIn | None:
    """New blood every so many years; none for 0."""
    return BuyIn(years, years, yard) if years else None
