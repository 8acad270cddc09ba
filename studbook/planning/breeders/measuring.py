"""The lines of the birds that may breed, made from a snapshot; ask on a worker thread."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields
from datetime import date
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from studbook.book.husbandry.choosing_rows import Verdict
from studbook.book.husbandry.rows import Husbandry
from studbook.book.records import Bird, BirdId, Sex, Snapshot
from studbook.book.relatedness import Unknown
from studbook.genetics.gene_drop import gene_drop
from studbook.genetics.kinship import mean_kinship
from studbook.planning.bloodlines.descent import shares_by_founder
from studbook.planning.bloodlines.flock import Flock as Counted
from studbook.planning.bloodlines.flock import Way, Ways
from studbook.planning.bloodlines.measuring import REPLICATES, SEED
from studbook.planning.bloodlines.report import FounderKey
from studbook.planning.bloodlines.standing import fate, ranks, standings
from studbook.planning.breeders.lines import AtRisk, Flock, Line, Lines, Parting, earlier_choices
from studbook.planning.candidates import kind_of
from studbook.planning.care.trials import Trials, TrialStudy
from studbook.planning.eggs.outcome import By, OutcomeRow, Parents, outcomes, parents_of_eggs

SEASON_BEGINS = (3, 1)
"""By the first of March a bird must be old enough to breed that season (common practice in the north)."""

_NOTHING = 1e-12
_MOST_DROPPED = 20_000_000
_FEWEST_REPLICATES = 400

Told = Callable[[float], None]

_NOT_READ = frozenset(
    {"choices", "bans", "plans", "planned_pens", "planned_birds", "rotations", "rotation_pens"}
)


@dataclass(frozen=True)
class Known:
    """What takes long and does not hang on what the keeper decides: kept while the rest of the book stays the same."""

    snapshot: Snapshot
    ways: Ways

    @cached_property
    def trials(self) -> Trials:
        """The fertility trials."""
        return Trials(self.snapshot)

    @cached_property
    def parents(self) -> Parents:
        """Whose the eggs of each batch may be."""
        return parents_of_eggs(self.snapshot)

    @cached_property
    def founders_at_risk(self) -> dict[tuple[str, Unknown], dict[BirdId, tuple[AtRisk, ...]]]:
        """What was found of each species and way."""
        return {}

    @cached_property
    def last_copies(self) -> dict[str, dict[BirdId, tuple[FounderKey, ...]]]:
        """What was found of each species."""
        return {}

    @cached_property
    def eggs(self) -> dict[BirdId, OutcomeRow]:
        """What came of the eggs that were certainly of one cock, or of one hen."""
        found = {}
        for by in (By.COCK, By.HEN):
            for row in outcomes(self.snapshot, by, None, self.parents):
                if row.group.is_certain and row.group.birds and row.group.birds[0] is not None:
                    found[row.group.birds[0]] = row
        return found


def known(snapshot: Snapshot, before: Known | None = None) -> Known:
    """What is worked out once for a snapshot; `before` is given back where only choices and plans changed since."""
    if before is not None and _reads_the_same(before.snapshot, snapshot):
        return before
    return Known(snapshot, Ways(snapshot))


def _reads_the_same(old: Snapshot, new: Snapshot) -> bool:
    if len(old.birds) != len(new.birds) or old.origins != new.origins:
        return False
    if any(one is not other for one, other in zip(old.birds, new.birds, strict=True)):
        return False
    return all(
        getattr(old.husbandry, each.name) is getattr(new.husbandry, each.name)
        for each in fields(Husbandry)
        if each.name not in _NOT_READ
    )


def season_begins(season: int, today: date) -> date:
    """The day by which a bird must be old enough: the first of March, or today if that is past."""
    return max(date(season, *SEASON_BEGINS), today)


def breeder_lines(
    snapshot: Snapshot,
    found: Known,
    species: str,
    season: int,
    today: date,
    unknown: Unknown = Unknown.FLOCK,
    progress: Told | None = None,
) -> Lines:
    """A line for each living cock and hen of a species that is old enough by the season, in the order of marks.

    `progress` hears the share done; an exception it raises ends the work.
    """
    told = progress or (lambda _share: None)
    flock = Counted(found.snapshot, unknown, species, lambda share: told(0.4 * share), found.ways)
    living, asked = flock.living, flock.asked
    day = season_begins(season, today)
    may = [place for place, row in enumerate(living.tolist()) if _may_breed(snapshot.birds[row], day)]
    kinships = {way: mean_kinship(way.pedigree, way.nodes(living), way.known) for way in flock.ways}
    told(0.5)
    convention, cautious = (kinships[way].tolist() for way in flock.ways)
    shown: list[float] = kinships[asked].tolist()
    standing, rank = standings(convention, cautious, shown), ranks(shown)
    at_risk = _founders_at_risk(flock, found, lambda share: told(0.5 + 0.3 * share))
    told(0.8)
    birds = [snapshot.birds[living[place]] for place in may]
    last = _last_copies(flock, found)
    partings, whole = _partings(snapshot, flock, kinships[asked], may, birds, season, last)
    told(0.9)
    lines = []
    for place, bird, parting in zip(may, birds, partings, strict=True):
        row = int(living[place])
        eggs = found.eggs.get(bird.id)
        chicks = snapshot.offspring.get(bird.id, ())
        held = snapshot.husbandry.apart_of.get(bird.id, ())
        lines.append(
            Line(
                bird=bird,
                is_grown=kind_of(bird).may_breed(bird.sex, bird.hatched, today),
                age_days=(today - bird.hatched.earliest).days if bird.hatched.is_known else None,
                kinship=shown[place],
                by_convention=convention[place],
                cautious=cautious[place],
                rank=rank[place],
                standing=standing[place],
                inbreeding=float(asked.inbreeding[row]),
                generations=float(flock.generations[row]),
                at_risk=at_risk.get(bird.id, ()),
                trial=_last_trial(found.trials, bird),
                apart=next((apart for apart in reversed(held) if apart.until is None), None),
                offspring=len(chicks),
                living_offspring=sum(snapshot.bird(chick).is_living for chick in chicks),
                fertile=eggs.outcome.fertility if eggs is not None else None,
                hatched=eggs.over.hatch_of_set if eggs is not None else None,
                choice=snapshot.husbandry.choice_for(bird.id, season),
                earlier=earlier_choices(snapshot, bird.id, season),
                parting=parting,
            )
        )
    lines.sort(key=lambda line: (not line.is_cock, (line.bird.mark or line.bird.name).casefold()))
    told(1.0)
    return Lines(unknown, species, season, whole, tuple(lines))


def _may_breed(bird: Bird, day: date) -> bool:
    return bird.sex is not Sex.UNKNOWN and kind_of(bird).may_breed(bird.sex, bird.hatched, day)


def _last_trial(trials: Trials, bird: Bird) -> TrialStudy | None:
    """The last trial of a cock of which eggs were seen."""
    studies = (trials.study(trial) for trial in trials.of_cock(bird.id))
    return next((study for study in studies if study.result.whole.of), None)


def _founders_at_risk(flock: Counted, found: Known, told: Told) -> dict[BirdId, tuple[AtRisk, ...]]:
    """The founders about to be lost that each living bird carries, by the rules of the room Bloodlines."""
    key = (flock.species or "", flock.unknown)
    if key not in found.founders_at_risk:
        found.founders_at_risk[key] = _find_at_risk(flock, told)
    return found.founders_at_risk[key]


def _find_at_risk(flock: Counted, told: Told) -> dict[BirdId, tuple[AtRisk, ...]]:
    if not len(flock.living):
        return {}
    among, pedigree = flock.founders, flock.asked.pedigree
    nodes = flock.asked.nodes(flock.living)
    most = max(_FEWEST_REPLICATES, _MOST_DROPPED // len(pedigree.with_ancestors(nodes)))
    dropped = gene_drop(pedigree, nodes, np.random.default_rng(SEED), min(REPLICATES, most), among, told)
    carried: dict[BirdId, list[AtRisk]] = {}
    for founder, share in shares_by_founder(pedigree, nodes, among, np.arange(len(among))):
        carrying = np.flatnonzero(share > _NOTHING)
        key = flock.key(founder)
        stands = fate(key, len(carrying), float(dropped.kept[founder]))
        if not stands.is_at_risk:
            continue
        for place in carrying.tolist():
            bird = flock.snapshot.birds[flock.living[place]].id
            carried.setdefault(bird, []).append(AtRisk(key, stands, float(share[place]), len(carrying)))
    return {
        bird: tuple(sorted(risks, key=lambda risk: (risk.carriers, -risk.share)))
        for bird, risks in carried.items()
    }


def _last_copies(flock: Counted, found: Known) -> dict[BirdId, tuple[FounderKey, ...]]:
    """The founders of which each bird is the last living one by the record: what may be is no copy to rely on."""
    species = flock.species or ""
    if species not in found.last_copies:
        by_record = Counted(flock.snapshot, Unknown.UNRELATED, flock.species, ways=found.ways)
        among, last = by_record.founders, dict[BirdId, list[FounderKey]]()
        way, living = by_record.asked, by_record.living
        for founder, share in shares_by_founder(
            way.pedigree, way.nodes(living), among, np.arange(len(among))
        ):
            carrying = np.flatnonzero(share > _NOTHING)
            key = by_record.key(founder)
            if len(carrying) == 1 and not key.is_unknown_parent:
                last.setdefault(flock.snapshot.birds[living[carrying[0]]].id, []).append(key)
        found.last_copies[species] = {bird: tuple(keys) for bird, keys in last.items()}
    return found.last_copies[species]


def _partings(
    snapshot: Snapshot,
    flock: Counted,
    kinship: NDArray[np.float64],
    may: list[int],
    birds: list[Bird],
    season: int,
    last: dict[BirdId, tuple[FounderKey, ...]],
) -> tuple[list[Parting], Flock]:
    """What becomes of the flock without each bird, all at once; and the flock as it is.

    Sums over all pairs are kept, and a bird's going takes its own row and column out of them.
    """
    asked, living = flock.asked, len(flock.living)
    own = (1 + asked.inbreeding[flock.living]) / 2
    total = float(kinship.sum()) * living
    without = None
    if living > 1:
        without = 1 - (total - 2 * living * kinship + own) / (living - 1) ** 2
    is_cock = np.array([bird.sex is Sex.COCK for bird in birds], dtype=bool)
    breeds = np.array(
        [
            (choice := snapshot.husbandry.choice_for(bird.id, season)) is None
            or choice.verdict is not Verdict.NO
            for bird in birds
        ],
        dtype=bool,
    )
    places = np.array(may, dtype=np.intp)
    nodes = asked.nodes(flock.living[places]) if may else np.zeros(0, dtype=np.int32)
    next_ones = _Next(asked, nodes, is_cock, breeds, own[places] if may else np.zeros(0))
    whole = Flock(
        living,
        1 - total / living**2 if living else None,
        next_ones.cocks,
        next_ones.hens,
        next_ones.expected,
        next_ones.kinship,
    )
    partings = []
    for number, (place, bird) in enumerate(zip(may, birds, strict=True)):
        expected, c_k_c = next_ones.without(number)
        partings.append(
            Parting(
                float(without[place]) if without is not None else None,
                expected,
                c_k_c,
                bool(breeds[number]),
                last.get(bird.id, ()),
            )
        )
    return partings, whole


class _Next:
    """The next generation of the birds that breed, and what it would be without one of them."""

    def __init__(
        self,
        way: Way,
        nodes: NDArray[np.int32],
        is_cock: NDArray[np.bool_],
        breeds: NDArray[np.bool_],
        own: NDArray[np.float64],
    ) -> None:
        self._is_cock, self._breeds, self._own = is_cock, breeds, own
        cock, hen = is_cock & breeds, ~is_cock & breeds
        self.cocks, self.hens = int(cock.sum()), int(hen.sum())
        # the sum of each bird's kinship with all cocks, and with all hens
        self._with_cocks = mean_kinship(way.pedigree, nodes, way.known, nodes[cock]) * self.cocks
        self._with_hens = mean_kinship(way.pedigree, nodes, way.known, nodes[hen]) * self.hens
        self._cocks = float(self._with_cocks[cock].sum())
        self._hens = float(self._with_hens[hen].sum())
        self._across = float(self._with_hens[cock].sum())
        self.expected, self.kinship = self._figures(
            self.cocks, self.hens, self._cocks, self._hens, self._across
        )

    def without(self, number: int) -> tuple[float | None, float | None]:
        """F and c′Kc if one bird goes."""
        if not self._breeds[number]:
            return self.expected, self.kinship
        with_cocks, with_hens = float(self._with_cocks[number]), float(self._with_hens[number])
        own = float(self._own[number])
        if self._is_cock[number]:
            return self._figures(
                self.cocks - 1,
                self.hens,
                self._cocks - 2 * with_cocks + own,
                self._hens,
                self._across - with_hens,
            )
        return self._figures(
            self.cocks,
            self.hens - 1,
            self._cocks,
            self._hens - 2 * with_hens + own,
            self._across - with_cocks,
        )

    @staticmethod
    def _figures(
        cocks: int, hens: int, of_cocks: float, of_hens: float, across: float
    ) -> tuple[float | None, float | None]:
        if not cocks or not hens:
            return None, None
        expected = across / (cocks * hens)
        return expected, (of_cocks / cocks**2 + of_hens / hens**2 + 2 * expected) / 4
