"""The journal as evidence: chained by hash, and equal to what the changes did, in any order of them."""

import json
import sqlite3
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from studbook.book.changes import AddBirds, AddMarks, AddNote, EditBird, SetParents, SetStatus, StrikeOut
from studbook.book.errors import RecordProblems
from studbook.book.records import Mark, MarkId, MarkKind, Pair, Sex, Snapshot, Status
from studbook.dates import PartialDate
from tests.flock import TODAY, bird, founders, new_book, reopened


@pytest.mark.parametrize("column", ["label", "images", "at"])
def test_an_entry_altered_from_outside_is_found(tmp_path: Path, column: str) -> None:
    book = new_book(tmp_path / "flock.db")
    severn, _sorrel = founders(book)
    book.apply(AddNote(severn, PartialDate.of(TODAY), "Calm."))
    assert book.check() == ()
    book.close()
    with sqlite3.connect(book.path) as connection:
        connection.execute(f"UPDATE journal SET {column} = replace({column}, '2', '3') WHERE number = 1")
        connection.execute(f"UPDATE journal SET {column} = {column} || ' ' WHERE number = 1")
    connection.close()
    again = reopened(book)
    assert ["from entry 1 on" in problem.message for problem in again.check()] == [True]
    again.close()


def test_a_missing_entry_is_found(tmp_path: Path) -> None:
    book = new_book(tmp_path / "flock.db")
    severn, sorrel = founders(book)
    book.apply(AddNote(severn, PartialDate.of(TODAY), "Calm."))
    book.apply(AddNote(sorrel, PartialDate.of(TODAY), "Broody."))
    book.close()
    with sqlite3.connect(book.path) as connection:
        connection.execute("DELETE FROM journal WHERE number = 2")
    connection.close()
    again = reopened(book)
    assert ["from entry 2 on" in problem.message for problem in again.check()] == [True]
    again.close()


def test_an_entry_holds_the_rows_before_and_after_but_no_picture(tmp_path: Path) -> None:
    from studbook.book.changes import AddPhoto

    book = new_book(tmp_path / "flock.db")
    severn, _sorrel = founders(book)
    known = book.snapshot().bird(severn)
    book.apply(EditBird(known, replace(known, colour="blue")))
    book.apply(AddPhoto(severn, b"a large picture" * 1000, b"small", 800, 600))
    book.close()
    with sqlite3.connect(book.path) as connection:
        rows = connection.execute("SELECT images FROM journal ORDER BY number").fetchall()
    connection.close()
    ((table, uuid, before, after),) = json.loads(rows[1][0])
    assert (table, uuid) == ("bird", severn)
    assert {key: after[key] for key in after if before[key] != after[key]} == {"colour": "blue"}
    assert len(rows[2][0]) < 1000


class Keeping(RuleBasedStateMachine):
    """Any run of changes, undo, redo and restarts leaves the book as the journal says it is."""

    folder: Path

    @initialize()
    def open(self) -> None:
        Keeping.count = getattr(Keeping, "count", 0) + 1
        self.book = new_book(self.folder / f"{Keeping.count}.db")
        founders(self.book)
        self.made = 0
        self.done: list[Snapshot] = []
        self.undone: list[Snapshot] = []

    def _apply(self, change: object) -> None:
        before = self.book.snapshot()
        try:
            entry = self.book.apply(change)  # type: ignore[arg-type]
        except RecordProblems:
            assert self.book.snapshot() is before
            return
        if entry.number != before.entry:
            self.done.append(before)
            self.undone.clear()

    def _any(self, data: st.DataObject) -> object:
        return data.draw(st.sampled_from(self.book.snapshot().birds))

    @rule(data=st.data())
    def add_chick(self, data: st.DataObject) -> None:
        self.made += 1
        sire, dam = self._any(data), self._any(data)
        sex = data.draw(st.sampled_from(Sex))
        chick = bird(self.book, f"C-{self.made % 7}", sex, "2025-06-01", sire=sire.id, dam=dam.id)  # type: ignore[attr-defined]
        self._apply(AddBirds((chick,)))

    @rule(data=st.data(), status=st.sampled_from(Status))
    def part(self, data: st.DataObject, status: Status) -> None:
        left = PartialDate() if status is Status.LIVING else PartialDate(2026, 8)
        self._apply(SetStatus((self._any(data).id,), status, left))  # type: ignore[attr-defined]

    @rule(data=st.data(), colour=st.sampled_from(["blue", "black", "splash", ""]))
    def colour(self, data: st.DataObject, colour: str) -> None:
        known = self._any(data)
        self._apply(EditBird(known, replace(known, colour=colour)))  # type: ignore[arg-type, type-var]

    @rule(data=st.data(), weight=st.floats(0.01, 0.99))
    def doubt(self, data: st.DataObject, weight: float) -> None:
        chick, one, other = (self._any(data) for _time in range(3))
        pairs = (Pair(one.id, None, weight), Pair(other.id, None, 1 - weight))  # type: ignore[attr-defined]
        self._apply(SetParents(chick.id, pairs))  # type: ignore[attr-defined]

    @rule(data=st.data())
    def punch(self, data: st.DataObject) -> None:
        self._apply(AddMarks(((self._any(data).id, Mark(MarkId(""), MarkKind.TOE_PUNCH, "left outer")),)))  # type: ignore[attr-defined]

    @rule(data=st.data())
    def strike_out(self, data: st.DataObject) -> None:
        if len(self.book.snapshot().birds) > 3:
            self._apply(StrikeOut((self._any(data).id,), "entered twice"))  # type: ignore[attr-defined]

    @precondition(lambda self: self.done)
    @rule()
    def undo(self) -> None:
        self.undone.append(self.book.snapshot())
        self.book.undo()
        self._same(self.done.pop())

    @precondition(lambda self: self.undone)
    @rule()
    def redo(self) -> None:
        self.done.append(self.book.snapshot())
        self.book.redo()
        self._same(self.undone.pop())

    @rule()
    def restart(self) -> None:
        before = self.book.snapshot()
        self.book = reopened(self.book)
        self._same(before)

    def _same(self, expected: Snapshot) -> None:
        now = self.book.snapshot()
        assert {found.id: found for found in now.birds} == {found.id: found for found in expected.birds}
        assert {found.id for found in now.struck} == {found.id for found in expected.struck}

    @invariant()
    def parents_stand_before_their_chicks(self) -> None:
        snapshot = self.book.snapshot()
        for chick in snapshot.birds:
            for parent in (*chick.sires, *chick.dams):
                assert snapshot.rows[parent] < snapshot.rows[chick.id]

    def teardown(self) -> None:
        if hasattr(self, "book"):
            errors = [problem for problem in self.book.check() if problem.is_error]
            self.book.close()
            assert errors == []


def test_any_run_of_changes_can_be_taken_back_step_by_step(tmp_path: Path) -> None:
    Keeping.folder = tmp_path
    from hypothesis.stateful import run_state_machine_as_test

    run_state_machine_as_test(
        Keeping,
        settings=settings(
            max_examples=15, stateful_step_count=20, deadline=None, suppress_health_check=list(HealthCheck)
        ),
    )
