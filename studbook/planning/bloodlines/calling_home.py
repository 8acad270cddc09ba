"""Birds lent, sold or given away that may still live and carry what the flock is losing."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from studbook.book.records import HANDED_OVER, Bird, Sex, Snapshot, Status
from studbook.genetics.gene_drop import gene_drop
from studbook.genetics.gene_flow import related_to
from studbook.genetics.pedigree import Pedigree
from studbook.planning.bloodlines.descent import shares_by_founder
from studbook.planning.bloodlines.flock import Flock, Ways
from studbook.planning.bloodlines.measuring import SEED
from studbook.planning.bloodlines.report import (
    BIRDS_CALLED,
    AwayBird,
    BloodlinesReport,
    Borrowing,
    Call,
    Founder,
)
from studbook.planning.candidates import is_old_enough

REPLICATES = 4_000

CHICKS_KEPT = 4
"""How many chicks of a borrowed bird are taken to be kept from one season."""

MOST_CALLS = 20
"""For how many founders birds are looked for: the most endangered ones of a very large book."""

# From memory and common practice: ages that are seldom reached by a bird still fit to breed.
_OLDEST_YEARS = {
    "chicken": 9,
    "duck": 9,
    "muscovy duck": 9,
    "goose": 20,
    "turkey": 8,
    "guinea fowl": 9,
    "japanese quail": 3,
    "pheasant": 8,
    "pigeon": 12,
}
_OLDEST_OTHERWISE_YEARS = 9
_DAYS_A_YEAR = 365.25
_NOTHING = 1e-12

# Gene drops times birds, for one borrowed bird: half a second.
_MOST_DROPPED = 20_000_000
_FEWEST_REPLICATES = 200


def calling_home(
    snapshot: Snapshot,
    report: BloodlinesReport,
    today: date,
    *,
    replicates: int = REPLICATES,
    seed: int = SEED,
    progress: Callable[[float], None] | None = None,
    ways: Ways | None = None,
) -> tuple[Call, ...]:
    """For each founder at risk or lost, the birds elsewhere that carry it and what borrowing one would do.

    `report` is one of the living flock. Birds that are lent come first, since they are the keeper's own,
    then those that carry most, of equals the younger. A bird that is lent stays when it is home again.
    `progress` hears the share done; an exception it raises ends the work. `ways` of the same snapshot
    spare what was worked out before.
    """
    flock = Flock(snapshot, report.unknown, report.species, ways=ways)
    wanted = (*report.at_risk, *report.lost)[:MOST_CALLS]
    away = np.array(
        [row for row in flock.birds.tolist() if may_come_home(snapshot.birds[row], today)], dtype=np.intp
    )
    places = {flock.key(place): place for place in range(len(flock.founders))}
    order = np.array([places[founder.key] for founder in wanted], dtype=np.intp)
    asked = flock.asked
    shares = dict(shares_by_founder(asked.pedigree, asked.nodes(away), flock.founders, order))
    loan = _Loan(flock, today, replicates, seed)
    calls = []
    for number, founder in enumerate(wanted):
        share = shares[places[founder.key]]
        carrying = np.flatnonzero(share > _NOTHING)
        best = sorted(
            carrying.tolist(),
            key=lambda place: (
                snapshot.birds[away[place]].status is not Status.LENT,
                -share[place],
                _age_order(snapshot.birds[away[place]]),
            ),
        )[:BIRDS_CALLED]
        birds = tuple(
            _away_bird(
                snapshot.birds[away[place]],
                float(share[place]),
                today,
                loan.of(int(away[place]), founder, places[founder.key]),
            )
            for place in best
        )
        calls.append(Call(founder.key, len(carrying), birds))
        if progress is not None:
            progress((number + 1) / len(wanted))
    return tuple(calls)


def may_come_home(bird: Bird, today: date) -> bool:
    """True for a bird lent, sold or given away that is not certainly too old to live and breed.

    Of a bird of unknown age, the years since it left count.
    """
    if bird.status not in HANDED_OVER or bird.placeholder:
        return False
    since = bird.hatched if bird.hatched.is_known else bird.left
    if not since.is_known:
        return True
    oldest_years = _OLDEST_YEARS.get(bird.species, _OLDEST_OTHERWISE_YEARS)
    return (today - since.latest).days <= oldest_years * _DAYS_A_YEAR


class _Loan:
    """What one season with a bird does to the flock; each bird is worked out once."""

    def __init__(self, flock: Flock, today: date, replicates: int, seed: int) -> None:
        self._flock, self._replicates, self._seed = flock, replicates, seed
        self._adults = [
            row for row in flock.living.tolist() if is_old_enough(flock.snapshot.birds[row], today)
        ]
        self._seasons: dict[int, _Season | None] = {}
        self._with: dict[bytes, NDArray[np.float64]] = {}

    def of(self, row: int, founder: Founder, place: int) -> Borrowing | None:
        """What a bird does for one founder; None if it has no mate and would not stay."""
        if row not in self._seasons:
            self._seasons[row] = self._season(row)
        season = self._seasons[row]
        if season is None:
            return None
        # the bird takes nothing away: what falls short is chance in the gene drop
        return Borrowing(
            season.chicks,
            season.mates,
            founder.retained,
            max(founder.retained, float(season.retained[place])),
            founder.kept,
            max(founder.kept, float(season.kept[place])),
            season.kinship_before,
            season.kinship_after,
            season.stays,
        )

    def _season(self, row: int) -> "_Season | None":
        birds = self._flock.snapshot.birds
        bird = birds[row]
        mates = [
            mate
            for mate in self._adults
            if birds[mate].species == bird.species and birds[mate].sex not in (bird.sex, Sex.UNKNOWN)
        ]
        stays = bird.status is Status.LENT
        if not mates and not stays:
            return None
        asked = self._flock.asked
        living, node = asked.nodes(self._flock.living), int(asked.book.nodes[row])
        mate_nodes = asked.nodes(np.array(mates, dtype=np.intp))
        pedigree, chicks = asked.pedigree, mate_nodes[:0]
        if mates:
            pedigree, chicks = with_chicks(asked.pedigree, node, mate_nodes, CHICKS_KEPT, bird.sex)
        home = np.array([node] * stays, dtype=np.int32)
        counted = np.concatenate([living, home, chicks])
        most = max(_FEWEST_REPLICATES, _MOST_DROPPED // len(pedigree.with_ancestors(counted)))
        found = gene_drop(
            pedigree,
            counted,
            np.random.default_rng(self._seed),
            min(self._replicates, most),
            self._flock.founders,
        )
        before, after = self._kinships(node, mate_nodes, stays=stays)
        return _Season(len(chicks), len(mates), found.retention, found.kept, before, after, stays)

    def _kinships(self, bird: int, mates: NDArray[np.int32], *, stays: bool) -> tuple[float, float]:
        """The mean kinship of the living flock alone, and with the chicks of a bird, which may stay, in it."""
        living = self._flock.asked.nodes(self._flock.living)
        with_living = self._mean_kinships(living)
        before = float(with_living[living].mean())
        own = float(self._flock.asked.known.self_relationship[bird]) / 2
        n, total = len(living), len(living) ** 2 * before
        if stays:
            total += 2 * n * float(with_living[bird]) + own
        if not len(mates):
            return before, total / (n + stays) ** 2
        with_mates = self._mean_kinships(mates)
        chicks, chicks_inbreeding = CHICKS_KEPT, float(with_mates[bird])
        chick_living = float(with_living[bird] + with_living[mates].mean()) / 2
        chick_chick = (own + 2 * chicks_inbreeding + float(with_mates[mates].mean())) / 4
        total += (
            2 * n * chicks * chick_living
            + chicks * (1 + chicks_inbreeding) / 2
            + chicks * (chicks - 1) * chick_chick
        )
        if stays:
            total += 2 * chicks * (own + chicks_inbreeding) / 2
        return before, total / (n + stays + chicks) ** 2

    def _mean_kinships(self, nodes: NDArray[np.int32]) -> NDArray[np.float64]:
        """The mean kinship of every node with some nodes (n,)."""
        key = nodes.tobytes()
        if key not in self._with:
            asked = self._flock.asked
            column = np.bincount(nodes, minlength=len(asked.pedigree)) / len(nodes)
            found = related_to(asked.pedigree, column, asked.known.sampling_variance) / 2
            self._with[key] = found
        return self._with[key]


@dataclass(frozen=True, eq=False)
class _Season:
    """The flock after one season with a bird, by founder (k,)."""

    chicks: int
    mates: int
    retained: NDArray[np.float64]
    kept: NDArray[np.float64]
    kinship_before: float
    kinship_after: float
    stays: bool


def with_chicks(
    pedigree: Pedigree, bird: int, mates: NDArray[np.int32], count: int, sex: Sex
) -> tuple[Pedigree, NDArray[np.int32]]:
    """The pedigree with `count` chicks of a bird, each by any of its mates alike, and their rows."""
    n = len(pedigree)
    sire, dam = (bird, n) if sex is Sex.COCK else (n, bird)
    added = len(mates) + np.arange(count + 1)
    extended = Pedigree.of_pairs(
        np.concatenate([pedigree.first, pedigree.first[-1] + added]),
        np.concatenate([pedigree.sire, mates, np.full(count, sire)]),
        np.concatenate([pedigree.dam, mates, np.full(count, dam)]),
        np.concatenate([pedigree.weight, np.full(len(mates), 1 / len(mates)), np.ones(count)]),
        np.concatenate([pedigree.variance, [0.0], np.full(count, np.nan)]),
    )
    return extended, np.arange(n + 1, n + 1 + count, dtype=np.int32)


def _away_bird(bird: Bird, share: float, today: date, borrowing: Borrowing | None) -> AwayBird:
    age_days = None
    if bird.hatched.is_known:
        middle = (bird.hatched.earliest.toordinal() + bird.hatched.latest.toordinal()) / 2
        age_days = today.toordinal() - middle
    return AwayBird(
        bird.id,
        share,
        None if age_days is None else age_days / _DAYS_A_YEAR,
        bird.status,
        bird.left,
        bird.taker,
        borrowing,
    )


def _age_order(bird: Bird) -> tuple[int, str]:
    """The younger first, birds of unknown age last."""
    return (-bird.hatched.latest.toordinal() if bird.hatched.is_known else 0, bird.called)
