"""Chicks: hatched, marked, lost, ringed and named.

Chance (sexes, colours, losses) is drawn for each brood from a generator of its own, so that a change to one brood
leaves the others as they are.
"""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta
from functools import partial
from random import Random

from studbook.book import changes
from studbook.book.changes.change import Change
from studbook.book.changes.importing import ImportBirds
from studbook.book.records import Bird, BirdId, Mark, MarkId, MarkKind, Pair, Sex, Status
from studbook.dates import PartialDate
from studbook.demo import story
from studbook.demo.ledger import FOWL, SEED, Kind, Ledger, on_day, sex_of
from studbook.demo.plumage import Plumage, chick_colour
from studbook.demo.story import Brood, Season

NAMING_DAY = "10-31"

CHICK_LOSSES = (
    "weak from the hatch",
    "found dead",
    "crow",
    "trodden in the nest",
    "drowned in the drinker",
    "coccidiosis",
    "chilled",
)
WAYS_TO_STRAY = ("strayed on the moor", "hawk seen over the run")

TOE_PUNCHES = (
    ("left outer", "left foot"),
    ("left inner", "left foot"),
    ("right inner", "right foot"),
    ("right outer", "right foot"),
    ("both outer", "both feet"),
    ("both inner", "both feet"),
    ("left both", "left foot"),
    ("right both", "right foot"),
    ("all four", "both feet"),
)
"""One pattern of punched webs for each brood of a year; left and right are the bird's own."""

CHICK_RINGS = (
    "yellow",
    "pink",
    "green",
    "white",
    "orange",
    "blue",
    "red",
    "violet",
    "black",
    "grey",
    "brown",
)
"""One colour of spiral ring for each brood of a year; it comes off when the numbered ring goes on."""


def plan_hatches(ledger: Ledger, season: Season, kind: Kind, broods: tuple[Brood, ...]) -> None:
    """Write each brood into the book on the day after it hatched, or at the end of a month nobody knows the day of."""
    for number, brood in enumerate(broods):
        hatched = PartialDate.parse(f"{season.year}-{brood.hatched}")
        written = hatched.earliest + timedelta(days=1)
        if hatched.day is None:
            written = date(season.year, hatched.month or 1, 30)
        ledger.diary.plan(written, partial(_hatch, ledger, season, kind, number, brood, hatched))


def plan_naming(ledger: Ledger, season: Season) -> None:
    """Give the birds that stay their names in the autumn, all on one list."""
    ledger.diary.plan(on_day(season.year, NAMING_DAY), partial(_write_names, ledger, season))


def _hatch(
    ledger: Ledger, season: Season, kind: Kind, number: int, brood: Brood, hatched: PartialDate
) -> None:
    rng = Random(f"{SEED} {season.year} {kind.species} {number}")
    batch = ledger.batches.get((kind.species, season.year, number))
    pairs = ledger.pairs(brood.parents) if batch is None else ledger.pairs_of_eggs(batch)
    colours = [_colour(ledger, pairs, rng) if kind is FOWL else "mallard" for _ in range(brood.chicks)]
    marks = _provisional(ledger, season, number) if kind is FOWL else ()
    chicks = tuple(changes.Chick(marks, colour=colour) for colour in colours)
    rearer = ledger.named[brood.rearer] if brood.rearer else None
    change: Change = (
        changes.RegisterHatch(hatched, pairs, chicks, rearer, kind.species, kind.breed)
        if batch is None
        else changes.RegisterChicks(batch, hatched.earliest, chicks, rearer, kind.breed)
    )
    entry = ledger.apply(change)
    kept = _choose([ledger.bird(chick) for chick in entry.birds], brood.keeps.split())
    sexes = {chick: Sex.COCK if rng.random() < 0.5 else Sex.HEN for chick in entry.birds}
    sexes |= {chick: sex_of(name) for name, chick in kept.items()}
    others = [chick for chick in entry.birds if chick not in kept.values()]
    ledger.named |= kept
    ledger.raised[kind.species, season.year] += others
    _plan_losses(ledger, others, rng)
    ringing = ledger.diary.today + timedelta(days=kind.ring_age_days)
    ledger.diary.plan(ringing, partial(_ring_brood, ledger, season, kind, sexes))


def _colour(ledger: Ledger, pairs: tuple[Pair, ...], rng: Random) -> Plumage:
    """The colour of a chick of one of these pairs, each as likely as its weight."""
    drawn = rng.random()
    for pair in pairs:
        drawn -= pair.weight
        if drawn < 0:
            break
    sire, dam = (
        Plumage(ledger.bird(parent).colour) if parent is not None else None
        for parent in (pair.sire, pair.dam)
    )
    return chick_colour(sire, dam, rng)


def _provisional(ledger: Ledger, season: Season, number: int) -> tuple[Mark, ...]:
    """The mark the chicks of one brood share until they wear rings."""
    if season.provisional is MarkKind.TOE_PUNCH:
        code, place = TOE_PUNCHES[number]
        return (Mark(MarkId(""), MarkKind.TOE_PUNCH, code, place, since=ledger.today),)
    if season.provisional is MarkKind.RING_COLOUR:
        colour = CHICK_RINGS[number]
        return (Mark(MarkId(""), MarkKind.RING_COLOUR, colour, "both legs", colour, since=ledger.today),)
    return ()


def _choose(chicks: list[Bird], names: list[str]) -> dict[str, BirdId]:
    """The chicks that stay: cocks are chosen first, a blue one if there is one."""
    left = list(chicks)
    kept: dict[str, BirdId] = {}
    for name in sorted(names, key=lambda name: name not in story.COCKS):
        blue = [chick for chick in left if chick.colour == Plumage.BLUE]
        chosen = blue[0] if blue and name in story.COCKS else left[0]
        left.remove(chosen)
        kept[name] = chosen.id
    return kept


def _plan_losses(ledger: Ledger, chicks: Iterable[BirdId], rng: Random) -> None:
    """One chick in ten dies in its first weeks, a few grown ones go astray."""
    causes: tuple[str, ...]
    for chick in chicks:
        drawn = rng.random()
        if drawn < 0.1:
            days, status, causes = 1 + int(40 * rng.random() ** 2), Status.DIED, CHICK_LOSSES
        elif drawn < 0.13:
            days, status, causes = 66 + int(20 * rng.random()), Status.LOST, WAYS_TO_STRAY
        else:
            continue
        cause = causes[int(rng.random() * len(causes))]
        on = ledger.diary.today + timedelta(days=days)
        ledger.diary.plan(on, partial(_lose, ledger, chick, status, cause))


def _lose(ledger: Ledger, chick: BirdId, status: Status, cause: str) -> None:
    if ledger.bird(chick).is_living:
        ledger.apply(changes.SetStatus((chick,), status, ledger.today, cause))


def _ring_brood(ledger: Ledger, season: Season, kind: Kind, sexes: dict[BirdId, Sex]) -> None:
    """Ring those that are left and write down their sex, which now shows."""
    standing = [chick for chick in sexes if ledger.bird(chick).is_living]
    spirals = [
        mark for chick in standing for mark in ledger.bird(chick).marks if mark.kind is MarkKind.RING_COLOUR
    ]
    if spirals:
        off = tuple(changes.EditMark(mark, replace(mark, until=ledger.today)) for mark in spirals)
        ledger.apply(changes.Together(off, f"take chick rings off: {spirals[0].code}"))
    ringed: list[tuple[Bird, Bird]] = []
    for chick in standing:
        bird, sex = ledger.bird(chick), sexes[chick]
        ring = ledger.next_ring(kind, sex, season.year, season.ring_colour)
        ringed.append((bird, replace(bird, sex=sex, comb=kind.comb, marks=(*bird.marks, ring))))
    ledger.apply(ImportBirds((), tuple(ringed)), why="Ring list")


def _write_names(ledger: Ledger, season: Season) -> None:
    broods = (*season.broods, *season.ducklings)
    names = [name for brood in broods for name in brood.keeps.split()]
    named = ((ledger.bird_named(name), name) for name in names)
    changed = tuple((bird, replace(bird, name=name)) for bird, name in named)
    ledger.apply(ImportBirds((), changed), why="Names of those that stay")
