"""The figures behind the room, made on the worker threads and handed over as frozen rows."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING

from studbook.book.records import BirdId, Snapshot
from studbook.drawing.errors import DrawingRefused
from studbook.drawing.sheet import Drawing
from studbook.planning.sentences import Sentence

if TYPE_CHECKING:
    from studbook.book.relatedness import Relatedness
    from studbook.planning.pairs import Advice, PairStudy
    from studbook.planning.wording import HenWords


@dataclass(frozen=True)
class Question:
    """What the keeper wants to see."""

    cocks: tuple[BirdId, ...]
    hens: tuple[BirdId, ...]
    cautious: bool
    limit: float
    today: date


@dataclass(frozen=True)
class Answer:
    """The advice and what it says: one summary, then for each hen her sentences."""

    question: Question
    advice: Advice
    basis: str
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


class Numbers:
    """The relatedness of one snapshot both ways; it is kept, so that the second question is quick.

    Nothing heavy is loaded before the first question; ask on a worker thread.
    """

    def __init__(self, snapshot: Snapshot) -> None:
        self._snapshot = snapshot

    @cached_property
    def _by_convention(self) -> Relatedness:
        from studbook.book.relatedness import Relatedness, Unknown

        return Relatedness(self._snapshot, Unknown.UNRELATED)

    @cached_property
    def _cautious(self) -> Relatedness:
        from studbook.book.relatedness import Relatedness, Unknown

        return Relatedness(self._snapshot, Unknown.FLOCK)

    def _asked(self, cautious: bool) -> Relatedness:
        return self._cautious if cautious else self._by_convention

    def advise(self, question: Question) -> Answer:
        """The matrix and the sentences."""
        from studbook.planning.pairs import advise
        from studbook.planning.wording import figure_sentence, hen_words, summary

        asked = self._asked(question.cautious)
        advice = advise(self._snapshot, asked, question.cocks, question.hens, question.today, question.limit)
        by_hen = tuple((hen.hen, hen_words(hen, question.limit, self._snapshot)) for hen in advice.by_hen)
        return Answer(question, advice, figure_sentence(asked.unknown), summary(advice), by_hen)

    def study(self, question: Question, cock: BirdId, hen: BirdId, *, dark: bool) -> PairAnswer:
        """One pair opened up, with its tree."""
        from studbook.drawing.tree import draw_pair
        from studbook.planning.pairs import study
        from studbook.planning.wording import explanation_sentences, pair_sentences

        asked = self._asked(question.cautious)
        found = study(
            self._snapshot,
            self._by_convention,
            self._cautious,
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
