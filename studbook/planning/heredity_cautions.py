"""The place of heredity among what speaks against a pair: carrier × carrier, a harmful cross.

The record knows nothing of heredity yet, so `NOTHING_KNOWN` is what is asked and nothing is shown. Whoever
brings it gives `studbook.planning.pairs.study` a `Heredity` of their own.
"""

from typing import Protocol

from studbook.book.records import BirdId
from studbook.planning.sentences import Sentence


class Heredity(Protocol):
    """Knows what two birds may hand down."""

    def cautions(self, cock: BirdId, hen: BirdId) -> tuple[Sentence, ...]:
        """What is to be minded about the chicks of a pair, a sentence for each thing."""


class _Nothing:
    def cautions(self, cock: BirdId, hen: BirdId) -> tuple[Sentence, ...]:
        return ()


NOTHING_KNOWN: Heredity = _Nothing()
"""Nothing is known of heredity."""
