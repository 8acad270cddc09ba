"""A flock simulated forward on its kinship: many replicates at once, families in place of chicks.

Full sibs have the same expected kinship with every other bird, so a year is a choice of families, and the
kinship of the next season's breeders follows from that of this one's: a young bird's is half its sire's and
half its dam's, its kinship with itself (1 + F)/2. Kinship is exact for the pedigree each
replicate draws. Genes of the founders are dropped along, so that what is lost by chance is seen too.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from studbook.genetics.breeding_policy import NO_FOUNDER, Breeding, Keep, Start
from studbook.genetics.breeding_turns import BOUGHT, Turn, pens_of_hens, turns
from studbook.genetics.choosing_young import chosen, mated_apart, mated_by_chance
from studbook.genetics.first_breeders import first_breeders
from studbook.genetics.passing_on import Descent

LOCI = 16
"""Places in the genome at which genes are dropped in each replicate."""

# The kinship of one chunk of replicates takes about so many numbers; what is worked out from it some times as many.
_CHUNK_NUMBERS = 250_000

# Which founder is present at which locus takes about so many bytes.
_CHUNK_FLAGS = 10_000_000

BOUGHT_IN = -2
"""The parents of a bought cock in a `Lineage`."""

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Lineage:
    """One replicate written out: the birds of the start, then every bird bred or bought after them.

    Attributes
    ----------
    sire, dam
        (b,) rows of the parents; -1 for the birds of the start, `BOUGHT_IN` for bought cocks.
    flock
        (n,) the rows of the breeders after the last year.
    kinship
        (n, n) their kinship.
    sires
        The possible sires, all alike likely, of each bird whose sire is in doubt.
    recorded
        (n, n) their kinship by what is recorded, where the keeper goes by it; else the same as `kinship`.
    """

    sire: Ints
    dam: Ints
    flock: Ints
    kinship: Floats
    sires: dict[int, tuple[int, ...]]
    recorded: Floats


@dataclass(frozen=True, eq=False)
class Simulation:
    """What r replicates of y years came to.

    Attributes
    ----------
    inbreeding
        (y, r) mean F of the chicks of each year, every hen counting alike.
    diversity
        (y, r) gene diversity of the breeders chosen after each year: 1 less their mean kinship.
    founders
        (y, r) how many founders of the start still have a gene in those breeders, on the mean over the loci.
    first_founders
        (r,) how many the birds of the start have at the same loci.
    kept
        (k,) chance that a gene of each founder is still there after the last year.
    first_diversity
        Gene diversity of the birds of the start.
    lineage
        The first replicate.
    """

    inbreeding: Floats
    diversity: Floats
    founders: Floats
    kept: Floats
    first_founders: Floats
    first_diversity: float
    lineage: Lineage


def simulate(
    start: Start,
    breeding: Breeding,
    years: int,
    replicates: int,
    rng: np.random.Generator,
    progress: Callable[[float], None] | None = None,
) -> Simulation:
    """Breed the flock on for `years` under some rules, `replicates` times.

    The breeders of the first season come from the start: by chance where young birds are kept by chance (of the
    hens the youngest), else by the same rule as later ones. `progress` hears the share done; an exception it
    raises ends the work.

    Raises
    ------
    ValueError
        If no year or no replicate is asked for.
    """
    if years < 1 or replicates < 1:
        raise ValueError("at least one year and one replicate")
    breeders = breeding.cocks + breeding.hens
    width = min(_CHUNK_NUMBERS // breeders**2, _CHUNK_FLAGS // (LOCI * (start.founders + 1)))
    width = max(1, min(width, replicates))
    outcome, first = np.empty((3, years, replicates)), np.empty(replicates)
    kept = np.zeros(start.founders)
    lineage: Lineage | None = None
    for begin in range(0, replicates, width):
        chunk = slice(begin, min(begin + width, replicates))
        flock = _Flock(start, breeding, chunk.stop - begin, years, rng)
        first[chunk] = flock.first_founders
        for year, turn in enumerate(flock.turns):
            outcome[0, year, chunk] = flock.breed(turn)
            outcome[1, year, chunk] = flock.diversity()
            outcome[2, year, chunk] = flock.founders_kept().sum(axis=1)
            if progress is not None:
                progress((begin + (chunk.stop - begin) * (year + 1) / years) / replicates)
        kept += flock.founders_kept().sum(axis=0)
        lineage = lineage or flock.lineage()
    assert lineage is not None
    return Simulation(
        outcome[0],
        outcome[1],
        outcome[2],
        kept / replicates,
        first,
        1 - float(start.kinship.mean()),
        lineage,
    )


def _founders_at(start: Start) -> Floats:
    """How many founders the birds of the start have a gene of in each gene drop (d,)."""
    drops = start.genes.shape[2]
    present = np.zeros((drops, start.founders + 1), dtype=bool)
    for genes in start.genes.reshape(-1, drops):
        present[np.arange(drops), genes] = True
    count: Floats = present[:, :-1].sum(axis=1).astype(np.float64)
    return count


def founders_present(genes: NDArray[np.int32], founders: int) -> Floats:
    """The share of loci at which each founder still has a gene (r, k), of genes (r, n, 2, l)."""
    replicates, loci = genes.shape[0], genes.shape[-1]
    # the last column takes the genes of none that is counted, as -1
    present = np.zeros((replicates, loci, founders + 1), dtype=bool)
    row = np.arange(replicates)[:, None, None, None]
    present[row, np.arange(loci), genes] = True
    share: Floats = present[:, :, :founders].mean(axis=1)
    return share


class _Flock:
    """The breeders of some replicates in one season, brought forward year by year."""

    def __init__(
        self, start: Start, breeding: Breeding, replicates: int, years: int, rng: np.random.Generator
    ) -> None:
        self._breeding, self._rng = breeding, rng
        self._rows = np.arange(replicates)[:, None]
        cocks, hens = first_breeders(start, breeding, replicates, rng)
        pens = pens_of_hens(breeding, [int(start.pen[hen]) for hen in hens])
        self.turns = turns(breeding, cocks.shape[1], pens, years)
        birds = np.concatenate([cocks, np.broadcast_to(hens, (replicates, len(hens)))], axis=1)
        self._source = 0 if breeding.new_blood is None else breeding.new_blood.source
        self._kinship = _with_source(start.kinship, birds, start, self._source)
        self._recorded = self._kinship if breeding.doubtful and breeding.is_by_record else None
        self._balance: Floats | None = None
        if breeding.keep is Keep.FOUNDER_BALANCED:
            alike = start.shares @ start.shares.T
            self._balance = np.zeros_like(self._kinship)
            self._balance[:, :-1, :-1] = alike[birds[:, :, None], birds[:, None, :]]
        loci = rng.integers(0, start.genes.shape[2], (replicates, LOCI))
        self._genes = start.genes[birds[:, :, None, None], np.arange(2)[:, None], loci[:, None, None, :]]
        self._founders = start.founders
        self.first_founders = _founders_at(start)[loci].mean(axis=1)
        self._doubted: dict[int, tuple[int, ...]] = {}
        self._ids = birds[0].copy()
        self._sire, self._dam = [-1] * len(start.is_cock), [-1] * len(start.is_cock)
        if breeding.new_blood is not None and breeding.new_blood.arrives(1):
            self._buy_at_once(cocks.shape[1], len(hens))

    def breed(self, turn: Turn) -> Floats:
        """One season with its chicks and the choice after it; the mean F of the chicks (r,)."""
        rows, cocks = self._rows, turn.cocks
        mated = self._mated(turn)
        family_f = self._kinship[rows, mated, cocks + np.arange(turn.hens)]
        sire, dam, doubted = self._kept(turn, mated)
        self._advance(turn, sire, dam, doubted)
        self._drop_genes(turn, sire, dam)
        self._note(turn, sire[0], dam[0], doubted[0])
        mean: Floats = family_f.mean(axis=1)
        return mean

    def diversity(self) -> Floats:
        """Gene diversity of the breeders (r,)."""
        diversity: Floats = 1 - self._kinship[:, :-1, :-1].mean(axis=(1, 2))
        return diversity

    def founders_kept(self) -> Floats:
        """The share of loci at which each founder still has a gene (r, k)."""
        return founders_present(self._genes, self._founders)

    def lineage(self) -> Lineage:
        """The first replicate written out."""
        recorded = self._kinship if self._recorded is None else self._recorded
        return Lineage(
            np.array(self._sire),
            np.array(self._dam),
            self._ids,
            self._kinship[0, :-1, :-1].copy(),
            self._doubted,
            recorded[0, :-1, :-1].copy(),
        )

    def _mated(self, turn: Turn) -> Ints:
        """The cock of each hen (r, hens)."""
        replicates = len(self._rows)
        if self._breeding.rotate:
            return np.broadcast_to(turn.pen % turn.cocks, (replicates, turn.hens))
        if not self._breeding.mate_apart:
            return mated_by_chance(replicates, turn.cocks, turn.hens, self._rng)
        known = self._kinship if self._recorded is None else self._recorded
        return mated_apart(known[:, : turn.cocks, turn.cocks : turn.cocks + turn.hens], self._rng)

    def _kept(self, turn: Turn, mated: Ints) -> tuple[Ints, Ints, NDArray[np.bool_]]:
        """Places of the sires and dams of the young birds kept (r, y), and whether the sire is doubted."""
        if self._breeding.keep is Keep.RANDOM:
            hen = np.empty((len(self._rows), len(turn.young)), dtype=np.int64)
            for place, pen in enumerate(turn.dam_pen[turn.young]):
                hen[:, place] = self._any_hen(turn, int(pen))
            doubted = self._rng.random(hen.shape) < self._breeding.doubtful
        else:
            hen, doubted = self._by_rule(turn, mated)
        return np.take_along_axis(mated, hen, axis=1), turn.cocks + hen, doubted

    def _any_hen(self, turn: Turn, pen: int) -> Ints:
        among = np.flatnonzero(_in_pen(turn, pen))
        return among[self._rng.integers(0, len(among), len(self._rows))]

    def _by_rule(self, turn: Turn, mated: Ints) -> tuple[Ints, NDArray[np.bool_]]:
        """The hen of each young bird kept (r, y), by the rule, and whether its sire is doubted."""
        cocks, hens, replicates = turn.cocks, turn.hens, len(self._rows)
        doubt = self._breeding.doubtful
        known = self._kinship if self._recorded is None else self._recorded
        relation = known if self._balance is None else known + self._balance / 2
        # candidates: the sure chicks of each hen, then those of doubted sire
        kinds = 2 if doubt else 1
        every = np.arange(hens)
        doubtful = np.tile(np.repeat([False, True][:kinds], hens), (replicates, 1))
        candidates = Descent.of_pairs(
            np.tile(mated, kinds), np.tile(cocks + every, (replicates, kinds)), doubtful, cocks
        )
        to_flock = candidates.with_old(relation)
        between = candidates.with_old(to_flock.transpose(0, 2, 1))
        own_f = known[self._rows, mated, cocks + every]
        if doubt:
            own_f = np.concatenate([own_f, known[:, :cocks, cocks : cocks + hens].mean(axis=1)], axis=1)
        own = (1 + own_f) / 2
        if self._balance is not None:
            own += np.diagonal(candidates.among(self._balance), axis1=1, axis2=2) / 2
        weight = np.where(
            np.arange(len(turn.place)) < turn.next_cocks,
            0.5 / turn.next_cocks,
            0.5 / (len(turn.place) - turn.next_cocks),
        )
        stays = np.zeros(known.shape[1])
        stays[turn.place[turn.kept]] = weight[turn.kept]
        stays[-1] = weight[turn.bought].sum()
        base = to_flock @ stays
        picked = np.empty((replicates, len(turn.young)), dtype=np.int64)
        for cockerels in (True, False):
            which = np.flatnonzero((turn.young < turn.next_cocks) == cockerels)
            if not len(which):
                continue
            taken = chosen(
                between,
                own,
                base,
                weight[turn.young[which]].tolist(),
                [np.tile(_in_pen(turn, int(pen)), kinds) for pen in turn.dam_pen[turn.young[which]]],
                self._hatched(replicates, hens),
                self._rng,
            )
            picked[:, which] = taken
            # pullets are chosen beside the cockerels
            if cockerels:
                for place, pick in zip(which, range(taken.shape[1]), strict=True):
                    base = (
                        base
                        + weight[turn.young[place]]
                        * np.take_along_axis(between, taken[:, pick, None, None], axis=1)[:, 0]
                    )
        return picked % hens, picked >= hens

    def _hatched(self, replicates: int, hens: int) -> Ints:
        """How many young birds of one sex each candidate has (r, c): every chick is any hen's alike."""
        chicks, doubt = self._breeding.chicks // 2, self._breeding.doubtful
        share = np.full(hens, 1 / hens)
        if doubt:
            share = np.concatenate([share * (1 - doubt), share * doubt])
        count: Ints = self._rng.multinomial(chicks, share, size=replicates)
        return count

    def _advance(self, turn: Turn, sire: Ints, dam: Ints, doubted: NDArray[np.bool_]) -> None:
        """Bring every kinship forward by a season."""
        # the yard bought from stands last, and stays
        last = self._kinship.shape[1] - 1
        size = len(turn.place) + 1
        stays = np.concatenate([turn.kept, turn.bought, [size - 1]])
        was = np.concatenate([turn.place[turn.kept], np.full(len(turn.bought), last), [last]])
        certain = Descent(size, stays, was, turn.young, sire, dam)
        told = replace(certain, doubted=doubted, cocks=turn.cocks)
        inbreeding = self._kinship[self._rows, sire, dam]
        if self._recorded is not None:
            mean = np.take_along_axis(self._recorded[:, : turn.cocks].mean(axis=1), dam, axis=1)
            f = np.where(doubted, mean, self._recorded[self._rows, sire, dam])
            self._recorded = _next_kinship(turn, told, self._recorded, f)
        if self._balance is not None:
            self._balance = told.among(self._balance)
            self._balance[:, turn.bought, turn.bought] = 1
        self._kinship = _next_kinship(turn, certain, self._kinship, inbreeding)

    def _drop_genes(self, turn: Turn, sire: Ints, dam: Ints) -> None:
        replicates, loci = len(self._rows), self._genes.shape[3]
        genes = np.full((replicates, len(turn.place), 2, loci), NO_FOUNDER, dtype=np.int32)
        genes[:, turn.kept] = self._genes[:, turn.place[turn.kept]]
        for side, parent in enumerate((sire, dam)):
            drawn = self._rng.integers(0, 2, (replicates, len(turn.young), loci), dtype=np.int8)
            genes[:, turn.young, side] = self._genes[
                self._rows[:, :, None], parent[:, :, None], drawn, np.arange(loci)
            ]
        self._genes = genes

    def _note(self, turn: Turn, sire: Ints, dam: Ints, doubted: NDArray[np.bool_]) -> None:
        """Write the first replicate out."""
        ids = np.where(turn.place >= 0, self._ids[np.maximum(turn.place, 0)], -1)
        cocks = tuple(self._ids[: turn.cocks].tolist())
        parents = zip(turn.young, self._ids[sire], self._ids[dam], doubted, strict=True)
        for place, father, mother, doubt in parents:
            ids[place] = self._born(int(father), int(mother))
            if doubt and self._recorded is not None:
                self._doubted[int(ids[place])] = cocks
        for place in turn.bought:
            ids[place] = self._born(BOUGHT_IN, BOUGHT_IN)
        self._ids = ids

    def _born(self, sire: int, dam: int) -> int:
        self._sire.append(sire)
        self._dam.append(dam)
        return len(self._sire) - 1

    def _buy_at_once(self, cocks: int, hens: int) -> None:
        """The first of the cocks gives way to a bought one before the first season."""
        n = cocks + hens
        place = np.arange(n)
        place[0] = BOUGHT
        turn = Turn(cocks, hens, place, cocks, np.zeros(hens, dtype=np.int64), np.full(n, -1))
        nobody = np.zeros((len(self._rows), 0), dtype=np.int64)
        self._advance(turn, nobody, nobody, nobody.astype(bool))
        self._drop_genes(turn, nobody, nobody)
        self._note(turn, nobody[0], nobody[0], nobody[0].astype(bool))


def _with_source(kinship: Floats, birds: Ints, start: Start, source: int) -> Floats:
    """The kinship of the birds of each replicate (r, n + 1, n + 1), last the yard bought from."""
    replicates, n = birds.shape
    found = np.empty((replicates, n + 1, n + 1))
    found[:, :n, :n] = kinship[birds[:, :, None], birds[:, None, :]]
    found[:, -1, :n] = found[:, :n, -1] = start.source_kinship[source][birds]
    found[:, -1, -1] = start.source_self[source]
    return found


def _next_kinship(turn: Turn, descent: Descent, kinship: Floats, inbreeding: Floats) -> Floats:
    following = descent.among(kinship)
    following[:, turn.young, turn.young] = (1 + inbreeding) / 2
    following[:, turn.bought, turn.bought] = (1 + kinship[:, -1:, -1]) / 2
    return following


def _in_pen(turn: Turn, pen: int) -> NDArray[np.bool_]:
    """Which hens may be the dam (hens,)."""
    fit: NDArray[np.bool_] = turn.pen == pen
    return fit if pen >= 0 and fit.any() else np.ones(turn.hens, dtype=bool)
