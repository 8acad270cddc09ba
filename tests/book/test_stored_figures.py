"""Figures kept in the file: whatever happens to a book, they are what a fresh calculation gives."""

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studbook.book.changes import (
    AddNote,
    AddOrigin,
    Chick,
    EditBird,
    EditOrigin,
    RegisterHatch,
    RelateOrigins,
    Restore,
    SetParents,
    SetStatus,
    StrikeOut,
)
from studbook.book.door import Book
from studbook.book.errors import RecordProblems
from studbook.book.opening import open_book
from studbook.book.pedigree import cautious_pedigree, conventional_pedigree
from studbook.book.records import Bird, Origin, OriginId, Pair, Sex, Snapshot, Status
from studbook.book.relatedness import Relatedness, Unknown
from studbook.book.stored import stamps
from studbook.dates import UNKNOWN_DATE, PartialDate
from tests.flock import TODAY, add, bird, founders, new_book, reopened, ring
from tests.zoo import relationship_table


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    with new_book(tmp_path / "flock.db") as made:
        yield made


def kept(book: Book) -> None:
    """Find the figures of a book both ways and keep them in it."""
    for unknown in Unknown:
        book.keep_figures(Relatedness(book.snapshot(), unknown).figures_to_store())


def rows_of(path: Path, way: Unknown) -> int:
    with sqlite3.connect(path) as connection:
        query = "SELECT count(*) FROM stored_diagonal WHERE way = ?"
        count: int = connection.execute(query, (way.value,)).fetchone()[0]
    connection.close()
    return count


def assert_figures_are_right(snapshot: Snapshot) -> None:
    """F of every bird both ways, by the table of all relationships."""
    for unknown, made in ((Unknown.UNRELATED, conventional_pedigree), (Unknown.FLOCK, cautious_pedigree)):
        of_book = made(snapshot)
        expected = np.diag(relationship_table(of_book.pedigree))[of_book.nodes] - 1
        found = Relatedness(snapshot, unknown).inbreeding
        np.testing.assert_allclose(found, expected, rtol=0, atol=1e-12)


class Keeper:
    """A keeper who does anything at all to a book, now and then something that is refused."""

    def __init__(self, book: Book, random: Random) -> None:
        self.book, self._random = book, random
        self._origins: list[OriginId] = []
        self._marks = 0
        for name in ("Thornbarrow", "Highmoor"):
            origin = OriginId(book.new_id())
            self._origins.append(origin)
            book.apply(AddOrigin(Origin(origin, name)))
        founders(book)
        self.hatch()

    def act(self) -> None:
        acts: tuple[Callable[[], None], ...] = (
            self.hatch,
            self.hatch,
            self.buy,
            self.set_parents,
            self.strike_out,
            self.restore,
            self.part_with,
            self.redate,
            self.assume,
            self.relate,
            self.undo,
            self.redo,
            self.keep,
        )
        if not self.book.snapshot().birds:
            acts = (self.buy, self.redo)
        # what the book refuses leaves it as it was
        try:
            self._random.choice(acts)()
        except RecordProblems:
            return

    def hatch(self) -> None:
        self._marks += 2
        chicks = tuple(
            Chick(ring(f"C{self._marks + number}"), sex=sex) for number, sex in enumerate((Sex.COCK, Sex.HEN))
        )
        hatched = PartialDate(self._random.randint(2024, 2026), self._random.randint(3, 8), 12)
        self.book.apply(RegisterHatch(hatched, self._pairs(), chicks))

    def buy(self) -> None:
        self._marks += 1
        sex = self._random.choice((Sex.COCK, Sex.HEN))
        bought = bird(self.book, f"B{self._marks}", sex, f"202{self._random.randint(2, 5)}-05-01")
        add(self.book, replace(bought, origin=self._random.choice(self._origins)))

    def set_parents(self) -> None:
        self.book.apply(SetParents(self._one().id, self._pairs()))

    def strike_out(self) -> None:
        self.book.apply(StrikeOut((self._one().id,), "entered twice"))

    def restore(self) -> None:
        if struck := self.book.snapshot().struck:
            self.book.apply(Restore((self._random.choice(struck).id,)))

    def part_with(self) -> None:
        status = self._random.choice((Status.LIVING, Status.SOLD, Status.LENT, Status.DIED))
        left = (
            PartialDate(self._random.randint(2024, 2026), 10, 3)
            if status is not Status.LIVING
            else UNKNOWN_DATE
        )
        self.book.apply(SetStatus((self._one().id,), status, left))

    def redate(self) -> None:
        one = self._one()
        hatched = PartialDate(self._random.randint(2022, 2026), self._random.choice((None, 4)))
        self.book.apply(EditBird(one, replace(one, hatched=hatched)))

    def assume(self) -> None:
        origin = self.book.snapshot().origin(self._random.choice(self._origins))
        if origin is not None:
            gamma = self._random.choice((0.0, 0.2, 0.5))
            self.book.apply(EditOrigin(origin, replace(origin, self_relationship=gamma)))

    def relate(self) -> None:
        self.book.apply(
            RelateOrigins(self._origins[0], self._origins[1], self._random.choice((0.0, 0.1, 0.2)))
        )

    def undo(self) -> None:
        self.book.undo()

    def redo(self) -> None:
        self.book.redo()

    def keep(self) -> None:
        kept(self.book)

    def _one(self) -> Bird:
        return self._random.choice(self.book.snapshot().birds)

    def _pairs(self) -> tuple[Pair, ...]:
        birds = self.book.snapshot().birds
        cocks = [one.id for one in birds if one.sex is Sex.COCK]
        hens = [one.id for one in birds if one.sex is Sex.HEN]
        chosen = {
            (
                self._random.choice([None, *cocks, *cocks]),
                self._random.choice([None, *hens, *hens]),
            )
            for _pair in range(self._random.choice((1, 1, 2)))
        }
        return tuple(Pair(sire, dam, 1 / len(chosen)) for sire, dam in sorted(chosen, key=str))


@contextmanager
def a_book() -> Iterator[Book]:
    """A book of its own for each example."""
    with TemporaryDirectory() as folder, new_book(Path(folder) / "flock.db") as made:
        yield made


@settings(max_examples=10, deadline=None)
@given(st.integers(0, 2**32), st.integers(5, 20))
def test_whatever_is_done_to_a_book_its_figures_are_those_of_a_fresh_calculation(
    seed: int, steps: int
) -> None:
    with a_book() as book:
        keeper = Keeper(book, Random(seed))
        for _step in range(steps):
            keeper.act()
            assert_figures_are_right(book.snapshot())
        kept(book)
        entry = book.snapshot().entry
        with reopened(book) as again:
            assert again.snapshot().entry == entry
            assert_figures_are_right(again.snapshot())
            for unknown in Unknown:
                assert Relatedness(again.snapshot(), unknown).figures_to_store() is None
            assert not any(problem.is_error for problem in again.check())


def test_what_was_kept_is_not_found_again(book: Book) -> None:
    """Figures marked on purpose come back from the file instead of being worked out."""
    severn, sorrel = founders(book)
    chicks = (Chick(ring("W24-01"), sex=Sex.COCK), Chick(ring("W24-02"), sex=Sex.HEN))
    book.apply(RegisterHatch(PartialDate(2024, 4, 12), (Pair(severn, sorrel),), chicks))
    kept(book)
    assert book.snapshot().stored
    book.close()
    with sqlite3.connect(book.path) as connection:
        connection.execute("UPDATE stored_diagonal SET self_relationship = self_relationship + 0.5")
    connection.close()
    with open_book(book.path, today=TODAY) as again:
        for unknown in Unknown:
            assert Relatedness(again.snapshot(), unknown).inbreeding.tolist() == [0.5] * 4
        # the change of parents clears its bird; the others are left as they stand in the file
        son = next(one for one in again.snapshot().birds if one.mark == "W24-01")
        again.apply(SetParents(son.id, (Pair(severn, None),)))
        found = Relatedness(again.snapshot()).inbreeding
        assert found[again.snapshot().rows[son.id]] == 0
        assert found[again.snapshot().rows[sorrel]] == 0.5


def test_a_change_clears_the_bird_and_its_descendants_and_nothing_else(book: Book) -> None:
    severn, sorrel = founders(book)
    chicks = (Chick(ring("W24-01"), sex=Sex.COCK), Chick(ring("W24-02"), sex=Sex.HEN))
    book.apply(RegisterHatch(PartialDate(2024, 4, 12), (Pair(severn, sorrel),), chicks))
    son, daughter = book.snapshot().birds[-2:]
    book.apply(
        RegisterHatch(PartialDate(2025, 4, 12), (Pair(son.id, daughter.id),), (Chick(ring("W25-01")),))
    )
    kept(book)
    assert rows_of(book.path, Unknown.UNRELATED) == 5
    book.apply(AddNote(son.id, PartialDate(2025, 5, 1), "fights"))
    assert rows_of(book.path, Unknown.UNRELATED) == 5
    book.apply(SetParents(daughter.id, (Pair(severn, None),)))
    assert rows_of(book.path, Unknown.UNRELATED) == 3
    book.undo()
    kept(book)
    assert rows_of(book.path, Unknown.UNRELATED) == 5
    book.apply(AddOrigin(Origin(OriginId(""), "Thornbarrow", 0.25)))
    assert rows_of(book.path, Unknown.UNRELATED) == 0


def test_taking_back_a_hatch_takes_its_figures_along(book: Book) -> None:
    severn, sorrel = founders(book)
    book.apply(RegisterHatch(PartialDate(2024, 4, 12), (Pair(severn, sorrel),), (Chick(ring("W24-01")),)))
    kept(book)
    book.undo()
    assert rows_of(book.path, Unknown.UNRELATED) == 2
    assert_figures_are_right(book.snapshot())


def test_a_book_that_cannot_keep_figures_works_all_the_same(book: Book) -> None:
    founders(book)
    with sqlite3.connect(book.path) as connection:
        connection.execute(
            "CREATE TRIGGER full BEFORE INSERT ON stored_diagonal BEGIN SELECT RAISE(ABORT, 'disk full'); END"
        )
    connection.close()
    kept(book)
    assert not book.snapshot().stored
    assert_figures_are_right(book.snapshot())
    with open_book(book.path, read_only=True, today=TODAY) as reader:
        kept(reader)
        assert_figures_are_right(reader.snapshot())


def test_figures_of_an_earlier_state_are_not_kept(book: Book) -> None:
    founders(book)
    late = Relatedness(book.snapshot()).figures_to_store()
    add(book, bird(book, "W24-09", Sex.HEN))
    book.keep_figures(late)
    assert rows_of(book.path, Unknown.UNRELATED) == 0


def test_each_bird_has_a_stamp_of_its_own_and_its_note_is_no_part_of_it(book: Book) -> None:
    founders(book)
    snapshot = book.snapshot()
    found = stamps(conventional_pedigree(snapshot), snapshot)
    assert len(set(found)) == len(found)
    renamed = replace(snapshot, birds=tuple(replace(one, note="calm") for one in snapshot.birds))
    assert stamps(conventional_pedigree(renamed), renamed) == found
