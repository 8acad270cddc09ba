"""The report on the bloodlines of a flock, made from a snapshot."""

import math
from collections.abc import Callable
from datetime import date

import numpy as np
from numpy.typing import NDArray

from studbook.book.records import Snapshot
from studbook.book.relatedness import Unknown
from studbook.genetics.ancestors import marginal_contributions
from studbook.genetics.founders import (
    Part,
    allele_retention_equivalents,
    cohort_contributions,
    effective_number,
    founder_contributions,
    founder_genome_equivalents,
)
from studbook.genetics.gene_drop import gene_drop
from studbook.genetics.kinship import mean_kinship
from studbook.genetics.old_and_recent import recent_inbreeding
from studbook.planning.bloodlines.descent import shares_by_founder
from studbook.planning.bloodlines.flock import PARTS, Flock, Way, Ways
from studbook.planning.bloodlines.report import (
    CARRIERS_TOLD,
    RECENT_GENERATIONS,
    BloodlinesReport,
    Carrier,
    Founder,
    FounderKey,
    FounderView,
    HatchYear,
    RankedBird,
)
from studbook.planning.bloodlines.sizes import breeders_size, generation_interval_years, realised_size, trend
from studbook.planning.bloodlines.standing import fate, ranks, standings

REPLICATES = 10_000
SEED = 20_170_409

# Gene drops times birds: 10,000 drops over 10,000 birds take some three seconds.
_MOST_DROPPED = 100_000_000
_FEWEST_REPLICATES = 400

# Less than this of a bird's genes is a rounding error, not descent.
_NOTHING = 1e-12

Told = Callable[[float], None]


def bloodlines_report(
    snapshot: Snapshot,
    today: date,
    *,
    unknown: Unknown = Unknown.FLOCK,
    species: str | None = None,
    living: bool = True,
    replicates: int = REPLICATES,
    seed: int = SEED,
    progress: Told | None = None,
    ways: Ways | None = None,
) -> BloodlinesReport:
    """The bloodlines of the living birds of a species (None: of all), or with `living` False of all birds.

    Placeholders stand for ancestors and are never counted. In a very large book fewer gene drops are
    made; the report says how many. `progress` hears the share done; an exception it raises ends the
    work. `ways` of the same snapshot spare what was worked out before.
    """
    told = _Stages(progress)
    flock = Flock(snapshot, unknown, species, told.within(0.0, 0.2), ways)
    asked, among = flock.asked, flock.founders
    counted = flock.living if living else flock.birds
    nodes = asked.nodes(counted)
    told(0.2)
    kinships = {way: mean_kinship(way.pedigree, way.nodes(flock.living), way.known) for way in flock.ways}
    kinship = kinships[asked] if living else mean_kinship(asked.pedigree, nodes, asked.known)
    contribution = founder_contributions(asked.pedigree, nodes, among)
    told(0.3)
    ancestors = marginal_contributions(asked.pedigree, nodes, among, told.within(0.3, 0.5))
    dropped = _Dropped(flock, counted, replicates, seed, told.within(0.5, 0.7))
    remaining = dropped if living else _Dropped(flock, flock.living, replicates, seed, told.within(0.7, 0.75))
    told(0.75)
    recent = _recent_inbreeding(flock, counted, told.within(0.75, 0.9))
    years = _hatch_years(flock)
    interval = generation_interval_years(snapshot, flock.convention.book, flock.birds)
    flock_kinship = _mean(kinship)
    report = BloodlinesReport(
        unknown=unknown,
        species=species,
        counts_living=living,
        birds=len(flock.birds),
        living=len(flock.living),
        founders=_founders(flock, contribution, dropped, remaining),
        years=years,
        trend=trend(years, unknown, interval),
        mean_kinship=flock_kinship,
        gene_diversity=None if flock_kinship is None else 1 - flock_kinship,
        founder_equivalents=_defined(effective_number(contribution)),
        ancestor_equivalents=_defined(effective_number(ancestors.contribution)),
        founder_genome_equivalents=_defined(founder_genome_equivalents(flock_kinship or 0.0)),
        allele_retention_equivalents=_defined(allele_retention_equivalents(contribution, dropped.retained)),
        mean_inbreeding=_mean(asked.inbreeding[counted]),
        mean_inbreeding_by_convention=_mean(flock.convention.inbreeding[counted]),
        mean_inbreeding_cautious=_mean(flock.cautious.inbreeding[counted]),
        recent_inbreeding=recent,
        generations=_mean(flock.generations[counted]),
        realised=realised_size(flock.convention.inbreeding[counted], flock.recorded_generations[counted]),
        breeders=breeders_size(snapshot, flock.birds, today, interval),
        ranking=_ranking(flock, kinships),
        replicates=dropped.replicates,
    )
    told(1.0)
    return report


def founder_view(
    snapshot: Snapshot,
    key: FounderKey,
    *,
    unknown: Unknown = Unknown.FLOCK,
    species: str | None = None,
    progress: Told | None = None,
    ways: Ways | None = None,
) -> FounderView:
    """One founder followed through the flock, all its carriers included.

    `progress` hears the share done; an exception it raises ends the work. `ways` of the same snapshot
    spare what was worked out before.

    Raises
    ------
    KeyError
        If the bird is not in the book or is no such founder.
    """
    told = _Stages(progress)
    flock = Flock(snapshot, unknown, species, told.within(0.0, 0.6), ways)
    share = np.zeros(len(snapshot.birds))
    share[flock.birds] = founder_share(flock, key, flock.birds)
    told(0.8)
    carriers = [
        Carrier(snapshot.birds[row].id, float(share[row]))
        for row in np.flatnonzero(share > _NOTHING).tolist()
    ]
    living = [carrier for carrier in carriers if snapshot.bird(carrier.bird).is_living]
    told(0.9)
    return FounderView(
        key,
        tuple(carrier for carrier in carriers if carrier.bird != key.bird or key.is_unknown_parent),
        tuple(sorted(living, key=lambda carrier: -carrier.share)),
        tuple((year, float(share[rows].mean())) for year, rows in flock.hatch_years.items()),
    )


def founder_share(flock: Flock, key: FounderKey, rows: NDArray[np.intp]) -> NDArray[np.float64]:
    """The share of the genes of `rows` that come from one founder (r,).

    Raises
    ------
    KeyError
        If the bird is not in the book or is no such founder.
    """
    among, asked = flock.founders, flock.asked
    node = asked.book.nodes[flock.snapshot.rows[key.bird]]
    found = np.flatnonzero((among.row == node) & (among.part == PARTS[key.half]))
    if not len(found):
        raise KeyError(key)
    return next(
        share for _founder, share in shares_by_founder(asked.pedigree, asked.nodes(rows), among, found)
    )


class _Stages:
    """One progress from several stages; it never falls."""

    def __init__(self, progress: Told | None) -> None:
        self._progress = progress
        self._done = 0.0

    def __call__(self, share: float) -> None:
        self._done = max(self._done, share)
        if self._progress is not None:
            self._progress(self._done)

    def within(self, low: float, high: float) -> Told | None:
        """The progress of a stage that takes the whole from `low` to `high`."""
        return None if self._progress is None else lambda share: self(low + share * (high - low))


class _Dropped:
    """What gene drops leave of each founder (k,) in some birds; nothing in none."""

    def __init__(
        self, flock: Flock, rows: NDArray[np.intp], replicates: int, seed: int, progress: Told | None
    ) -> None:
        among, pedigree = flock.founders, flock.asked.pedigree
        self.retained, self.kept = np.zeros(len(among)), np.zeros(len(among))
        self.replicates = 0
        if len(rows):
            nodes = flock.asked.nodes(rows)
            most = max(_FEWEST_REPLICATES, _MOST_DROPPED // len(pedigree.with_ancestors(nodes)))
            rng = np.random.default_rng(seed)
            found = gene_drop(pedigree, nodes, rng, min(replicates, most), among, progress)
            self.retained, self.kept, self.replicates = found.retention, found.kept, found.replicates


def _recent_inbreeding(flock: Flock, rows: NDArray[np.intp], progress: Told | None) -> float | None:
    """The mean recent inbreeding of some birds by convention."""
    convention = flock.convention
    inbred = rows[convention.inbreeding[rows] > _NOTHING]
    if not len(inbred):
        return _mean(convention.inbreeding[rows])
    nodes = convention.nodes(inbred)
    recent = recent_inbreeding(convention.pedigree, nodes, RECENT_GENERATIONS, progress)
    return float(recent.sum() / len(rows))


def _hatch_years(flock: Flock) -> tuple[HatchYear, ...]:
    return tuple(
        HatchYear(
            year,
            len(rows),
            float(flock.convention.inbreeding[rows].mean()),
            float(flock.cautious.inbreeding[rows].mean()),
            float(flock.generations[rows].mean()),
        )
        for year, rows in flock.hatch_years.items()
    )


def _founders(
    flock: Flock, contribution: NDArray[np.float64], counted: _Dropped, remaining: _Dropped
) -> tuple[Founder, ...]:
    """The founders that the birds come from, and those that bred and are lost."""
    among, asked, birds = flock.founders, flock.asked, flock.snapshot.birds
    bred = np.array(
        [birds[asked.book.rows[row]].id in flock.snapshot.offspring for row in among.row], dtype=bool
    )
    told = np.flatnonzero((contribution > 0) | (bred & (among.part == Part.BIRD)))
    by_year = _shares_by_year(flock)
    found = []
    for founder, share in shares_by_founder(asked.pedigree, asked.nodes(flock.living), among, told):
        carrying = np.flatnonzero(share > _NOTHING)
        most = carrying[np.argsort(-share[carrying], kind="stable")][:CARRIERS_TOLD]
        key = flock.key(founder)
        found.append(
            Founder(
                key,
                float(contribution[founder]),
                float(counted.retained[founder]),
                float(counted.kept[founder]),
                tuple(by_year[:, founder].tolist()),
                tuple(Carrier(birds[flock.living[place]].id, float(share[place])) for place in most),
                len(carrying),
                fate(key, len(carrying), float(remaining.kept[founder])),
            )
        )
    return tuple(sorted(found, key=lambda founder: -founder.contribution))


def _shares_by_year(flock: Flock) -> NDArray[np.float64]:
    """The share of each founder in the birds of each hatch year (y, k)."""
    if not flock.hatch_years:
        return np.zeros((0, len(flock.founders)))
    rows = np.concatenate(list(flock.hatch_years.values()))
    year = np.repeat(list(flock.hatch_years), [len(each) for each in flock.hatch_years.values()])
    asked = flock.asked
    return cohort_contributions(asked.pedigree, asked.nodes(rows), year, flock.founders).contribution


def _ranking(flock: Flock, kinships: dict[Way, NDArray[np.float64]]) -> tuple[RankedBird, ...]:
    convention, cautious = (kinships[way].tolist() for way in flock.ways)
    asked: list[float] = kinships[flock.asked].tolist()
    standing = standings(convention, cautious, asked)
    places = (ranks(convention), ranks(cautious))
    ranked = [
        RankedBird(
            flock.snapshot.birds[row].id,
            convention[place],
            cautious[place],
            places[0][place],
            places[1][place],
            float(flock.generations[row]),
            float(flock.asked.inbreeding[row]),
            standing[place],
        )
        for place, row in enumerate(flock.living.tolist())
    ]
    order = sorted(range(len(ranked)), key=lambda place: asked[place])
    return tuple(ranked[place] for place in order)


def _mean(figures: NDArray[np.float64]) -> float | None:
    return float(figures.mean()) if len(figures) else None


def _defined(number: float) -> float | None:
    return None if math.isnan(number) else number
