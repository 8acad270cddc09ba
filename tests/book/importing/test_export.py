"""A book written as a list and read back is the same book."""

import csv
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from studbook.book.changes import AddBirds, AddMarks, EditMark, StrikeOut
from studbook.book.changes.importing import ImportBirds
from studbook.book.clock import new_uuid
from studbook.book.door import Book
from studbook.book.errors import BookUnusable
from studbook.book.export import export_csv, write_list
from studbook.book.importing.drafting import own_mark
from studbook.book.importing.guard import guarded, unguarded
from studbook.book.importing.planning import read_list
from studbook.book.records import (
    OURS,
    Bird,
    BirdId,
    BookDetails,
    Mark,
    MarkId,
    MarkKind,
    Origin,
    OriginId,
    Pair,
    Sex,
    Snapshot,
    Status,
)
from studbook.book.rules import mark_key
from studbook.dates import UNKNOWN_DATE, PartialDate
from tests.book.importing.conftest import TODAY

EMPTY = Snapshot(0, BookDetails(id="book", breed="Andalusian"))
ORIGINS = (Origin(OriginId("alder"), "Alder Hill"), Origin(OriginId("thorn"), "=Thorn; 'yard'"))


def words(maximum: int = 12):
    characters = st.characters(exclude_categories=("Cc", "Cs", "Zl", "Zp"))
    tricky = st.sampled_from(
        ["?", "-", "'=1", "=1+1", "A x B", "A × B", "A | B", "A=0.5", '"', "007", "1e5", "@x"]
    )
    return st.one_of(tricky, st.text(characters, max_size=maximum)).map(str.strip)


def marks():
    characters = st.characters(categories=("Lu", "Nd"), include_characters="-+'@/. ", max_codepoint=0x17F)
    tricky = st.sampled_from(["A12", "a12", "007", "-5", "+5", "'@1", "A x 1", "1.0"])
    return st.one_of(tricky, st.text(characters, min_size=1, max_size=6)).map(str.strip)


@st.composite
def dates(draw: st.DrawFn, year: int) -> PartialDate:
    month = draw(st.sampled_from([None, 2, 12]))
    day = draw(st.sampled_from([None, 1, 28])) if month else None
    return PartialDate(year, month, day, draw(st.booleans()))


@st.composite
def books(draw: st.DrawFn) -> Snapshot:
    """A book that keeps every rule: parents are older, living birds wear different marks."""
    birds: list[Bird] = []
    worn: set[str] = set()
    for number in range(draw(st.integers(0, 8))):
        year = 1980 + 3 * number
        placeholder = draw(st.integers(0, 5)) == 0
        code = "" if placeholder else draw(st.one_of(st.just(""), marks()))
        is_free = mark_key(code) not in worn
        living = placeholder or (is_free and draw(st.booleans()))
        away = [Status.SOLD, Status.DIED, Status.LOST, *([Status.LENT] if is_free else [])]
        status = Status.LIVING if living else draw(st.sampled_from(away))
        if code and status in OURS:
            worn.add(mark_key(code))
        mark = Mark(MarkId(f"mark-{number}"), draw(st.sampled_from([MarkKind.RING, MarkKind.WING_TAG])), code)
        bird = Bird(
            id=BirdId(str(draw(st.uuids(version=4)))),
            name="" if placeholder else draw(words()),
            breed=draw(words()),
            sex=draw(st.sampled_from(Sex)),
            hatched=draw(st.one_of(st.just(UNKNOWN_DATE), dates(year))),
            colour=draw(words()),
            note=draw(words(20)) + draw(st.sampled_from(["", "\nsecond line", "; and, more"])),
            placeholder=placeholder,
            origin=draw(st.sampled_from([None, *(origin.id for origin in ORIGINS)])),
            status=status,
            left=UNKNOWN_DATE if living else draw(st.one_of(st.just(UNKNOWN_DATE), dates(2024))),
            marks=(mark,) if code else (),
        )
        birds.append(replace(bird, pairs=draw(pairs(birds))))
    return replace(EMPTY, birds=tuple(birds), origins=ORIGINS)


@st.composite
def pairs(draw: st.DrawFn, older: list[Bird]) -> tuple[Pair, ...]:
    # a bird of unknown sex is a sire or a dam, never both
    guessed = [
        bird.sex if bird.sex is not Sex.UNKNOWN else list(Sex)[place % 2] for place, bird in enumerate(older)
    ]
    sires = [None, *(bird.id for bird, sex in zip(older, guessed, strict=True) if sex is Sex.COCK)]
    dams = [None, *(bird.id for bird, sex in zip(older, guessed, strict=True) if sex is Sex.HEN)]
    each = st.tuples(st.sampled_from(sires), st.sampled_from(dams))
    chosen = (
        draw(st.lists(each.filter(lambda pair: pair != (None, None)), max_size=3, unique=True))
        if older
        else []
    )
    parts = [draw(st.integers(1, 9)) for _pair in chosen]
    return tuple(Pair(sire, dam, part / sum(parts)) for (sire, dam), part in zip(chosen, parts, strict=True))


def columns_of(bird: Bird, snapshot: Snapshot, origins: tuple[Origin, ...]) -> tuple[object, ...]:
    """What the columns of a list say about a bird."""
    mark = own_mark(bird)
    names = {origin.id: origin.name for origin in origins}
    return (
        mark.code if mark else "",
        bird.name,
        bird.sex,
        bird.hatched,
        bird.breed,
        bird.colour,
        names[bird.origin] if bird.origin else "",
        bird.placeholder,
        bird.status,
        bird.left,
        bird.note,
        frozenset((pair.sire, pair.dam, pair.weight) for pair in bird.pairs),
    )


def assert_same_after_export(snapshot: Snapshot, path: Path) -> None:
    export_csv(snapshot, path)
    plan = read_list(path, EMPTY, ids=new_uuid, today=TODAY)
    assert plan.errors == ()
    read = {bird.id: columns_of(bird, EMPTY, plan.origins_added) for bird in plan.added}
    assert read == {bird.id: columns_of(bird, snapshot, snapshot.origins) for bird in snapshot.birds}


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(books())
def test_a_list_written_and_read_is_the_same_book(tmp_path: Path, snapshot: Snapshot) -> None:
    assert_same_after_export(snapshot, tmp_path / "flock.csv")


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(books())
def test_a_spreadsheet_written_and_read_is_the_same_book(tmp_path: Path, snapshot: Snapshot) -> None:
    assert_same_after_export(snapshot, tmp_path / "flock.xlsx")


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(books())
def test_a_list_read_into_its_own_book_changes_nothing(tmp_path: Path, snapshot: Snapshot) -> None:
    export_csv(snapshot, tmp_path / "flock.csv")
    plan = read_list(tmp_path / "flock.csv", snapshot, ids=new_uuid, today=TODAY)
    assert (plan.errors, plan.added, plan.updated) == ((), (), ())
    assert plan.unchanged == len(snapshot.birds)


@given(st.text())
def test_no_guarded_cell_can_be_run_and_each_comes_back(text: str) -> None:
    cell = guarded(text)
    assert not cell.startswith(("=", "+", "-", "@", "\t", "\r"))
    assert unguarded(cell) == text


def bird(name: str, mark: str, **fields: object) -> Bird:
    marks = (Mark(MarkId(""), MarkKind.RING, mark),) if mark else ()
    return Bird(BirdId(new_uuid()), name=name, marks=marks, **fields)


def exported(book: Book, path: Path) -> list[dict[str, str]]:
    export_csv(book.snapshot(), path)
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def test_parents_are_written_by_mark_and_by_id_where_a_mark_is_not_enough(book: Book, tmp_path: Path) -> None:
    old = bird("Trent", "A12", sex=Sex.COCK, status=Status.DIED)
    young = bird("Brue", "A12", sex=Sex.COCK)
    hen = bird("Sloe", "B07", sex=Sex.HEN)
    nameless = bird("", "", sex=Sex.HEN)
    chicks = [
        bird("", "C1", pairs=(Pair(young.id, hen.id),)),
        bird("", "C2", pairs=(Pair(old.id, nameless.id),)),
        bird("", "C3", pairs=(Pair(old.id, hen.id, 0.25), Pair(None, hen.id, 0.75))),
    ]
    book.apply(AddBirds((old, young, hen, nameless, *chicks)))
    rows = {row["mark"]: row for row in exported(book, tmp_path / "flock.csv")}
    assert (rows["C1"]["sire"], rows["C1"]["dam"]) == ("Brue", "B07")
    assert (rows["C2"]["sire"], rows["C2"]["dam"]) == ("Trent", nameless.id)
    assert rows["C3"]["parents"] == "Trent x B07 = 0.25 | ? x B07 = 0.75"


def test_a_mark_worn_before_by_another_is_no_reference(book: Book, tmp_path: Path) -> None:
    trent, brue = bird("", "A12", sex=Sex.COCK), bird("", "A15", sex=Sex.COCK)
    chick = bird("", "C1", pairs=(Pair(trent.id, None),))
    book.apply(AddBirds((trent, brue, chick)))
    (mark,) = book.snapshot().bird(brue.id).marks
    book.apply(EditMark(mark, replace(mark, until=PartialDate(2020))))
    (mark,) = book.snapshot().bird(trent.id).marks
    book.apply(EditMark(mark, replace(mark, until=PartialDate(2021))))
    book.apply(AddMarks(((brue.id, Mark(MarkId(""), MarkKind.RING, "A12")),)))
    rows = {row["id"]: row for row in exported(book, tmp_path / "flock.csv")}
    assert rows[chick.id]["sire"] == trent.id


def test_a_shared_mark_is_not_written_as_a_ring(book: Book, tmp_path: Path) -> None:
    punched = replace(bird("Sloe", ""), marks=(Mark(MarkId(""), MarkKind.TOE_PUNCH, "left outer"),))
    book.apply(AddBirds((punched,)))
    assert exported(book, tmp_path / "flock.csv")[0]["mark"] == ""


def test_a_bird_struck_out_is_left_out(book: Book, tmp_path: Path) -> None:
    book.apply(AddBirds((bird("Sloe", "B07"), bird("Ivy", "B08"))))
    sloe = next(bird for bird in book.snapshot().birds if bird.name == "Sloe")
    book.apply(StrikeOut((sloe.id,), "entered twice"))
    assert [row["name"] for row in exported(book, tmp_path / "flock.csv")] == ["Ivy"]


def test_some_birds_alone_can_be_written(book: Book, tmp_path: Path) -> None:
    book.apply(AddBirds((bird("Sloe", "B07"), bird("Ivy", "B08"))))
    snapshot = book.snapshot()
    path = tmp_path / "some.csv"
    write_list(snapshot, [bird for bird in snapshot.birds if bird.name == "Ivy"], path)
    assert [line.split(",")[1] for line in path.read_text(encoding="utf-8-sig").splitlines()] == [
        "mark",
        "B08",
    ]


def test_an_edited_export_updates_the_book(book: Book, tmp_path: Path) -> None:
    book.apply(AddBirds((bird("Sloe", "B07", sex=Sex.HEN), bird("Ivy", "B08", sex=Sex.HEN))))
    path = tmp_path / "flock.csv"
    export_csv(book.snapshot(), path)
    path.write_text(path.read_text(encoding="utf-8-sig").replace("Ivy", "Holly"), encoding="utf-8")
    plan = read_list(path, book.snapshot(), ids=book.new_id, today=TODAY)
    book.apply(ImportBirds.of(plan))
    assert sorted(bird.name for bird in book.snapshot().birds) == ["Holly", "Sloe"]


def test_a_file_that_cannot_be_written_is_said_and_nothing_is_left(tmp_path: Path) -> None:
    with pytest.raises(BookUnusable, match="cannot be written"):
        export_csv(EMPTY, tmp_path / "missing" / "flock.csv")
    (tmp_path / "folder.csv").mkdir()
    with pytest.raises(BookUnusable, match="cannot be written"):
        export_csv(EMPTY, tmp_path / "folder.csv")
    assert [path.name for path in tmp_path.iterdir()] == ["folder.csv"]
