"""The flock a report is about: which birds count, their pedigree both ways, and their founders."""

import threading
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from studbook.book.pedigree import (
    BookPedigree,
    cautious_pedigree,
    conventional_pedigree,
    home_hatched_without_parents,
    known_pedigree,
    recorded_pedigree,
)
from studbook.book.records import Snapshot
from studbook.book.relatedness import Unknown
from studbook.book.stored import known_diagonals
from studbook.genetics.completeness import generation_equivalents
from studbook.genetics.founders import Founders, Part, founders
from studbook.genetics.inbreeding import Diagonals
from studbook.genetics.pedigree import Pedigree
from studbook.planning.bloodlines.report import FounderKey, Half

PARTS = {Half.WHOLE: Part.BIRD, Half.SIRE: Part.SIRE, Half.DAM: Part.DAM}
_HALVES = {part: half for half, part in PARTS.items()}


@dataclass(frozen=True, eq=False)
class Way:
    """The pedigree of a book with unknown parents taken one way, and its diagonals."""

    book: BookPedigree
    known: Diagonals

    @property
    def pedigree(self) -> Pedigree:
        """All nodes of the book."""
        return self.book.pedigree

    def nodes(self, rows: NDArray[np.intp]) -> NDArray[np.int32]:
        """The nodes of some birds."""
        return self.book.nodes[rows]

    @cached_property
    def inbreeding(self) -> NDArray[np.float64]:
        """F of each bird (b,) by `Row`."""
        coefficient: NDArray[np.float64] = self.known.self_relationship[self.book.nodes] - 1
        return coefficient


class Ways:
    """What is worked out once for all flocks of one snapshot, from whichever thread asks first."""

    def __init__(self, snapshot: Snapshot) -> None:
        self.snapshot = snapshot
        self._found: dict[Unknown, Way] = {}
        self._lock = threading.Lock()

    def way(self, unknown: Unknown, progress: Callable[[float], None] | None = None) -> Way:
        """The pedigree and its diagonals; `progress` hears the share done and may end the work."""
        with self._lock:
            if unknown not in self._found:
                if unknown is Unknown.FLOCK:
                    book = cautious_pedigree(self.snapshot, progress)
                else:
                    book = conventional_pedigree(self.snapshot)
                self._found[unknown] = Way(book, known_diagonals(book, self.snapshot, progress))
            return self._found[unknown]

    @cached_property
    def generations(self) -> NDArray[np.float64]:
        """Complete generation equivalents of each bird (b,), placeholders being no knowledge."""
        return generation_equivalents(known_pedigree(self.snapshot))

    @cached_property
    def recorded_generations(self) -> NDArray[np.float64]:
        """Complete generation equivalents of each bird (b,), placeholders counted as the parents they are."""
        return generation_equivalents(recorded_pedigree(self.snapshot))

    @cached_property
    def without_parents(self) -> NDArray[np.intp]:
        """The rows of home-hatched birds of whom neither parent is known."""
        return home_hatched_without_parents(self.snapshot)


class Flock:
    """The birds of one species (None: of every species) in a snapshot; numbers are found on first use.

    `progress` hears the share done of finding a way, from 0 to 1 for each; an exception it raises ends
    the work. With `ways` of the same snapshot nothing is worked out twice.

    Attributes
    ----------
    birds, living
        Rows of all its birds and of those in the flock now; placeholders are in neither.
    """

    def __init__(
        self,
        snapshot: Snapshot,
        unknown: Unknown,
        species: str | None,
        progress: Callable[[float], None] | None = None,
        ways: Ways | None = None,
    ) -> None:
        self.snapshot, self.unknown, self.species = snapshot, unknown, species
        self._progress = progress
        self._ways = ways or Ways(snapshot)
        self._of_species = np.array(
            [species is None or bird.species == species for bird in snapshot.birds], dtype=bool
        )
        real = np.array([not bird.placeholder for bird in snapshot.birds], dtype=bool)
        living = np.array([bird.is_living for bird in snapshot.birds], dtype=bool)
        self.birds = np.flatnonzero(self._of_species & real)
        self.living = np.flatnonzero(self._of_species & living)

    @cached_property
    def convention(self) -> Way:
        """Unknown parents taken for unrelated."""
        return self._ways.way(Unknown.UNRELATED, self._progress)

    @cached_property
    def cautious(self) -> Way:
        """Unknown parents taken for birds of the flock."""
        return self._ways.way(Unknown.FLOCK, self._progress)

    @property
    def asked(self) -> Way:
        """The way that was asked for."""
        return self.cautious if self.unknown is Unknown.FLOCK else self.convention

    @property
    def ways(self) -> tuple[Way, Way]:
        """By convention and cautious."""
        return self.convention, self.cautious

    @cached_property
    def founders(self) -> Founders:
        """The founders of the species, those without descendants included."""
        nodes = self.asked.book.nodes
        among = founders(self.asked.pedigree, nodes[self._ways.without_parents])
        own = self._of_species[self.asked.book.rows[among.row]]
        return Founders(among.row[own], among.part[own], among.share[own])

    def key(self, founder: int) -> FounderKey:
        """Which founder stands at this place of `founders`."""
        row = self.asked.book.row(int(self.founders.row[founder]))
        return FounderKey(self.snapshot.birds[row].id, _HALVES[Part(self.founders.part[founder])])

    @cached_property
    def hatch_years(self) -> dict[int, NDArray[np.intp]]:
        """The rows of the home-hatched birds of each hatch year, the years ascending."""
        bought_in = set(self.asked.book.rows[self.founders.row[self.founders.part == Part.BIRD]].tolist())
        by_year: dict[int, list[int]] = {}
        for row in self.birds.tolist():
            year = self.snapshot.birds[row].hatched.year
            if year is not None and not (row in bought_in or self.snapshot.birds[row].is_founder):
                by_year.setdefault(year, []).append(row)
        return {year: np.array(by_year[year], dtype=np.intp) for year in sorted(by_year)}

    @property
    def generations(self) -> NDArray[np.float64]:
        """Complete generation equivalents of each bird (b,), placeholders being no knowledge."""
        return self._ways.generations

    @property
    def recorded_generations(self) -> NDArray[np.float64]:
        """Complete generation equivalents of each bird (b,), placeholders counted as the parents they are."""
        return self._ways.recorded_generations
