"""What was seen of eggs set for a trial: how many were set, how many of them seen, and fertile.

An egg's final fate speaks first, the last candling for those that have none. Fertility is apparent: an embryo that
died in its first hours looks clear. What nobody looked at, broke or was doubtful is neither fertile nor clear.
"""

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from studbook.book.husbandry.rows import Batch, EggFate, Fate, Husbandry

_FERTILE = frozenset({Fate.EARLY_DEAD, Fate.LATE_DEAD, Fate.PIPPED_DEAD, Fate.HATCHED})
_CLEAR = frozenset({Fate.CLEAR})
_UNSEEN = frozenset({Fate.BROKEN, Fate.REMOVED})


@dataclass(frozen=True)
class Seen:
    """Eggs of a trial, of one hen or of all."""

    eggs: int = 0
    fertile: int = 0
    clear: int = 0

    @property
    def seen(self) -> int:
        """The eggs whose state is known."""
        return self.fertile + self.clear

    def __add__(self, other: "Seen") -> "Seen":
        return Seen(self.eggs + other.eggs, self.fertile + other.fertile, self.clear + other.clear)


def seen_of(year: Husbandry, batch: Batch) -> Seen:
    """What was seen of the eggs of one batch; those moved on are counted where they went."""
    fates = year.fates_of.get(batch.id, ())
    here = batch.eggs - _eggs(fates, {Fate.MOVED})
    fertile, clear = _eggs(fates, _FERTILE), _eggs(fates, _CLEAR)
    candlings = year.candlings_of.get(batch.id, ())
    if candlings:
        last = candlings[-1]
        # eggs with a fate of an earlier day were not among those candled; those of a later day were
        earlier = [fate for fate in fates if fate.on is not None and fate.on < last.on]
        later = [fate for fate in fates if fate not in earlier]
        room = max(here - fertile - clear - _eggs(earlier, _UNSEEN), 0)
        more_clear = min(max(last.clear - _eggs(later, _CLEAR), 0), room)
        candled = last.alive + last.early_dead + last.late_dead + last.pipped
        more_fertile = min(max(candled - _eggs(later, _FERTILE), 0), room - more_clear)
        fertile, clear = fertile + more_fertile, clear + more_clear
    return Seen(here, fertile, clear)


def _eggs(fates: Iterable[EggFate], kinds: Collection[Fate]) -> int:
    return sum(fate.eggs for fate in fates if fate.fate in kinds)
