"""How the birds of a book are related, in numbers, in ancestors and in words."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from studbook.book.pedigree import (
    BookPedigree,
    cautious_pedigree,
    conventional_pedigree,
    known_pedigree,
    recorded_pedigree,
)
from studbook.book.records import BirdId, OriginId, Sex, Snapshot, StoredFigures
from studbook.book.stored import figures_to_store, known_diagonals
from studbook.genetics.completeness import ancestor_count, generation_equivalents
from studbook.genetics.explanation import CommonAncestor as CommonNode
from studbook.genetics.explanation import explain
from studbook.genetics.inbreeding import Diagonals
from studbook.genetics.kinship import kinship, mean_kinship
from studbook.genetics.old_and_recent import recent_kinships
from studbook.genetics.pedigree import UNKNOWN, Pedigree
from studbook.genetics.relationship import Degree, Relationship, Relationships, Side
from studbook.words import _


class Unknown(StrEnum):
    """What an unknown parent is taken for: unrelated by convention, or a bird of the flock, cautiously."""

    UNRELATED = "unrelated"
    FLOCK = "flock"


@dataclass(frozen=True, slots=True)
class CommonAncestor:
    """A bird in which the lines of two birds meet, largest contribution first.

    Attributes
    ----------
    contribution
        Its part of the kinship.
    path_count
        How many paths lead through it.
    paths
        The strongest of them, each from the cock through the ancestor to the hen.
    """

    bird: BirdId
    contribution: float
    path_count: int
    paths: tuple[tuple[BirdId, ...], ...]


@dataclass(frozen=True, slots=True)
class CommonOrigin:
    """A yard both birds descend from, whose birds are assumed to be related.

    `others` are further yards the lines of both come from, all assumed to be related with it.
    """

    origin: OriginId
    contribution: float
    others: tuple[OriginId, ...] = ()


@dataclass(frozen=True, slots=True)
class Explanation:
    """Where the kinship of two birds comes from: the contributions add up to it."""

    cock: BirdId
    hen: BirdId
    kinship: float
    ancestors: tuple[CommonAncestor, ...]
    origins: tuple[CommonOrigin, ...] = ()


class Relatedness:
    """The relatedness of all birds in one snapshot; each number is found on first use and kept."""

    def __init__(self, snapshot: Snapshot, unknown: Unknown = Unknown.UNRELATED) -> None:
        self._snapshot = snapshot
        self.unknown = unknown

    @cached_property
    def inbreeding(self) -> NDArray[np.float64]:
        """The inbreeding coefficient F of each bird (b,), by `Row`."""
        found: NDArray[np.float64] = self._diagonals.self_relationship[self._book.nodes] - 1
        return found

    def figures_to_store(self) -> StoredFigures | None:
        """What the book should keep so that these numbers need not be found again, for `Book.keep_figures`.

        None when the snapshot has them all already.
        """
        return figures_to_store(self.unknown.value, self._book, self._snapshot, self._diagonals)

    @cached_property
    def generations(self) -> NDArray[np.float64]:
        """The complete generation equivalents known of each bird (b,), by `Row`.

        Placeholders are no knowledge and do not count.
        """
        return generation_equivalents(self._known)

    def known_ancestors(self, bird: BirdId) -> int:
        """How many distinct ancestors of a bird the book knows, placeholders left out."""
        return ancestor_count(self._known, self._snapshot.rows[bird])

    def kinship(self, cocks: Sequence[BirdId], hens: Sequence[BirdId]) -> NDArray[np.float64]:
        """The kinship f of each cock with each hen (c, h): the F their chicks would have."""
        return kinship(self._book.pedigree, self._nodes(cocks), self._nodes(hens), self._diagonals)

    def mean_kinship(self, birds: Sequence[BirdId], flock: Sequence[BirdId]) -> NDArray[np.float64]:
        """The mean kinship of each of some birds with a flock (b,); a bird of the flock counts with itself."""
        return mean_kinship(self._book.pedigree, self._nodes(birds), self._diagonals, self._nodes(flock))

    def recent_kinship(
        self,
        cocks: Sequence[BirdId],
        hens: Sequence[BirdId],
        generations: int,
        progress: Callable[[float], None] | None = None,
    ) -> NDArray[np.float64]:
        """The part of `kinship` (c, h) that comes from ancestors within so many generations of the chicks.

        `progress` hears the share done; an exception it raises ends the work.
        """
        return recent_kinships(
            self._book.pedigree, self._nodes(cocks), self._nodes(hens), generations, progress
        )

    def explain(
        self, cock: BirdId, hen: BirdId, path_limit: int = 100, foremost: int | None = None
    ) -> Explanation:
        """The common ancestors of two birds and what each contributes to their kinship.

        At most `path_limit` paths are given for each ancestor, the strongest; only for the `foremost`
        ancestors, if so many are asked for.
        """
        book = self._book
        found = explain(
            book.pedigree,
            int(self._nodes([cock])[0]),
            int(self._nodes([hen])[0]),
            self._diagonals,
            path_limit,
            foremost,
        )
        return Explanation(
            cock,
            hen,
            found.kinship,
            tuple(
                CommonAncestor(
                    self._bird(ancestor.row),
                    ancestor.contribution,
                    ancestor.path_count,
                    tuple(tuple(self._bird(node) for node in path) for path in ancestor.paths),
                )
                for ancestor in found.ancestors
                if book.rows[ancestor.row] != UNKNOWN
            ),
            self._common_origins(cock, hen, found.ancestors),
        )

    def relationship(self, bird: BirdId, other: BirdId) -> Relationship:
        """What `other` is to `bird` by the record alone, whatever unknown parents may be."""
        rows = self._snapshot.rows
        found = self._relationships.of(rows[bird], rows[other])
        if found.degree is Degree.UNRELATED and self._conventional.share_ancestors(rows[bird], rows[other]):
            return Relationship(Degree.RELATED)
        return found

    def make_relationships_ready(self) -> None:
        """Find now what `relationship` needs, so that a window may ask it without waiting."""
        _ = self._relationships, self._conventional

    def _common_origins(
        self, cock: BirdId, hen: BirdId, ancestors: Iterable[CommonNode]
    ) -> tuple[CommonOrigin, ...]:
        """The yards in which the lines of two birds meet; those that share genes are named together."""
        book = self._book
        behind = set(book.pedigree.with_ancestors(self._nodes([cock, hen])).tolist())
        lines = {origin for node, origin in book.origins.items() if node in behind}
        contribution: dict[tuple[OriginId, ...], float] = {}
        for ancestor in ancestors:
            if book.rows[ancestor.row] == UNKNOWN:
                met = book.sources.get(ancestor.row) or (book.origins[ancestor.row],)
                named = tuple(origin for origin in met if origin in lines)
                contribution[named] = contribution.get(named, 0.0) + ancestor.contribution
        return tuple(
            CommonOrigin(first, share, tuple(others)) for (first, *others), share in contribution.items()
        )

    @cached_property
    def _book(self) -> BookPedigree:
        return cautious_pedigree(self._snapshot) if self.unknown is Unknown.FLOCK else self._conventional

    @cached_property
    def _conventional(self) -> BookPedigree:
        return conventional_pedigree(self._snapshot)

    @cached_property
    def _diagonals(self) -> Diagonals:
        return known_diagonals(self._book, self._snapshot)

    @cached_property
    def _known(self) -> Pedigree:
        return known_pedigree(self._snapshot)

    @cached_property
    def _recorded(self) -> Pedigree:
        return recorded_pedigree(self._snapshot)

    @cached_property
    def _relationships(self) -> Relationships:
        return Relationships(self._recorded)

    def _nodes(self, birds: Sequence[BirdId]) -> NDArray[np.int32]:
        rows = self._snapshot.rows
        return self._book.nodes[np.array([rows[bird] for bird in birds], dtype=np.intp)]

    def _bird(self, node: int) -> BirdId:
        return self._snapshot.birds[self._book.row(node)].id


def relationship_text(found: Relationship, sex: Sex) -> str:
    """What a bird of this sex is to another, in the user's language: "half sister by the sire"."""
    cock, hen, either = _terms(found.degree)
    text = {Sex.COCK: cock, Sex.HEN: hen}.get(sex, either)
    if found.side is Side.SIRE:
        text = _("{relationship} by the sire").format(relationship=text)
    elif found.side is Side.DAM:
        text = _("{relationship} by the dam").format(relationship=text)
    return text if found.certain else _("probably {relationship}").format(relationship=text)


def _terms(degree: Degree) -> tuple[str, str, str]:
    """The words for a cock, for a hen and for either."""
    return {
        Degree.SAME: (_("the same bird"), _("the same bird"), _("the same bird")),
        Degree.PARENT: (_("sire"), _("dam"), _("parent")),
        Degree.OFFSPRING: (_("son"), _("daughter"), _("offspring")),
        Degree.FULL_SIB: (_("full brother"), _("full sister"), _("full sib")),
        Degree.THREE_QUARTER_SIB: (
            _("three-quarter brother"),
            _("three-quarter sister"),
            _("three-quarter sib"),
        ),
        Degree.HALF_SIB: (_("half brother"), _("half sister"), _("half sib")),
        Degree.GRANDPARENT: (_("grandsire"), _("granddam"), _("grandparent")),
        Degree.GRANDOFFSPRING: (_("grandson"), _("granddaughter"), _("grandoffspring")),
        Degree.AUNT_OR_UNCLE: (_("uncle"), _("aunt"), _("aunt or uncle")),
        Degree.NIECE_OR_NEPHEW: (_("nephew"), _("niece"), _("niece or nephew")),
        Degree.DOUBLE_COUSIN: (_("double cousin"), _("double cousin"), _("double cousin")),
        Degree.GREAT_GRANDPARENT: (_("great-grandsire"), _("great-granddam"), _("great-grandparent")),
        Degree.GREAT_GRANDOFFSPRING: (
            _("great-grandson"),
            _("great-granddaughter"),
            _("great-grandoffspring"),
        ),
        Degree.HALF_AUNT_OR_UNCLE: (_("half uncle"), _("half aunt"), _("half aunt or uncle")),
        Degree.HALF_NIECE_OR_NEPHEW: (_("half nephew"), _("half niece"), _("half niece or nephew")),
        Degree.COUSIN: (_("cousin"), _("cousin"), _("cousin")),
        Degree.HALF_COUSIN: (_("half cousin"), _("half cousin"), _("half cousin")),
        Degree.RELATED: (_("related"), _("related"), _("related")),
        Degree.UNRELATED: (_("unrelated"), _("unrelated"), _("unrelated")),
    }[degree]
