"""Gene drop: which founder genes are still there, found by letting them fall through the pedigree.

Each founder gets genes of its own, every bird draws one gene of its sire and one of its dam, and
the genes that reach the chosen birds are counted; many times over. Doubtful parents are drawn as
the pairs they are, a parent that is a mean of birds is drawn for each chick anew.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from studbook.genetics.compiled import kernels_for
from studbook.genetics.founders import Founders, Part, birds_only, founders, without_origins
from studbook.genetics.gene_flow import levels
from studbook.genetics.pedigree import UNKNOWN, Pedigree

CHUNK = 256
"""Replicates dropped at once."""

# The genes and counts of one chunk take at most this many bytes, or as many as one replicate needs;
# what is needed to make them stays below half of it.
_CHUNK_BYTES = 40_000_000

# So many draws of one gene of two are made at once.
_BITS_AT_ONCE = 1_000_000

_Genes = NDArray[np.unsignedinteger[Any]]


@dataclass(frozen=True, eq=False)
class GeneDrop:
    """What many gene drops left of k founders in a set of birds.

    The genes of all founders count as different, also where birds of one origin are assumed to be
    related. An unknown parent has two genes as any founder, of which one at most came down.

    Attributes
    ----------
    founders
        The k founders.
    kept
        (k,) chance that at least one gene of the founder is still there.
    retention
        (k,) expected share of the founder's two genes still there.
    genes
        (t,) how many different founder genes there were in each replicate.
    heterozygosity
        (t,) chance in each replicate that two genes drawn from the set, with return, differ; on
        the mean 1 less the mean kinship.
    """

    founders: Founders
    kept: NDArray[np.float64]
    retention: NDArray[np.float64]
    genes: NDArray[np.int64]
    heterozygosity: NDArray[np.float64]

    @property
    def replicates(self) -> int:
        """How many times the genes were dropped."""
        return len(self.genes)

    @property
    def expected_genes(self) -> float:
        """The expected number of different founder genes."""
        return float(self.genes.mean())

    @property
    def expected_heterozygosity(self) -> float:
        """The expected heterozygosity of the set."""
        return float(self.heterozygosity.mean())

    @property
    def kept_error(self) -> NDArray[np.float64]:
        """(k,) standard error of `kept`."""
        error: NDArray[np.float64] = np.sqrt(self.kept * (1 - self.kept) / self.replicates)
        return error


def gene_drop(
    pedigree: Pedigree,
    rows: ArrayLike,
    rng: np.random.Generator,
    replicates: int = 10_000,
    among: Founders | None = None,
    progress: Callable[[float], None] | None = None,
) -> GeneDrop:
    """Drop the founders' genes through the pedigree and count what reaches `rows`.

    10,000 drops over 5,000 birds take about 1.5 seconds on one core. Replicates fall in chunks of at most
    64 MB, whatever the size of the book, as long as one of them fits in it. `progress` hears the share
    done after each chunk; an exception it raises ends the work.

    Raises
    ------
    ValueError
        If there is no bird in `rows`, or a row that is no bird, or no replicate is asked for.

    References
    ----------
    MacCluer, VandeBerg, Read & Ryder 1986, Zoo Biology 5:147-160.
    """
    chosen = np.unique(birds_only(pedigree, rows))
    if not len(chosen) or replicates < 1:
        raise ValueError("a gene drop needs birds to count in and at least one replicate")
    among = founders(pedigree) if among is None else among
    falling = _Falling(without_origins(pedigree), chosen, among)
    kept = np.zeros(len(among))
    retained = np.zeros(len(among))
    genes = np.empty(replicates, dtype=np.int64)
    heterozygosity = np.empty(replicates)
    for begin in range(0, replicates, falling.width):
        chunk = slice(begin, min(begin + falling.width, replicates))
        counts = falling.drop(rng, chunk.stop - chunk.start)
        present = counts > 0
        kept += falling.by_founder(present, np.logical_or).sum(axis=1)
        retained += falling.by_founder(present, np.add).sum(axis=1) / 2
        genes[chunk] = present.sum(axis=0)
        heterozygosity[chunk] = 1 - np.square(counts).sum(axis=0) / (2 * len(chosen)) ** 2
        if progress is not None:
            progress(chunk.stop / replicates)
    return GeneDrop(among, kept / replicates, retained / replicates, genes, heterozygosity)


def founders_of_genes(
    pedigree: Pedigree,
    rows: ArrayLike,
    rng: np.random.Generator,
    replicates: int,
    among: Founders,
    progress: Callable[[float], None] | None = None,
) -> NDArray[np.int32]:
    """The founder, by its place in `among`, from which each of the two genes of `rows` came (r, 2, replicates).

    Where `gene_drop` counts, this tells them, so that the genes can be dropped further. `progress` hears the
    share done; an exception it raises ends the work.

    >>> pedigree = Pedigree.of_parents([-1, -1, 0], [-1, -1, 1])
    >>> rng = np.random.Generator(np.random.PCG64(1))
    >>> founders_of_genes(pedigree, [2], rng, 2, founders(pedigree)).tolist()
    [[[0, 0], [1, 1]]]

    Raises
    ------
    ValueError
        If there is a row that is no bird.
    """
    chosen, again = np.unique(birds_only(pedigree, rows), return_inverse=True)
    falling = _Falling(without_origins(pedigree), chosen, among)
    found = np.empty((len(chosen), 2, replicates), dtype=np.int32)
    for begin in range(0, replicates, falling.width):
        chunk = slice(begin, min(begin + falling.width, replicates))
        found[:, :, chunk] = falling.founders_in(falling.fall(rng, chunk.stop - begin))
        if progress is not None:
            progress(chunk.stop / replicates)
    return found[again]


class _Falling:
    """The pedigree of a gene drop, made ready once.

    The table of genes has two lines for each node, then two for each unknown parent; both lines of
    an unknown parent hold the one gene that came down from it.

    Attributes
    ----------
    width
        How many replicates fall at once.
    """

    def __init__(self, pedigree: Pedigree, rows: NDArray[np.intp], among: Founders) -> None:
        behind = pedigree.with_ancestors(rows)
        part = pedigree.part(behind)
        n = len(part)
        self._part = part
        self._rows = np.searchsorted(behind, rows)
        self._among = among
        self._inside = np.flatnonzero(np.isin(among.row, behind))
        self._founder_row = np.searchsorted(behind, among.row[self._inside])
        self._whole = among.part[self._inside] == Part.BIRD
        self._gene_starts = np.cumsum(1 + self._whole) - (1 + self._whole)
        self._gene_count = int((1 + self._whole).sum())

        halves = np.flatnonzero(~self._whole)
        self._half_line = n + np.arange(len(halves))
        # where an unknown sire (0) or dam (1) of each node stands in the table
        self._unknown = np.full((n, 2), UNKNOWN, dtype=np.intp)
        side = among.part[self._inside[halves]] - Part.SIRE
        self._unknown[self._founder_row[halves], side] = self._half_line
        self._lines = n + len(halves)

        small = self._gene_count <= np.iinfo(np.uint16).max + 1
        self._type = np.dtype(np.uint16 if small else np.uint32)
        # the genes that fall, the counts of each founder gene and what is told of it
        replicate_bytes = 2 * self._type.itemsize * self._lines + 32 * self._gene_count
        self.width = max(1, min(CHUNK, _CHUNK_BYTES // replicate_bytes))
        self._kernels = kernels_for(n)
        self._is_mean = np.append(part.is_mean, False)
        self._edges = _edges(part)
        self._levels = self._by_level()

    def _by_level(self) -> list[tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.intp]]]:
        """For each level the birds of certain parents, these parents (c, 2), and the doubtful birds."""
        part = self._part
        level = levels(part)
        founder = np.zeros(len(part), dtype=bool)
        founder[self._founder_row[self._whole]] = True
        falls = part.is_bird & ~founder
        single = np.diff(part.first) == 1
        parents = np.full((len(part), 2), UNKNOWN, dtype=np.intp)
        pair = part.first[:-1][single]
        parents[single] = np.column_stack([part.sire[pair], part.dam[pair]])
        certain = (single | (np.diff(part.first) == 0)) & ~self._is_mean[parents].any(axis=1)
        parents = np.where(parents == UNKNOWN, self._unknown, parents)
        order = np.argsort(level, kind="stable")
        found = []
        for nodes in np.split(order, np.cumsum(np.bincount(level))[:-1]):
            nodes = nodes[falls[nodes]]
            sure = nodes[certain[nodes]]
            found.append((sure, parents[sure], nodes[~certain[nodes]]))
        return found

    def drop(self, rng: np.random.Generator, width: int) -> NDArray[np.int64]:
        """How often each founder gene is found in the set (g, width), in `width` replicates."""
        return self._counted(self.fall(rng, width))

    def founders_in(self, genes: _Genes) -> NDArray[np.int64]:
        """The place among the founders of each gene of the set (r, 2, width)."""
        of_gene = np.repeat(self._inside, 1 + self._whole)
        founder: NDArray[np.int64] = of_gene[genes[self._rows]]
        return founder

    def fall(self, rng: np.random.Generator, width: int) -> _Genes:
        """The genes of every line of the table (lines, 2, width), in `width` replicates."""
        genes: _Genes = np.empty((self._lines, 2, width), dtype=self._type)
        starts = self._gene_starts
        genes[self._founder_row[self._whole], 0] = starts[self._whole, None]
        genes[self._founder_row[self._whole], 1] = starts[self._whole, None] + 1
        genes[self._half_line] = starts[~self._whole, None, None]
        step = max(1, _BITS_AT_ONCE // (2 * width))
        for sure, parents, doubtful in self._levels:
            if len(sure):
                for begin in range(0, len(sure), step):
                    self._fall(genes, sure[begin : begin + step], parents[begin : begin + step], rng)
            if len(doubtful):
                self._drop_doubtful(genes, doubtful, rng)
        return genes

    def _fall(
        self, genes: _Genes, birds: NDArray[np.intp], parents: NDArray[np.intp], rng: np.random.Generator
    ) -> None:
        width = genes.shape[2]
        words = _random_words(rng, (len(birds), 2, -(-width // 64)))
        if self._kernels is not None:
            self._kernels.fall(genes, birds, parents, words)
            return
        bits = np.unpackbits(words.view(np.uint8), axis=2, count=width, bitorder="little").view(np.bool_)
        for side in (0, 1):
            line = parents[:, side]
            genes[birds, side] = np.where(bits[:, side], genes[line, 1], genes[line, 0])

    def _counted(self, genes: _Genes) -> NDArray[np.int64]:
        width = genes.shape[2]
        counts = np.zeros((self._gene_count, width), dtype=np.int64)
        if self._kernels is not None:
            self._kernels.count(genes, self._rows, counts)
            return counts
        step = max(1, _BITS_AT_ONCE // (2 * width))
        for begin in range(0, len(self._rows), step):
            found = genes[self._rows[begin : begin + step]].reshape(-1, width)
            keys = found.astype(np.int64) * width + np.arange(width)
            counts += np.bincount(keys.ravel(), minlength=counts.size).reshape(counts.shape)
        return counts

    def by_founder(self, present: NDArray[np.bool_], combine: np.ufunc) -> NDArray[np.float64]:
        """What is told of each gene (g, width) brought together for each founder (k, width)."""
        told = np.zeros((len(self._among), present.shape[1]))
        told[self._inside] = combine.reduceat(present.astype(np.uint8), self._gene_starts, axis=0)
        return told

    def _drop_doubtful(self, genes: _Genes, birds: NDArray[np.intp], rng: np.random.Generator) -> None:
        replicate = np.arange(genes.shape[2])
        shape = (len(birds), len(replicate))
        pair = self._draw(np.broadcast_to(birds[:, None], shape), rng)
        bits = _random_bits(rng, (2, *shape))
        for side, named in enumerate((self._part.sire, self._part.dam)):
            parent = named[pair].astype(np.intp)
            while (mean := self._is_mean[parent]).any():
                drawn = self._draw(parent[mean], rng)
                by_sire = rng.random(len(drawn)) < 0.5
                parent[mean] = np.where(by_sire, self._part.sire[drawn], self._part.dam[drawn])
            line = np.where(parent == UNKNOWN, self._unknown[birds, side, None], parent)
            genes[birds, side] = genes[line, bits[side].astype(np.intp), replicate]

    def _draw(self, nodes: NDArray[np.intp], rng: np.random.Generator) -> NDArray[np.intp]:
        """One of the candidate pairs of each node, by their weights."""
        pair = np.searchsorted(self._edges, nodes + rng.random(nodes.shape), side="right")
        # a chance just below 1 may be rounded up into the next node
        return np.minimum(pair, self._part.first[nodes + 1] - 1)


def _edges(pedigree: Pedigree) -> NDArray[np.float64]:
    """Where each pair ends on a line on which node i takes the span from i to i + 1 (m,)."""
    running = np.cumsum(pedigree.weight)
    before = np.append(0.0, running)[pedigree.first[pedigree.child]]
    edges: NDArray[np.float64] = pedigree.child + (running - before)
    last = pedigree.first[1:][np.diff(pedigree.first) > 0] - 1
    edges[last] = pedigree.child[last] + 1.0
    return edges


def _random_words(rng: np.random.Generator, shape: tuple[int, ...]) -> NDArray[np.uint64]:
    """Words of 64 random bits, the same on every machine."""
    return np.frombuffer(rng.bytes(8 * int(np.prod(shape))), dtype="<u8").astype(np.uint64).reshape(shape)


def _random_bits(rng: np.random.Generator, shape: tuple[int, ...]) -> NDArray[np.bool_]:
    size = int(np.prod(shape))
    drawn = np.frombuffer(rng.bytes((size + 7) // 8), dtype=np.uint8)
    return np.unpackbits(drawn, count=size).view(np.bool_).reshape(shape)
