"""The figures behind the room, made on the worker threads and handed over as frozen rows."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING

from studbook.book.records import BirdId, Snapshot
from studbook.desk.rooms.pairing.pairs.model import Picture
from studbook.desk.work import Progress
from studbook.drawing.errors import DrawingRefused
from studbook.drawing.sheet import Drawing
from studbook.planning.limits import Bar, Rules
from studbook.planning.pair_methods import Shown, pair_method
from studbook.planning.sentences import Sentence

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from studbook.book.relatedness import Relatedness
    from studbook.desk.rooms.pairing.page import Kinship
    from studbook.planning.bloodlines.flock import Flock
    from studbook.planning.bloodlines.methods import Method
    from studbook.planning.earlier_pairings import EarlierPairings
    from studbook.planning.eggs.outcome import Parents
    from studbook.planning.pair_comparison import PairComparison
    from studbook.planning.pair_effects import FlockKinship
    from studbook.planning.pairs import Advice, Matrix, PairStudy
    from studbook.planning.wording import HenWords


MOST_HENS = 200
"""So many hens get their sentences; nobody reads about more."""


@dataclass(frozen=True)
class Question:
    """What the keeper wants to see."""

    cocks: tuple[BirdId, ...]
    hens: tuple[BirdId, ...]
    cautious: bool
    rules: Rules
    today: date
    shown: Shown = Shown.EXPECTED
    generations: int = 3


@dataclass(frozen=True)
class Figures:
    """The matrix, what is shown of it, and on what basis its figures stand."""

    question: Question
    matrix: Matrix
    picture: Picture
    basis: str
    method: Method


@dataclass(frozen=True)
class Answer:
    """The advice on a matrix and what it says: one summary, remarks, then for each hen her sentences."""

    figures: Figures
    advice: Advice
    summary: Sentence
    remarks: tuple[Sentence, ...]
    by_hen: tuple[tuple[BirdId, HenWords], ...]


@dataclass(frozen=True)
class PairAnswer:
    """One pair: what is said of it, how it did before, where its figure comes from, and the tree behind it.

    `comparison` stands it beside the pair that was kept for that.
    """

    study: PairStudy
    sentences: tuple[Sentence, ...]
    effects: tuple[Sentence, ...]
    earlier: tuple[Sentence, ...]
    reliance: tuple[Sentence, ...]
    comparison: PairComparison | None
    explanation: tuple[tuple[Sentence, ...], ...]
    drawing: Drawing | None
    refusal: str


@dataclass(frozen=True)
class UnknownAnswer:
    """What unknown parents hide of one pair; nothing where they hide nothing.

    `lists` holds for each of them a heading and the birds it could have been; `opens` names what opens them.
    """

    pair: tuple[BirdId, BirdId]
    sentences: tuple[tuple[Sentence, ...], ...]
    lists: tuple[tuple[Sentence, ...], ...]
    opens: str
    method: Method


class Numbers:
    """The figures on the pairs of one snapshot.

    Nothing heavy is loaded before the first question; ask on a worker thread.
    """

    def __init__(self, snapshot: Snapshot, kinship: Kinship) -> None:
        self._snapshot = snapshot
        self._kinship = kinship
        self._ready: dict[bool, Relatedness] = {}

    @cached_property
    def _flock(self) -> Flock:
        from studbook.book.relatedness import Unknown
        from studbook.planning.bloodlines.flock import Flock

        return Flock(self._snapshot, Unknown.FLOCK, None)

    @cached_property
    def _flock_kinship(self) -> dict[tuple[bool, str], FlockKinship]:
        return {}

    @cached_property
    def _parts(self) -> dict[object, tuple[NDArray[np.float64], NDArray[np.float64]]]:
        return {}

    def _flock_of(self, question: Question, cock: BirdId) -> FlockKinship:
        """The flock of a cock's species, its mean kinships found once for each way."""
        from studbook.planning.pair_effects import FlockKinship

        species = self._snapshot.bird(cock).species
        key = (question.cautious, species)
        if key not in self._flock_kinship:
            self._flock_kinship[key] = FlockKinship(
                self._snapshot, self._kinship.asked(question.cautious), species
            )
        return self._flock_kinship[key]

    def figures(self, question: Question, progress: Progress) -> Figures:
        """The matrix, which is quick; recent inbreeding takes longer, with progress."""
        from studbook.planning.pairs import expect
        from studbook.planning.wording import figure_sentence

        asked = self._kinship.asked(question.cautious)
        flock = self._flock_of(question, question.cocks[0]) if question.cocks and question.hens else None
        matrix = expect(self._snapshot, asked, question.cocks, question.hens, question.rules, flock)
        way = self._kinship.asked(False) if question.shown.is_by_convention else asked
        return Figures(
            question,
            matrix,
            self._picture(question, matrix, progress),
            figure_sentence(way.unknown),
            pair_method(question.shown, question.generations),
        )

    def _picture(self, question: Question, matrix: Matrix, progress: Progress) -> Picture:
        import numpy as np

        from studbook.planning.pair_effects import on_diversity
        from studbook.planning.pairs import rank
        from studbook.planning.wording import effect_decimals

        shown, decimals = question.shown, 1
        values, best = matrix.expected, matrix.ranked[:1]
        if matrix.flock is None:
            nothing = np.zeros(0)
            return Picture(matrix, shown, values, nothing.astype(int), nothing, nothing, 0.0, 0.0)
        if shown is Shown.DIVERSITY:
            values = on_diversity(matrix.flock, question.cocks, question.hens, matrix.expected)
            decimals = effect_decimals([float(values.max()), float(values.min())])
        elif shown is not Shown.EXPECTED:
            values = self._recent_and_old(question, progress)[shown is Shown.OLD]
        if shown is not Shown.EXPECTED and not np.isnan(values).any():
            unwanted = (matrix.bars & np.uint8(Bar.SHARED_PARENT | Bar.BANNED)) > 0
            worse = -values if shown.is_better_high else values
            best = rank(worse + unwanted, matrix.flock.of(question.cocks), 1)
        return Picture(
            matrix,
            shown,
            values,
            best[0],
            values.mean(axis=1),
            values.mean(axis=0),
            float(values.min()),
            float(values.max()),
            decimals,
        )

    def _recent_and_old(
        self, question: Question, progress: Progress
    ) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        from studbook.planning.pair_effects import recent_and_old

        key = question.cocks, question.hens, question.generations
        if key not in self._parts:
            found = recent_and_old(
                self._kinship.asked(False),
                question.cocks,
                question.hens,
                question.generations,
                progress.go_on,
            )
            self._parts.clear()
            self._parts[key] = found
        return self._parts[key]

    def advise(self, figures: Figures, progress: Progress) -> Answer:
        """The sentences on a matrix."""
        from studbook.planning.pairs import advise
        from studbook.planning.wording import hen_words, standing_remarks, summary

        question = figures.question
        asked = self._kinship.asked(question.cautious)
        asked.make_relationships_ready()
        self._ready[question.cautious] = asked
        advice = advise(
            self._snapshot, asked, figures.matrix, question.today, MOST_HENS, progress.unless_stopped
        )
        by_hen = tuple(
            (hen.hen, hen_words(hen, question.rules.limit, self._snapshot))
            for hen in advice.by_hen[:MOST_HENS]
        )
        remarks = standing_remarks(advice, self._snapshot, question.today)
        return Answer(figures, advice, summary(advice), remarks, by_hen)

    def told(self, question: Question, pair: tuple[BirdId, BirdId], bar: Bar) -> tuple[Sentence, ...]:
        """What is told of a pair where the pointer rests: how they are related, and why it is not wanted.

        Quick enough for the window's own thread; nothing is told before `advise` was asked.
        """
        from studbook.planning.forbidden_pairs import bar_sentences
        from studbook.planning.wording import relation_sentence

        cock, hen = pair
        # not from the kinship of the room, which may be busy finding the other way
        asked = self._ready.get(question.cautious)
        if asked is None:
            return ()
        return (
            relation_sentence(asked.relationship(hen, cock)),
            *bar_sentences(bar, self._snapshot, cock, hen, question.rules),
        )

    def earlier(self, today: date, known: Parents | None) -> EarlierPairings:
        """Every pair that had eggs or chicks, or may have had; `known` is what was found before."""
        from studbook.planning.earlier_pairings import earlier_pairings

        return earlier_pairings(self._snapshot, today, known)

    def study(
        self,
        question: Question,
        pair: tuple[BirdId, BirdId],
        earlier: EarlierPairings | None,
        beside: tuple[BirdId, BirdId] | None = None,
        *,
        dark: bool,
    ) -> PairAnswer:
        """One pair opened up, with its tree; compared with the pair `beside`, when there is one."""
        from studbook.drawing.tree import draw_pair
        from studbook.planning.earlier_words import earlier_reliance, earlier_sentences
        from studbook.planning.pair_comparison import compare_pairs
        from studbook.planning.wording import effect_sentences, explanation_sentences, pair_sentences

        cock, hen = pair
        asked = self._kinship.asked(question.cautious)
        found = self._study(question, pair)
        before = earlier.of(*pair) if earlier is not None else None
        comparison = None
        if beside is not None and beside != pair:
            kept = earlier.of(*beside) if earlier is not None else None
            comparison = compare_pairs(
                (self._study(question, beside), found),
                (kept, before),
                self._snapshot,
                question.rules,
                question.today,
            )
        drawing, refusal = None, ""
        try:
            drawing = draw_pair(
                self._snapshot,
                cock,
                hen,
                kinship=found.prospect.expected,
                inbreeding=asked.inbreeding.tolist(),
                dark=dark,
            )
        except DrawingRefused as refused:
            refusal = str(refused)
        return PairAnswer(
            found,
            pair_sentences(found, question.rules, self._snapshot, question.today),
            effect_sentences(found),
            earlier_sentences(before, asked, self._snapshot) if before is not None else (),
            earlier_reliance(before) if before is not None else (),
            comparison,
            explanation_sentences(found, self._snapshot),
            drawing,
            refusal,
        )

    def _study(self, question: Question, pair: tuple[BirdId, BirdId]) -> PairStudy:
        from studbook.planning.pairs import study

        return study(
            self._snapshot,
            self._kinship.asked(False),
            self._kinship.asked(True),
            self._kinship.asked(question.cautious).unknown,
            *pair,
            question.today,
            question.rules,
            self._flock_of(question, pair[0]),
            question.generations,
        )

    def unknown(self, question: Question, pair: tuple[BirdId, BirdId], progress: Progress) -> UnknownAnswer:
        """What unknown parents hide of one pair; slower than the rest, so it is asked for on its own."""
        from studbook.planning.unknown_parents import hidden_in_pair, left_out_of_pair
        from studbook.planning.unknown_words import (
            candidate_sentences,
            candidates_link,
            hidden_method,
            left_out_words,
            pair_words,
        )

        hidden = hidden_in_pair(self._flock, *pair, progress.unless_stopped)
        told = [pair_words(each, question.rules.limit) for each in hidden]
        left_out = left_out_of_pair(self._flock, *pair)
        if left_out is not None:
            told.append(left_out_words(left_out))
        return UnknownAnswer(
            pair,
            tuple(told),
            tuple(candidate_sentences(each) for each in hidden),
            candidates_link(hidden),
            hidden_method(),
        )
