"""How the flock was bred in the last years, from the parents of its chicks, and policies to begin with."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from statistics import fmean

from studbook.book.records import Bird, BirdId, Snapshot
from studbook.genetics.breeding_policy import Keep
from studbook.planning.forecast.policy import CHICKS, BuyIn, Policy
from studbook.words import _, plural

HABIT_YEARS = 3
"""Counted over the last so many hatch years."""

_THREE = 3
_FOUR_YEARS = 4
_MOST_COCKS = 20
_FEWEST_CHICKS = 12


@dataclass(frozen=True, slots=True)
class Habits:
    """What was usual; the numbers are means of `years`, None where the book does not tell.

    Attributes
    ----------
    cocks, hens
        Birds with chicks in a year.
    replaced
        Share of the hens with chicks for the first time.
    seasons
        How many years a cock had chicks.
    doubtful
        Share of chicks with more than one possible sire.
    chicks
        Chicks a year that were entered in the book.
    """

    years: tuple[int, ...] = ()
    cocks: float | None = None
    hens: float | None = None
    replaced: float | None = None
    seasons: float | None = None
    doubtful: float | None = None
    chicks: float | None = None


def habits(snapshot: Snapshot, species: str, today: date) -> Habits:
    """How the birds of a species were bred in its last hatch years."""
    by_year: dict[int, list[Bird]] = defaultdict(list)
    for bird in snapshot.birds:
        year = bird.hatched.year
        home = bird.species == species and not bird.placeholder and bird.pairs
        if home and year is not None and year <= today.year:
            by_year[year].append(bird)
    years = tuple(sorted(by_year)[-HABIT_YEARS:])
    if not years:
        return Habits()
    sires = {year: {sire for chick in by_year[year] for sire in chick.sires} for year in by_year}
    dams = {year: {dam for chick in by_year[year] for dam in chick.dams} for year in by_year}
    chicks = [chick for year in years for chick in by_year[year]]
    return Habits(
        years,
        _mean(len(sires[year]) for year in years if sires[year]),
        _mean(len(dams[year]) for year in years if dams[year]),
        _replaced(dams, years),
        _seasons(sires, years),
        sum(len(chick.sires) > 1 for chick in chicks) / len(chicks),
        len(chicks) / len(years),
    )


def usual_policies(found: Habits, cocks: int, hens: int) -> tuple[Policy, ...]:
    """Three policies to compare first, and one more to add.

    As now, with three cocks (with one where there are three or more now), with three or as many as now and a new
    one every four years; then with as many that rotate. `cocks` and `hens` may breed next season; they stand in
    where the book does not tell. All keep about the same number of hens, and choose the least related.
    """
    now_cocks = max(1, min(round(found.cocks or min(cocks, _THREE)), _MOST_COCKS))
    now_hens = max(round(found.hens or hens), now_cocks)
    now = Policy(
        _("as now"),
        now_cocks,
        max(1, round(now_hens / now_cocks)),
        keep=Keep.LEAST_RELATED,
        replaced=_tenths(0.5 if found.replaced is None else found.replaced, 0.1),
        seasons=max(1, round(found.seasons or 1)),
        mate_apart=True,
        doubtful=_tenths(found.doubtful or 0.0, 0.0),
        chicks=max(CHICKS if found.chicks is None else round(found.chicks), 2 * now_hens, _FEWEST_CHICKS),
    )
    several = max(_THREE, now_cocks)
    wide = replace(
        now,
        name=cocks_a_year(several),
        cocks=several,
        hens_per_cock=max(1, -(-now_hens // several)),
        doubtful=0.0,
    )
    one = replace(wide, name=cocks_a_year(1), cocks=1, hens_per_cock=now_hens)
    fresh = _("three cocks, new blood") if several == _THREE else _("{count} cocks, new blood")
    rotated = _("three cocks, rotated") if several == _THREE else _("{count} cocks, rotated")
    return (
        now,
        one if now_cocks >= _THREE else wide,
        replace(wide, name=fresh.format(count=several), buy_in=BuyIn(_FOUR_YEARS, _FOUR_YEARS)),
        replace(wide, name=rotated.format(count=several), rotate=True),
    )


def cocks_a_year(count: int) -> str:
    """The name of a policy by its cocks."""
    if count == _THREE:
        return _("three cocks a year")
    return plural("{count} cock a year", "{count} cocks a year", count).format(count=count)


def _replaced(dams: dict[int, set[BirdId]], years: tuple[int, ...]) -> float | None:
    """The share of dams that are new, over the years with a year before them."""
    first = min(dams)
    shares = []
    for year in years:
        if year > first and dams[year]:
            before = set().union(*(found for earlier, found in dams.items() if earlier < year))
            shares.append(len(dams[year] - before) / len(dams[year]))
    return _mean(shares)


def _seasons(sires: dict[int, set[BirdId]], years: tuple[int, ...]) -> float | None:
    """In how many years the sires of these years had chicks."""
    known = set().union(*(sires[year] for year in years))
    return _mean(sum(sire in found for found in sires.values()) for sire in known)


def _mean(numbers: Iterable[float]) -> float | None:
    found = list(numbers)
    return fmean(found) if found else None


def _tenths(share: float, least: float) -> float:
    return min(1.0, max(least, round(share, 1)))
