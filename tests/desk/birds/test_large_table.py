"""The table of a very large book: looked up and sorted on a worker, it shows what that of a small one shows."""

import itertools
from dataclasses import replace
from datetime import date

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel
from pytestqt.modeltest import ModelTester
from pytestqt.qtbot import QtBot

from studbook.book.changes import EditBird
from studbook.book.records import Bird, BirdId, BookDetails, Mark, MarkId, MarkKind, Sex, Snapshot, Status
from studbook.dates import PartialDate
from studbook.desk.app import settle
from studbook.desk.rooms.birds import index as index_module
from studbook.desk.rooms.birds import table as table_module
from studbook.desk.rooms.birds.columns import Figures, bird_columns, search_text
from studbook.desk.rooms.birds.filters import Filter, Standing
from studbook.desk.rooms.birds.index import BirdIndex
from studbook.desk.rooms.birds.room import BirdsRoom
from studbook.desk.window import Window
from tests.desk.birds.conftest import named, type_into

TODAY = date(2027, 2, 14)
UP, DOWN = Qt.SortOrder.AscendingOrder, Qt.SortOrder.DescendingOrder
COLUMNS = [column.key for column in bird_columns(index_module.Facts.none())]


@pytest.fixture(autouse=True)
def every_book_is_large(monkeypatch: pytest.MonkeyPatch) -> None:
    """Also the few birds of a test are looked up on a worker."""
    monkeypatch.setattr(table_module, "_LARGE", -1)
    monkeypatch.setattr(index_module, "_RUN", 2)


def shown(room: BirdsRoom) -> list[str]:
    return [bird.name for bird in room.table.model.shown]


def test_the_room_fills_and_searches(qtbot: QtBot, room: BirdsRoom) -> None:
    assert shown(room) == ["Severn", "Bramble", "Sloe", "Hazel", "Dart", "Teasel"]
    assert room.table.count.text() == "7 birds, 6 shown"
    type_into(qtbot, room.table.filters.search, "w24")
    assert shown(room) == ["Hazel", "Dart"]


def test_until_the_birds_are_there_it_says_so(window: Window, room: BirdsRoom) -> None:
    window.context.record.opened.emit(window.context.record.snapshot)
    entered = window.go("birds")
    assert isinstance(entered, BirdsRoom)
    assert entered.findChild(QLabel, "nobody").text() == "Looking up the birds…"
    settle(window)
    assert len(shown(entered)) == 6


def test_a_header_sorts_both_ways_with_the_unknown_last(window: Window, room: BirdsRoom) -> None:
    table = room.table.table
    table.sortByColumn(COLUMNS.index("bird"), UP)
    settle(window)
    assert shown(room) == ["Teasel", "Severn", "Bramble", "Sloe", "Hazel", "Dart"]
    table.sortByColumn(COLUMNS.index("bird"), DOWN)
    settle(window)
    assert shown(room) == ["Dart", "Hazel", "Sloe", "Bramble", "Severn", "Teasel"]
    table.sortByColumn(COLUMNS.index("sire"), UP)
    settle(window)
    assert shown(room) == ["Hazel", "Dart", "Teasel", "Severn", "Bramble", "Sloe"]


def test_the_order_by_a_figure_follows_when_it_is_found(window: Window, room: BirdsRoom) -> None:
    room.table.table.sortByColumn(COLUMNS.index("generations"), DOWN)
    settle(window)
    assert shown(room) == ["Hazel", "Dart", "Teasel", "Severn", "Bramble", "Sloe"]


def test_a_sorted_table_keeps_its_order_and_its_bird_over_a_change(window: Window, room: BirdsRoom) -> None:
    room.table.table.sortByColumn(COLUMNS.index("bird"), DOWN)
    settle(window)
    snapshot = window.context.record.snapshot
    hazel = named(snapshot, "Hazel")
    room.table.table.select(hazel.id)
    window.context.record.apply(EditBird(hazel, replace(hazel, name="Whitebeam")))
    settle(window)
    assert shown(room) == ["Dart", "Whitebeam", "Sloe", "Bramble", "Severn", "Teasel"]
    assert [bird.name for bird in room.table.chosen] == ["Whitebeam"]


def test_a_bird_that_is_asked_for_at_once_is_gone_to_when_it_is_there(
    window: Window, room: BirdsRoom
) -> None:
    sloe = named(window.context.record.snapshot, "Sloe")
    window.context.record.opened.emit(window.context.record.snapshot)
    window._house.go_to_bird(sloe.id)
    entered = window.go("birds")
    assert isinstance(entered, BirdsRoom)
    settle(window)
    assert [bird.name for bird in entered.table.chosen] == ["Sloe"]


def test_the_model_keeps_the_rules(qtmodeltester: ModelTester, window: Window, room: BirdsRoom) -> None:
    qtmodeltester.check(room.table.model)
    room.table.table.sortByColumn(0, DOWN)
    settle(window)
    room.table.filters.search.setText("w22")
    qtmodeltester.check(room.table.model)


def _birds() -> st.SearchStrategy[tuple[Bird, ...]]:
    """Birds of every standing; each number is another bird."""
    number = itertools.count()

    def made(status, sex, year, breed, placeholder, struck, mark, name):
        marks = (Mark(MarkId(mark), MarkKind.RING, mark),) if mark else ()
        return Bird(
            BirdId(f"{next(number)}"), name=name, sex=sex, hatched=PartialDate.parse(year), breed=breed,
            placeholder=placeholder, struck=struck, marks=marks, status=status,
        )  # fmt: skip

    return st.lists(
        st.builds(
            made,
            st.sampled_from([Status.LIVING, Status.SOLD, Status.LENT, Status.DIED]),
            st.sampled_from(Sex),
            st.sampled_from(["", "2024", "2025-04-02"]),
            st.sampled_from(["", "Andalusian", "Call"]),
            st.booleans(),
            st.sampled_from([None, None, "twice"]),
            st.sampled_from(["", "W24-01", "W24-10", "w24-2"]),
            st.sampled_from(["", "Sloe", "Élan"]),
        ),
        max_size=8,
    ).map(tuple)


def plainly(bird: Bird, wanted: Filter) -> bool:
    """What a filter says of one bird, by its definition."""
    stands = {
        Standing.STRUCK: bird.struck is not None,
        Standing.LIVING: bird.is_living or (wanted.placeholders and bird.placeholder and bird.struck is None),
        Standing.GONE: bird.struck is None and not bird.is_living and not bird.placeholder,
        Standing.ALL: bird.struck is None and (wanted.placeholders or not bird.placeholder),
    }[wanted.standing]
    has_mark = any(mark.is_worn and mark.kind.is_own for mark in bird.marks)
    return (
        stands
        and (wanted.only is None or bird.id in wanted.only)
        and wanted.sex in (None, bird.sex)
        and wanted.year in (None, bird.hatched.year)
        and wanted.breed in (None, bird.breed)
        and wanted.marked in (None, has_mark)
        and all(word in search_text(bird) for word in wanted.words)
    )


@settings(suppress_health_check=[HealthCheck.too_slow])
@given(
    _birds(),
    st.builds(
        Filter,
        words=st.sampled_from([(), ("w24",), ("el", "a"), ("24",)]),
        standing=st.sampled_from(Standing),
        sex=st.sampled_from([None, *Sex]),
        year=st.sampled_from([None, 2024, 2025]),
        breed=st.sampled_from([None, "Call"]),
        marked=st.sampled_from([None, True, False]),
        placeholders=st.booleans(),
    ),
    st.sampled_from(COLUMNS),
    st.sampled_from([UP, DOWN]),
)
def test_the_index_filters_and_sorts_as_is_defined(
    birds: tuple[Bird, ...], wanted: Filter, key: str, direction: Qt.SortOrder
) -> None:
    kept = tuple(bird for bird in birds if bird.struck is None)
    struck = tuple(bird for bird in birds if bird.struck is not None)
    index = BirdIndex(Snapshot(0, BookDetails(""), kept, struck), TODAY)
    index.take_figures(Figures((0.1,) * len(kept), tuple(float(len(b.name)) for b in kept)), [])
    order = index.order((COLUMNS.index(key), direction))
    assert sorted(order) == list(range(len(birds)))
    found = index.places(wanted, order)
    assert found == [place for place in order if plainly(index.rows[place], wanted)]
    column = bird_columns(index._facts)[COLUMNS.index(key)]
    keys = [index_module._sort_key((column.value or column.text)(index.rows[place])) for place in order]
    known = [each for each in keys if each is not None and each != ""]
    assert known == sorted(known, reverse=direction is DOWN)
    assert keys[: len(known)] == known
    # equal ones stay in the order of the book
    for before, after in itertools.pairwise(range(len(order))):
        if keys[before] == keys[after]:
            assert order[before] < order[after]


@given(_birds(), _birds())
def test_the_search_looks_through_what_changed(before: tuple[Bird, ...], added: tuple[Bird, ...]) -> None:
    first = BirdIndex(Snapshot(0, BookDetails(""), before), TODAY)
    first.prepare()
    renamed = tuple(replace(bird, name="Rowan") for bird in before[:1])
    second = BirdIndex(Snapshot(1, BookDetails(""), (*added, *renamed, *before[1:])), TODAY, first)
    assert second.texts == [search_text(bird) for bird in second.rows]
