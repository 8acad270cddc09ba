"""The model of the birds' table: a filter keeps the order there is instead of sorting anew."""

from collections.abc import Callable

from studbook.book.records import Bird
from studbook.desk.tables import RowsModel


class BirdsModel(RowsModel[Bird]):
    """The birds of a snapshot; quick for a hundred thousand.

    The sorted places of all rows are kept until the rows, the column or its values change. A filter
    that only narrows the one before it looks through the rows shown alone.
    """

    _sorted: list[int] | None = None
    _sorted_for: tuple[object, object] = (None, None)
    _narrows = False

    def narrow(self, fits: Callable[[Bird], bool]) -> None:
        """Show those of the rows shown that fit, too."""
        self._narrows = True
        self.set_filter(fits)
        self._narrows = False

    def forget_order(self) -> None:
        """The values of a column are other ones."""
        self._sorted = None

    def _arranged(self) -> list[int]:
        rows, fits = self._rows, self._fits
        order = self._order if self._narrows else self._all_sorted()
        return list(order) if fits is None else [place for place in order if fits(rows[place])]

    def _all_sorted(self) -> list[int]:
        wanted = (self._rows, self._sorted_by)
        same = self._sorted_for[0] is self._rows and self._sorted_for[1] == self._sorted_by
        if self._sorted is None or not same:
            shown, self._fits = self._fits, None
            self._sorted = super()._arranged()
            self._fits = shown
            self._sorted_for = wanted
        return self._sorted
