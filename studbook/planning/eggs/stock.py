"""The eggs on hand for setting: gathered, not set, not given away, and not yet too old."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from studbook.book.husbandry.rows import Batch, EggUse, EggUseKind, Husbandry, MixedIn
from studbook.book.husbandry.whose_egg import WhoseEgg
from studbook.book.ids import BirdId, PenId
from studbook.book.records import Snapshot
from studbook.planning.eggs.walk import walking_order
from studbook.planning.eggs.week import Source, pen_of_hen
from studbook.season.incubation import Storage, StorageGrade, storage
from studbook.season.practice import Practice

FOWL = "chicken"


@dataclass(frozen=True, slots=True)
class OnHand:
    """The eggs of one pen, or of one trap-nested hen, that may still be set.

    Attributes
    ----------
    laid
        The days they were gathered with the eggs left of each, the oldest first.
    ageing
        Those older than `warn_days`, after which fewer hatch.
    source
        Where `warn_days` comes from.
    """

    of: Source
    laid: tuple[tuple[date, int], ...]
    storage: Storage
    ageing: int
    warn_days: int
    source: str

    @property
    def eggs(self) -> int:
        """How many they are."""
        return sum(eggs for _day, eggs in self.laid)

    @property
    def is_ageing(self) -> bool:
        """True when some have been kept longer than is good."""
        return self.storage.grade is not StorageGrade.FRESH


@dataclass(slots=True)
class _Lot:
    """Eggs gathered on one day from one source, as far as they are still there."""

    on: date
    hen: BirdId | None
    eggs: int


@dataclass(frozen=True, slots=True)
class _Taken:
    """Eggs that were set or left: on which day, how many, and the first and last day they may have been laid."""

    on: date
    eggs: int
    of: Source
    first: date
    last: date


def eggs_on_hand(snapshot: Snapshot, today: date) -> tuple[OnHand, ...]:
    """The eggs that may be set today, pen by pen in walking order, each pen's trap-nested hens after it.

    What was set or left is taken from the oldest eggs of its laying days that were then within the time eggs can
    be kept. Eggs past that time are not on hand.
    """
    year = snapshot.husbandry
    asking = WhoseEgg({bird.id: bird for bird in snapshot.birds}, year)
    kinds = {pen.id: _species_in(snapshot, pen.id, today) for pen in walking_order(year)}
    lots = _gathered(year, today)
    for taken in sorted(_taken(asking, kinds, today), key=lambda row: row.on):
        _take(year, lots, taken)
    found: list[OnHand] = []
    for pen in (*kinds, None):
        of_source: dict[BirdId | None, list[_Lot]] = {}
        for lot in lots.get(pen, ()):
            if lot.eggs:
                of_source.setdefault(lot.hen, []).append(lot)
        for hen in sorted(of_source, key=lambda hen: "" if hen is None else _mark(snapshot, hen)):
            if hen is not None and snapshot.has(hen):
                code = snapshot.bird(hen).species
            else:
                code = kinds[pen] if pen is not None else FOWL
            made = _on_hand(_source(pen, hen), of_source[hen], asking.practice(code), today)
            if made is not None:
                found.append(made)
    return tuple(found)


def _mark(snapshot: Snapshot, hen: BirdId) -> str:
    return f"1{snapshot.bird(hen).called}" if snapshot.has(hen) else "2"


def _on_hand(source: Source, lots: list[_Lot], practice: Practice, today: date) -> OnHand | None:
    oldest = today - timedelta(practice.storage_most_days)
    by_day: dict[date, int] = {}
    for lot in lots:
        if oldest <= lot.on <= today:
            by_day[lot.on] = by_day.get(lot.on, 0) + lot.eggs
    if not by_day:
        return None
    laid = tuple(sorted(by_day.items()))
    fresh_from = today - timedelta(practice.storage_warn_days)
    return OnHand(
        source,
        laid,
        storage(laid[0][0], laid[-1][0], today, practice),
        sum(eggs for day, eggs in laid if day < fresh_from),
        practice.storage_warn_days,
        practice.figures["storage_warn_days"].source,
    )


def _gathered(year: Husbandry, today: date) -> dict[PenId | None, list[_Lot]]:
    """All collections up to today by pen, the oldest first; None for hens of no pen."""
    lots: dict[PenId | None, list[_Lot]] = {}
    for day in sorted(day for day in year.collections_on if day <= today):
        for row in year.collections_on[day]:
            pen = row.pen if row.hen is None else pen_of_hen(year, row.hen, day)
            lots.setdefault(pen, []).append(_Lot(day, row.hen, row.eggs))
    return lots


def _taken(asking: WhoseEgg, kinds: dict[PenId, str], today: date) -> Iterator[_Taken]:
    """What was set and what left, up to today."""
    year = asking.year
    for batch in year.batches.values():
        set_on = year.sittings[batch.sitting].set_on
        if batch.moved_from is not None or set_on > today:
            continue
        among = year.mixed_into.get(batch.id, ())
        own = batch.eggs - sum(lot.eggs for lot in among)
        lots: list[tuple[Batch | MixedIn, int]] = [(batch, own), *((lot, lot.eggs) for lot in among)]
        for lot, eggs in lots:
            if lot.pen is not None or lot.hen is not None:
                first, last = asking.laying_days(batch, lot.laid_from, lot.laid_to)
                yield _Taken(set_on, eggs, _source(lot.pen, lot.hen), first, last)
    for use in year.egg_uses.values():
        if use.kind is not EggUseKind.DAY_OLDS_SOLD and use.on <= today:
            code = kinds.get(_pen_of_use(year, use) or PenId(""), FOWL)
            kept = timedelta(asking.practice(code).storage_most_days)
            yield _Taken(use.on, use.eggs, _source(use.pen, use.hen), use.on - kept, use.on)


def _source(pen: PenId | None, hen: BirdId | None) -> Source:
    return Source(hen=hen) if hen is not None else Source(pen=pen)


def _pen_of_use(year: Husbandry, use: EggUse) -> PenId | None:
    return use.pen if use.hen is None else pen_of_hen(year, use.hen, use.on)


def _take(year: Husbandry, lots: dict[PenId | None, list[_Lot]], taken: _Taken) -> None:
    """Take eggs out, the oldest of those days first: a hen's own before her pen's, a pen's before its hens'."""
    hen = taken.of.hen
    pen = taken.of.pen if hen is None else pen_of_hen(year, hen, taken.last)
    of_pen = lots.get(pen, [])
    begin = bisect_left(of_pen, taken.first, key=lambda lot: lot.on)
    end = bisect_right(of_pen, taken.last, key=lambda lot: lot.on)
    there = [lot for lot in of_pen[begin:end] if lot.eggs and (hen is None or lot.hen in (hen, None))]
    wanted = taken.eggs
    for lot in sorted(there, key=lambda lot: (lot.hen != hen, lot.on)):
        used = min(wanted, lot.eggs)
        lot.eggs -= used
        wanted -= used
        if not wanted:
            return


def _species_in(snapshot: Snapshot, pen: PenId, today: date) -> str:
    """The species of most birds of a pen now, else of its last ones, else fowl."""
    counts: dict[str, int] = {}
    stays = snapshot.husbandry.stays_in.get(pen, ())
    for stay in [stay for stay in stays if stay.covers(today)] or stays[-1:]:
        if snapshot.has(stay.bird):
            code = snapshot.bird(stay.bird).species
            counts[code] = counts.get(code, 0) + 1
    return max(counts, key=counts.__getitem__, default=FOWL)
