"""Who is meant by what a list writes: an id, a mark, a mark once worn, a name."""

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass, field

from studbook.book.records import Bird, BirdId


def folded(text: str) -> str:
    """`text` without case and doubled spaces, as marks and names are compared."""
    return " ".join(unicodedata.normalize("NFC", text).casefold().split())


@dataclass
class Register:
    """The birds of book and list under everything they can be called."""

    _by_id: dict[str, BirdId] = field(default_factory=dict)
    _by_mark: dict[str, list[tuple[str, BirdId]]] = field(default_factory=dict)
    _by_old_mark: dict[str, list[tuple[str, BirdId]]] = field(default_factory=dict)
    _by_name: dict[str, list[tuple[str, BirdId]]] = field(default_factory=dict)

    def enter(self, bird: Bird, before: Bird | None = None) -> None:
        """Add a bird; `before` is what it was until now, whose marks count as once worn."""
        self._by_id[bird.id.lower()] = bird.id
        worn = {mark.code for mark in bird.marks if mark.is_worn}
        old = {mark.code for mark in (*bird.marks, *(before.marks if before else ()))} - worn
        for code in sorted(worn):
            self._by_mark.setdefault(folded(code), []).append((code, bird.id))
        for code in sorted(old):
            self._by_old_mark.setdefault(folded(code), []).append((code, bird.id))
        if bird.name:
            self._by_name.setdefault(folded(bird.name), []).append((bird.name, bird.id))

    def called(self, text: str) -> tuple[BirdId, ...]:
        """The birds `text` may mean: by id, else by current mark, else by a mark once worn, else by name."""
        if found := self._by_id.get(text.lower()):
            return (found,)
        for known in (self._by_mark, self._by_old_mark, self._by_name):
            if birds := _closest(text, known):
                return birds
        return ()


def _closest(text: str, known: dict[str, list[tuple[str, BirdId]]]) -> tuple[BirdId, ...]:
    """The birds called exactly `text`, else those called so but for case and spaces."""
    found = known.get(folded(text), ())
    return _unique(bird for name, bird in found if name == text) or _unique(bird for _name, bird in found)


def _unique(birds: Iterable[BirdId]) -> tuple[BirdId, ...]:
    return tuple(dict.fromkeys(birds))
