"""Finding birds as one types: by mark or name or part of either, blind to accents and case."""

from collections.abc import Iterable
from functools import cached_property

from studbook.book.records import Bird
from studbook.words import fold


class Finder:
    """The birds of one snapshot, ready to be searched."""

    def __init__(self, birds: Iterable[Bird]) -> None:
        self._birds = birds

    @cached_property
    def _keys(self) -> list[tuple[str, str, str, Bird]]:
        """Made when the first letter is typed."""
        return [(fold(bird.mark), fold(bird.name), _all_marks(bird), bird) for bird in self._birds]

    def find(self, text: str, limit: int = 50) -> list[Bird]:
        """The birds that fit `text`, best first: whole mark or name, their beginnings, then any part."""
        words = fold(text).split()
        if not words:
            return [bird for _mark, _name, _marks, bird in self._keys[:limit]]
        whole = " ".join(words)
        ranked: tuple[list[Bird], ...] = ([], [], [])
        for mark, name, marks, bird in self._keys:
            if not all(word in name or word in marks for word in words):
                continue
            if whole in (mark, name):
                ranked[0].append(bird)
            elif mark.startswith(whole) or name.startswith(whole):
                ranked[1].append(bird)
            else:
                ranked[2].append(bird)
        return [bird for rank in ranked for bird in rank][:limit]


def _all_marks(bird: Bird) -> str:
    return " ".join(fold(mark.code) for mark in bird.marks)
