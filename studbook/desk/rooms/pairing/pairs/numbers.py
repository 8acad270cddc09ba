"""The figures behind the room, made on the worker threads and handed over as frozen rows."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING

from studbook.book.records import BirdId, Snapshot
from studbook.desk.work import Progress
from studbook.drawing.errors import DrawingRefused
from studbook.drawing.sheet import Drawing
from studbook.planning.sentences import Sentence

if TYPE_CHECKING:
    from studbook.desk.rooms.pairing.page import Kinship
    from studbook.planning.bloodlines.flock import Flock
    from studbook.planning.bloodlines.methods import Method
    from studbook.planning.pairs import Advice, Matrix, PairStudy
    from studbook.planning.wording import HenWords


MOST_HENS = 200
"""So many hens get their sentences; nobody reads about more."""


class Stopped(Exception):  # noqa: N818 - nothing went wrong
    """Nobody waits for this answer any more."""


@dataclass(frozen=True)
class Question:
    """What the keeper wants to see."""

    cocks: tuple[BirdId, ...]
    hens: tuple[BirdId, ...]
    cautious: bool
    limit: float
    today: date


@dataclass(frozen=True)
class Figures:
    """The matrix, and on what basis its figures stand."""

    question: Question
    matrix: Matrix
    basis: str


@dataclass(frozen=True)
class Answer:
    """The advice on a matrix and what it says: one summary, then for each hen her sentences."""

    figures: Figures
    advice: Advice
    summary: Sentence
    by_hen: tuple[tuple[BirdId, HenWords], ...]


@dataclass(frozen=True)
class PairAnswer:
    """One pair: what is said of it, where its figure comes from, and the tree behind it."""

    study: PairStudy
    sentences: tuple[Sentence, ...]
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

    @cached_property
    def _flock(self) -> Flock:
        from studbook.book.relatedness import Unknown
        from studbook.planning.bloodlines.flock import Flock

        return Flock(self._snapshot, Unknown.FLOCK, None)

    def figures(self, question: Question) -> Figures:
        """The matrix, which is quick."""
        from studbook.planning.pairs import expect
        from studbook.planning.wording import figure_sentence

        asked = self._kinship.asked(question.cautious)
        matrix = expect(self._snapshot, asked, question.cocks, question.hens, question.limit)
        return Figures(question, matrix, figure_sentence(asked.unknown))

    def advise(self, figures: Figures) -> Answer:
        """The sentences on a matrix."""
        from studbook.planning.pairs import advise
        from studbook.planning.wording import hen_words, summary

        question = figures.question
        asked = self._kinship.asked(question.cautious)
        advice = advise(self._snapshot, asked, figures.matrix, question.today, MOST_HENS)
        by_hen = tuple(
            (hen.hen, hen_words(hen, question.limit, self._snapshot)) for hen in advice.by_hen[:MOST_HENS]
        )
        return Answer(figures, advice, summary(advice), by_hen)

    def study(self, question: Question, cock: BirdId, hen: BirdId, *, dark: bool) -> PairAnswer:
        """One pair opened up, with its tree."""
        from studbook.drawing.tree import draw_pair
        from studbook.planning.pairs import study
        from studbook.planning.wording import explanation_sentences, pair_sentences

        asked = self._kinship.asked(question.cautious)
        found = study(
            self._snapshot,
            self._kinship.asked(False),
            self._kinship.asked(True),
            asked.unknown,
            cock,
            hen,
            question.today,
            question.limit,
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
            pair_sentences(found, question.limit, self._snapshot),
            explanation_sentences(found, self._snapshot),
            drawing,
            refusal,
        )

    def unknown(self, question: Question, pair: tuple[BirdId, BirdId], progress: Progress) -> UnknownAnswer:
        """What unknown parents hide of one pair; slower than the rest, so it is asked for on its own."""
        from studbook.planning.unknown_parents import hidden_in_pair
        from studbook.planning.unknown_words import (
            candidate_sentences,
            candidates_link,
            hidden_method,
            pair_words,
        )

        def go_on(_share: float) -> None:
            if progress.cancelled:
                raise Stopped

        hidden = hidden_in_pair(self._flock, *pair, go_on)
        return UnknownAnswer(
            pair,
            tuple(pair_words(each, question.limit) for each in hidden),
            tuple(candidate_sentences(each) for each in hidden),
            candidates_link(hidden),
            hidden_method(),
        )
