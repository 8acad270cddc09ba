"""The figures behind the room, made on the worker threads and handed over as frozen rows."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING

from studbook.book.records import BirdId, OriginId, Snapshot
from studbook.desk.work import Progress
from studbook.drawing.charts.bands import BandChart
from studbook.drawing.charts.rows import BarChart, DotChart
from studbook.drawing.charts.years import YearChart
from studbook.planning.sentences import Sentence

if TYPE_CHECKING:
    from studbook.papers.calling_home import LetterContent
    from studbook.planning.bloodlines.flock import Ways
    from studbook.planning.bloodlines.methods import Method
    from studbook.planning.bloodlines.report import (
        BloodlinesReport,
        Call,
        Carrier,
        FounderKey,
        OriginEffect,
        RankedBird,
        Standing,
    )
    from studbook.planning.bloodlines.telling import FigureWords
    from studbook.planning.unknown_parents import HiddenParent

FOREMOST = 12
"""So many of the birds that carry a founder are listed one by one."""


@dataclass(frozen=True)
class Question:
    """Which flock, and by which figure; an empty species asks for the usual one of the book."""

    species: str
    cautious: bool
    today: date


@dataclass(frozen=True)
class Answer:
    """The report with its sentences and its charts; a chart is None where there is nothing to draw.

    `ranked` finds a living bird of the ranking, `by_standing` lists the birds of each standing.
    """

    question: Question
    kinds: tuple[str, ...]
    report: BloodlinesReport
    summary: tuple[Sentence, ...]
    basis: str
    figures: tuple[FigureWords, ...]
    inbreeding: YearChart | None
    founders: BandChart | None
    retention: BarChart | None
    ranking: DotChart | None
    ranked: dict[BirdId, RankedBird]
    by_standing: tuple[tuple[Standing, tuple[BirdId, ...]], ...]


@dataclass(frozen=True)
class FounderAnswer:
    """One founder: what is said of it, who carries it now and most of it, who descends from it, by year."""

    key: FounderKey
    called: Sentence
    sentences: tuple[Sentence, ...]
    foremost: tuple[Carrier, ...]
    carriers: tuple[BirdId, ...]
    descendants: tuple[BirdId, ...]
    chart: YearChart | None


@dataclass(frozen=True)
class StandingAnswer:
    """How one living bird stands, and where it may look rare by unknown parents, the birds they could have been.

    `hidden` says what they hide, or that it is not worked out.

    `lists` holds for each unknown parent a heading and the birds; `opens` names what opens them.
    """

    sentences: tuple[Sentence, ...]
    hidden: tuple[tuple[Sentence, ...], ...]
    lists: tuple[tuple[Sentence, ...], ...]
    opens: str
    method: Method


@dataclass(frozen=True)
class CallAnswer:
    """One founder to call home: who has it, in words and in rows."""

    call: Call
    called: Sentence
    sentences: tuple[Sentence, ...]


@dataclass(frozen=True)
class Calls:
    """All founders to call home, and how borrowing is reckoned."""

    answers: tuple[CallAnswer, ...]
    method: Method


class Numbers:
    """Works out everything of one snapshot, the pedigrees behind it once.

    Nothing heavy is loaded before the first question.
    """

    def __init__(self, snapshot: Snapshot) -> None:
        self.snapshot = snapshot

    @cached_property
    def _ways(self) -> Ways:
        from studbook.planning.bloodlines.flock import Ways

        return Ways(self.snapshot)

    def report(self, question: Question, progress: Progress) -> Answer:
        """The whole flock."""
        from studbook.desk.rooms.bloodlines import pictures
        from studbook.planning.bloodlines.measuring import bloodlines_report
        from studbook.planning.bloodlines.methods import Figure
        from studbook.planning.bloodlines.report import Standing
        from studbook.planning.bloodlines.telling import figure_words, summary
        from studbook.planning.candidates import living_species
        from studbook.planning.wording import figure_sentence

        kinds = living_species(self.snapshot)
        species = question.species if question.species in kinds else next(iter(kinds), None)
        unknown = _unknown(question)
        report = bloodlines_report(
            self.snapshot,
            question.today,
            unknown=unknown,
            species=species,
            progress=progress.go_on,
            ways=self._ways,
        )
        return Answer(
            question,
            kinds,
            report,
            summary(report, self.snapshot),
            figure_sentence(unknown),
            tuple(figure_words(figure, report, self.snapshot) for figure in Figure),
            pictures.inbreeding_chart(report, self._spread(question, species)),
            pictures.founder_chart(report, self.snapshot),
            pictures.retention_chart(report, self.snapshot),
            pictures.ranking_chart(report, self.snapshot),
            {ranked.bird: ranked for ranked in report.ranking},
            tuple(
                (standing, tuple(ranked.bird for ranked in report.ranking if ranked.standing is standing))
                for standing in Standing
            ),
        )

    def founder(self, answer: Answer, key: FounderKey, progress: Progress) -> FounderAnswer:
        """One founder followed through the flock."""
        from studbook.desk.rooms.bloodlines import pictures
        from studbook.planning.bloodlines.measuring import founder_view
        from studbook.planning.bloodlines.telling import founder_called, founder_words

        report = answer.report
        view = founder_view(
            self.snapshot,
            key,
            unknown=report.unknown,
            species=report.species,
            progress=progress.go_on,
            ways=self._ways,
        )
        found = next(founder for founder in report.founders if founder.key == key)
        return FounderAnswer(
            key,
            founder_called(key, self.snapshot),
            founder_words(found, report, self.snapshot),
            view.carriers[:FOREMOST],
            tuple(carrier.bird for carrier in view.carriers),
            tuple(carrier.bird for carrier in view.descendants),
            pictures.followed_chart(report, found, self.snapshot),
        )

    def standing(self, answer: Answer, bird: BirdId, progress: Progress) -> StandingAnswer:
        """What is said of one living bird."""
        from studbook.planning.bloodlines.flock import Flock
        from studbook.planning.bloodlines.report import Standing
        from studbook.planning.bloodlines.telling import standing_words
        from studbook.planning.unknown_parents import hidden_in_mean_kinship, left_out_of_mean_kinship
        from studbook.planning.unknown_words import (
            candidate_sentences,
            candidates_link,
            hidden_method,
            left_out_words,
            standing_range_words,
        )

        ranked, report = answer.ranked[bird], answer.report
        told = progress.go_on
        hidden: tuple[HiddenParent, ...] = ()
        left_out = None
        if ranked.standing in (Standing.RARE, Standing.LOOKS_RARE):
            flock = Flock(self.snapshot, report.unknown, report.species, told, self._ways)
            hidden = hidden_in_mean_kinship(flock, bird, told)
            left_out = left_out_of_mean_kinship(flock, bird)
        words = [standing_range_words(each) for each in hidden]
        if left_out is not None:
            words.append(left_out_words(left_out))
        return StandingAnswer(
            standing_words(ranked, report, self.snapshot),
            tuple(words),
            tuple(candidate_sentences(each) for each in hidden),
            candidates_link(hidden),
            hidden_method(),
        )

    def calls(self, answer: Answer, progress: Progress) -> Calls:
        """Every founder at risk or lost, and the birds elsewhere that carry it."""
        from studbook.planning.bloodlines.calling_home import calling_home
        from studbook.planning.bloodlines.telling import borrowing_method, call_words, founder_called

        found = calling_home(
            self.snapshot,
            answer.report,
            answer.question.today,
            progress=progress.go_on,
            ways=self._ways,
        )
        return Calls(
            tuple(
                CallAnswer(call, founder_called(call.founder, self.snapshot), call_words(call, self.snapshot))
                for call in found
            ),
            borrowing_method(),
        )

    def effect(
        self, answer: Answer, origin: OriginId, other: OriginId | None, gamma: float, progress: Progress
    ) -> OriginEffect:
        """What another assumed relationship of an origin's birds, with each other or with others, would do."""
        from studbook.planning.bloodlines.origins import effect_of_origin

        report = answer.report
        return effect_of_origin(
            self.snapshot,
            origin,
            gamma,
            other,
            unknown=report.unknown,
            species=report.species,
            progress=progress.go_on,
            ways=self._ways,
        )

    def letter(self, bird: BirdId, founder: FounderKey, today: date) -> LetterContent:
        """The letter that asks for a bird."""
        from studbook.papers.calling_home import letter_content

        return letter_content(self.snapshot, bird, founder, today)

    def _spread(self, question: Question, species: str | None) -> dict[int, tuple[float, float]]:
        """The lowest and highest F of the home-hatched birds of each year."""
        inbreeding = self._ways.way(_unknown(question)).inbreeding.tolist()
        found: dict[int, tuple[float, float]] = {}
        for bird, coefficient in zip(self.snapshot.birds, inbreeding, strict=True):
            year = bird.hatched.year
            if (
                year is None
                or bird.is_founder
                or bird.placeholder
                or bird.species != (species or bird.species)
            ):
                continue
            low, high = found.get(year, (coefficient, coefficient))
            found[year] = (min(low, coefficient), max(high, coefficient))
        return found


def _unknown(question: Question):  # type: ignore[no-untyped-def]
    from studbook.book.relatedness import Unknown

    return Unknown.FLOCK if question.cautious else Unknown.UNRELATED
