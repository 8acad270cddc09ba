"""The report in sentences: what each figure is, what it means, and what to do differently now."""

from dataclasses import dataclass

from studbook.book.records import Snapshot
from studbook.planning.bloodlines.methods import Figure, Method
from studbook.planning.bloodlines.report import BloodlinesReport, Call, Founder, FounderKey, RankedBird
from studbook.planning.sentences import Sentence


@dataclass(frozen=True)
class FigureWords:
    """One figure explained.

    Attributes
    ----------
    title
        What it is called.
    value
        The figure itself in a few words: "3.2 founders", "not known".
    what, meaning, advice
        What it is, what it means here, what to do differently now.
    """

    figure: Figure
    title: str
    value: Sentence
    what: Sentence
    meaning: tuple[Sentence, ...]
    advice: tuple[Sentence, ...]
    method: Method


def figure_words(figure: Figure, report: BloodlinesReport, snapshot: Snapshot) -> FigureWords:
    """One figure of a report explained, in the user's language."""
    raise NotImplementedError


def summary(report: BloodlinesReport, snapshot: Snapshot) -> tuple[Sentence, ...]:
    """The answer to "is the line narrowing?" in two or three sentences, and what to do about it."""
    raise NotImplementedError


def founder_called(key: FounderKey, snapshot: Snapshot) -> Sentence:
    """What a founder is called: the bird, or "unknown dam of" the bird."""
    raise NotImplementedError


def founder_words(founder: Founder, report: BloodlinesReport, snapshot: Snapshot) -> tuple[Sentence, ...]:
    """How a founder stands, who carries it, and what to do."""
    raise NotImplementedError


def standing_words(ranked: RankedBird, report: BloodlinesReport, snapshot: Snapshot) -> tuple[Sentence, ...]:
    """What a living bird's mean kinship says of it, and what to do."""
    raise NotImplementedError


def call_words(call: Call, snapshot: Snapshot) -> tuple[Sentence, ...]:
    """Which birds elsewhere carry a founder, who has them, and what borrowing the best would do."""
    raise NotImplementedError


def borrowing_method() -> Method:
    """How the effect of borrowing a bird is worked out."""
    raise NotImplementedError
