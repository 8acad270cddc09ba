"""What the table looks up of every bird of a snapshot, found once: a filter then takes milliseconds.

Of a book of 100,000 birds it is made on a worker, and so is every new order: each takes a third of a second.
"""

from collections.abc import Callable, Sequence
from datetime import date
from functools import cached_property
from typing import Any

from PySide6.QtCore import Qt

from studbook.book.records import Bird, Snapshot
from studbook.desk.rooms.birds.columns import Facts, Figures, bird_columns, search_text
from studbook.desk.rooms.birds.filters import Filter, Standing
from studbook.words import fold

Sorting = tuple[int, Qt.SortOrder]
"""The number of a column, and the direction."""

_RUN = 4_000
"""So many birds are sorted at once: nobody else is let in while the language sorts."""


# where a bird stands: each at one place
_STRUCK, _PLACEHOLDER, _LIVING, _GONE = 1, 2, 4, 8


class BirdIndex:
    """The birds of one snapshot, those struck out last, in lists by their place.

    Attributes
    ----------
    rows
        The birds.
    years, breeds
        What the filters offer.
    birds
        How many there are, placeholders and those struck out not counted.
    """

    def __init__(self, snapshot: Snapshot, today: date, before: "BirdIndex | None" = None) -> None:
        self.snapshot = snapshot
        self.rows: tuple[Bird, ...] = (*snapshot.birds, *snapshot.struck)
        self.birds = sum(not bird.placeholder for bird in snapshot.birds)
        # facts of its own: those of the table change in the midst of a job
        self._facts = Facts(snapshot, today)
        self._columns = bird_columns(self._facts)
        self._stands = [_stand(bird) for bird in self.rows]
        self._years = [bird.hatched.year for bird in self.rows]
        self._breeds = [bird.breed for bird in self.rows]
        count = len(snapshot.birds)
        self.years = sorted({year for year in self._years[:count] if year}, reverse=True)
        self.breeds = sorted({breed for breed in self._breeds[:count] if breed}, key=fold)
        self._before = before if before is not None and before.has_texts else None
        self._keys: dict[str, list[Any]] = {}
        self._orders: dict[Sorting, list[int]] = {}

    def prepare(self) -> None:
        """Make what the search and the filters look through."""
        _ready = self.texts, self._marked

    @cached_property
    def texts(self) -> list[str]:
        """What the search looks through; of a bird that is the same object as before, it is not made again."""
        before, self._before = self._before, None
        known = {} if before is None else dict(zip(map(id, before.rows), before.texts, strict=True))
        return [known.get(id(bird)) or search_text(bird) for bird in self.rows]

    @cached_property
    def _marked(self) -> list[bool]:
        return [any(mark.is_worn and mark.kind.is_own for mark in bird.marks) for bird in self.rows]

    @property
    def has_texts(self) -> bool:
        """True once `texts` are made."""
        return "texts" in self.__dict__

    def places(self, wanted: Filter, among: Sequence[int]) -> list[int]:
        """Those `among` some places whose birds a filter shows, in their order."""
        stands, rows = self._stands, self.rows
        asked = _asked(wanted)
        found = [place for place in among if stands[place] & asked]
        if (only := wanted.only) is not None:
            found = [place for place in found if rows[place].id in only]
        if (sex := wanted.sex) is not None:
            found = [place for place in found if rows[place].sex is sex]
        if (year := wanted.year) is not None:
            years = self._years
            found = [place for place in found if years[place] == year]
        if (breed := wanted.breed) is not None:
            breeds = self._breeds
            found = [place for place in found if breeds[place] == breed]
        if (marked := wanted.marked) is not None:
            has_mark = self._marked
            found = [place for place in found if has_mark[place] is marked]
        for word in wanted.words:
            texts = self.texts
            found = [place for place in found if word in texts[place]]
        return found

    def known_order(self, sorting: Sorting | None) -> list[int] | None:
        """All places in an order that was found before; None if it was not."""
        if sorting is None:
            return list(range(len(self.rows)))
        return self._orders.get(sorting)

    def order(self, sorting: Sorting | None) -> list[int]:
        """All places sorted by a column; where nothing is known the bird comes last, both ways."""
        known = self.known_order(sorting)
        if known is not None or sorting is None:
            return known or []
        number, direction = sorting
        column, figures = self._columns[number], self._facts.figures
        keys = self._keys.get(column.key)
        if keys is None:
            keys = [_sort_key((column.value or column.text)(bird)) for bird in self.rows]
        has = [place for place, key in enumerate(keys) if key is not None and key != ""]
        lacks = [place for place, key in enumerate(keys) if key is None or key == ""]
        ordered = _in_runs(has, keys.__getitem__, direction is Qt.SortOrder.DescendingOrder)
        if self._facts.figures is figures:
            # not found in the meantime, on another thread
            self._keys[column.key], self._orders[sorting] = keys, [*ordered, *lacks]
        return [*ordered, *lacks]

    def take_figures(self, figures: Figures, columns: Sequence[int]) -> None:
        """The values of some columns are found."""
        self._facts.figures = figures
        for number in columns:
            self._keys.pop(self._columns[number].key, None)
        self._orders = {
            sorting: order for sorting, order in self._orders.items() if sorting[0] not in columns
        }


def _stand(bird: Bird) -> int:
    if bird.struck is not None:
        return _STRUCK
    if bird.placeholder:
        return _PLACEHOLDER
    return _LIVING if bird.is_living else _GONE


def _asked(wanted: Filter) -> int:
    """Where the birds of a filter stand."""
    placeholders = _PLACEHOLDER if wanted.placeholders else 0
    match wanted.standing:
        case Standing.STRUCK:
            return _STRUCK
        case Standing.LIVING:
            return _LIVING | placeholders
        case Standing.GONE:
            return _GONE
        case Standing.ALL:
            return _LIVING | _GONE | placeholders


def _sort_key(value: Any) -> Any:
    return fold(value) if isinstance(value, str) else value


def _in_runs(places: list[int], key: Callable[[int], Any], reverse: bool) -> list[int]:
    """`places` sorted, equal ones in their order: sorted runs are joined two by two, so that others come in between.

    Joining two runs that are sorted is what the language's own sorting is quickest at.
    """
    runs = [
        sorted(places[begin : begin + _RUN], key=key, reverse=reverse)
        for begin in range(0, len(places), _RUN)
    ]
    while len(runs) > 1:
        runs = [
            sorted(runs[number] + runs[number + 1], key=key, reverse=reverse)
            if number + 1 < len(runs)
            else runs[number]
            for number in range(0, len(runs), 2)
        ]
    return runs[0] if runs else []
