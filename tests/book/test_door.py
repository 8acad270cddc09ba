"""Changes through the door: kept whole or not at all, journaled, undone and redone, also after a restart."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from studbook.book.changes import (
    AddBirds,
    AddContact,
    AddMarks,
    AddNote,
    AddOrigin,
    AddPhoto,
    Chick,
    EditBird,
    EditDetails,
    EditMark,
    EditOrigin,
    IssueCertificate,
    RegisterHatch,
    RelateOrigins,
    RemovePhoto,
    Restore,
    SetParents,
    SetStatus,
    StrikeOut,
)
from studbook.book.door import Book
from studbook.book.errors import RecordProblems
from studbook.book.records import (
    BirdId,
    Certificate,
    CertificateId,
    Contact,
    ContactId,
    EntryKind,
    Mark,
    MarkId,
    MarkKind,
    Origin,
    OriginId,
    OriginRelation,
    Pair,
    Sex,
    Snapshot,
    Status,
)
from studbook.dates import UNKNOWN_DATE, PartialDate
from tests.flock import TODAY, add, bird, founders, new_book, reopened, ring


@pytest.fixture
def book(tmp_path: Path):
    with new_book(tmp_path / "flock.db") as made:
        yield made


def hatch(sire: BirdId, dam: BirdId, count: int = 8) -> RegisterHatch:
    chicks = tuple(Chick(ring(f"W26-{number:02d}")) for number in range(1, count + 1))
    return RegisterHatch(PartialDate(2026, 4, 12), (Pair(sire, dam),), chicks, rearer=dam, breed="Andalusian")


def content(snapshot: Snapshot) -> Snapshot:
    """A snapshot without what a restart or an undo may change: the number of the last entry and the labels."""
    return replace(snapshot, entry=0, undo_label="", redo_label="")


def test_a_hatch_is_registered_with_parents_rearer_and_marks(book: Book) -> None:
    severn, sorrel = founders(book)
    entry = book.apply(hatch(severn, sorrel))
    chicks = [book.snapshot().bird(bird_id) for bird_id in entry.birds]
    assert sorted(chick.mark for chick in chicks) == [f"W26-{number:02d}" for number in range(1, 9)]
    assert {(chick.sire, chick.dam, chick.rearer) for chick in chicks} == {(severn, sorrel, sorrel)}
    assert set(book.snapshot().offspring[severn]) == set(entry.birds)


def test_one_undo_takes_a_whole_hatch_back_and_redo_brings_it_again(book: Book) -> None:
    before = content(book.snapshot()), content((founders(book), book.snapshot())[1])
    severn, sorrel = (found.id for found in book.snapshot().birds)
    book.apply(hatch(severn, sorrel))
    after = content(book.snapshot())
    assert book.undo().kind is EntryKind.UNDO
    assert content(book.snapshot()) == before[1]
    assert book.redo().kind is EntryKind.REDO
    assert content(book.snapshot()) == after
    book.undo()
    book.undo()
    assert content(book.snapshot()) == before[0]


def test_undo_and_redo_survive_a_restart(book: Book) -> None:
    severn, sorrel = founders(book)
    book.apply(hatch(severn, sorrel))
    full = content(book.snapshot())
    book.undo()
    again = reopened(book)
    try:
        assert again.snapshot().redo_label == "register 8 chicks hatched 2026-04-12"
        again.redo()
        assert content(again.snapshot()) == full
        again.undo()
        again.undo()
        assert again.snapshot().birds == ()
    finally:
        again.close()


def test_a_change_after_an_undo_leaves_nothing_to_redo(book: Book) -> None:
    severn, sorrel = founders(book)
    book.apply(hatch(severn, sorrel))
    book.undo()
    book.apply(AddNote(severn, PartialDate.of(TODAY), "Calm on the perch."))
    with pytest.raises(RecordProblems, match="nothing to redo"):
        book.redo()


def test_a_refused_change_saves_nothing_and_names_every_problem(book: Book) -> None:
    severn, sorrel = founders(book)
    before, entries = book.snapshot(), book.journal()
    wrong = bird(book, "W26-09", hatched="2026-05-01", sire=sorrel, dam=severn)
    with pytest.raises(RecordProblems) as refused:
        book.apply(AddBirds((wrong,)))
    messages = [problem.message for problem in refused.value.problems]
    assert len(messages) == 2
    assert any("W23-02 is a hen and cannot be the sire of W26-09" in message for message in messages)
    assert any("W23-01 is a cock and cannot be the dam of W26-09" in message for message in messages)
    assert (book.snapshot(), book.journal()) == (before, entries)
    again = reopened(book)
    assert again.snapshot().birds == before.birds
    again.close()


def test_a_loop_is_refused_naming_the_birds_of_it(book: Book) -> None:
    severn, sorrel = founders(book)
    chick = book.apply(hatch(severn, sorrel, 1)).birds[0]
    with pytest.raises(RecordProblems) as refused:
        book.apply(SetParents(severn, (Pair(None, chick),)))
    assert [problem.kind for problem in refused.value.problems] == ["loop"]
    assert set(refused.value.problems[0].birds) == {"W23-01", "W26-01"}


def test_a_mark_worn_by_another_living_bird_is_refused_but_free_once_that_one_has_left(book: Book) -> None:
    severn, _sorrel = founders(book)
    newcomer = bird(book, "w23-01", Sex.COCK)
    with pytest.raises(RecordProblems, match="2 living birds wear the mark"):
        add(book, newcomer)
    book.apply(SetStatus((severn,), Status.SOLD, PartialDate(2026, 9, 1)))
    add(book, newcomer)
    assert book.snapshot().bird(newcomer.id).mark == "w23-01"


def test_a_group_mark_is_shared(book: Book) -> None:
    severn, sorrel = founders(book)
    punch = Mark(MarkId(""), MarkKind.TOE_PUNCH, "left outer", place="left foot")
    book.apply(AddMarks(((severn, punch), (sorrel, punch))))
    assert all("left outer" in [mark.code for mark in found.marks] for found in book.snapshot().birds)
    assert book.snapshot().bird(severn).mark == "W23-01", "the numbered ring is shown before a group mark"


def test_marks_have_a_history(book: Book) -> None:
    severn, _sorrel = founders(book)
    old = book.snapshot().bird(severn).marks[0]
    book.apply(EditMark(old, replace(old, until=PartialDate(2026, 3, 1))))
    book.apply(
        AddMarks(((severn, Mark(MarkId(""), MarkKind.RING, "W26-90", since=PartialDate(2026, 3, 1))),))
    )
    found = book.snapshot().bird(severn)
    assert found.mark == "W26-90"
    assert [(mark.code, mark.is_worn) for mark in found.marks] == [("W23-01", False), ("W26-90", True)]


def test_doubtful_parents_are_kept_as_weighted_pairs(book: Book) -> None:
    severn, sorrel = founders(book)
    tamar = bird(book, "W23-03", Sex.COCK, "2023-04-02", name="Tamar", founder=True)
    chick = bird(book, "W26-01", hatched="2026-04-12")
    add(book, tamar, chick)
    book.apply(
        SetParents(
            chick.id, (Pair(tamar.id, sorrel, 0.25), Pair(severn, sorrel, 0.75)), "two cocks in the pen"
        )
    )
    found = book.snapshot().bird(chick.id)
    assert found.sires == (severn, tamar.id), "the likelier first"
    assert (found.sire, found.dam) == (None, sorrel)
    assert found.pairs[0].reason == "two cocks in the pen"
    with pytest.raises(RecordProblems, match=r"add up to 0\.9"):
        book.apply(SetParents(chick.id, (Pair(tamar.id, sorrel, 0.4), Pair(severn, sorrel, 0.5))))


def test_a_struck_out_bird_leaves_the_book_and_can_be_restored(book: Book) -> None:
    severn, sorrel = founders(book)
    chick = book.apply(hatch(severn, sorrel, 1)).birds[0]
    with pytest.raises(RecordProblems, match="names it as its parent"):
        book.apply(StrikeOut((severn,), "entered twice"))
    book.apply(StrikeOut((chick,), "entered twice"))
    assert not book.snapshot().has(chick)
    assert [found.struck for found in book.snapshot().struck] == ["entered twice"]
    assert book.search("W26-01") == ()
    book.apply(Restore((chick,)))
    assert book.snapshot().bird(chick).mark == "W26-01"


def test_parents_stand_before_their_chicks_whatever_the_order_of_entry(book: Book) -> None:
    _severn, sorrel = founders(book)
    chick = bird(book, "W25-01", Sex.HEN, "", name="Clover")
    add(book, chick)
    late = bird(book, "W22-01", Sex.COCK, "", name="Tamar")
    add(book, late)
    book.apply(SetParents(chick.id, (Pair(late.id, sorrel),)))
    rows = book.snapshot().rows
    assert rows[late.id] < rows[chick.id]
    assert rows[sorrel] < rows[chick.id]


def test_every_other_kind_of_change_is_taken_back_exactly(book: Book) -> None:
    severn, sorrel = founders(book)
    details = book.snapshot().details
    contact = Contact(ContactId(book.new_id()), "Ida Fell")
    origin = Origin(OriginId(book.new_id()), "Fellgate", 0.25)
    changes = [
        EditDetails(details, replace(details, keeper="Ada Thorn & daughters")),
        AddContact(contact),
        AddOrigin(origin),
        EditBird(
            book.snapshot().bird(sorrel),
            replace(book.snapshot().bird(sorrel), colour="blue", origin=origin.id, breeder=contact.id),
        ),
        SetStatus((severn,), Status.DIED, PartialDate(2026, 11), "fox"),
        AddNote(sorrel, UNKNOWN_DATE, "Lays tinted eggs."),
        AddPhoto(sorrel, b"picture", b"small", 800, 600, "in June"),
        IssueCertificate(Certificate(CertificateId(""), "2027-001", sorrel, date(2027, 2, 14), "Ida Fell")),
    ]
    states = [content(book.snapshot())]
    for change in changes:
        book.apply(change)
        states.append(content(book.snapshot()))
    for expected in reversed(states[:-1]):
        book.undo()
        assert content(book.snapshot()) == expected
    for expected in states[1:]:
        book.redo()
        assert content(book.snapshot()) == expected
    assert book.check() == ()


def test_a_photo_is_found_again_after_it_was_removed_and_brought_back(book: Book) -> None:
    _severn, sorrel = founders(book)
    book.apply(AddPhoto(sorrel, b"picture", b"small", 800, 600))
    photo = book.snapshot().photos[0]
    book.apply(RemovePhoto(photo.id))
    assert book.snapshot().photos == ()
    book.undo()
    assert book.photo(book.snapshot().photos[0].sha256) == b"picture"
    assert book.thumbnail(photo.sha256) == b"small"


def test_a_certificate_number_is_given_once(book: Book) -> None:
    _severn, sorrel = founders(book)
    certificate = Certificate(CertificateId(""), "2027-001", sorrel, TODAY)
    book.apply(IssueCertificate(certificate))
    with pytest.raises(RecordProblems, match="2027-001 has been issued before"):
        book.apply(IssueCertificate(certificate))


def test_the_journal_tells_what_when_and_why(book: Book) -> None:
    severn, _sorrel = founders(book)
    book.apply(AddNote(severn, UNKNOWN_DATE, "Crows early."), why="heard at five")
    newest = book.journal()[0]
    assert (newest.label, newest.why, newest.at.isoformat()) == (
        "add a note about W23-01",
        "heard at five",
        "2027-02-14T09:30:00+00:00",
    )


def test_a_change_that_alters_nothing_writes_no_entry(book: Book) -> None:
    severn, _sorrel = founders(book)
    before = len(book.journal())
    same = book.snapshot().bird(severn)
    book.apply(EditBird(same, same))
    assert len(book.journal()) == before


def test_a_preview_finds_what_a_change_would_meet_and_saves_nothing(book: Book) -> None:
    severn, sorrel = founders(book)
    before = book.snapshot()
    young = RegisterHatch(PartialDate(2023, 7, 1), (Pair(severn, sorrel),), (Chick(ring("W23-50")),))
    found = book.preview(young)
    assert {problem.field for problem in found} == {"sire", "dam"}
    assert all("too young" in problem.message for problem in found)
    assert book.snapshot() is before


def test_an_undo_that_would_overwrite_a_later_hand_is_refused(book: Book, tmp_path: Path) -> None:
    import sqlite3

    severn, _sorrel = founders(book)
    known = book.snapshot().bird(severn)
    book.apply(EditBird(known, replace(known, colour="blue")))
    book.close()
    with sqlite3.connect(book.path) as connection:
        connection.execute("UPDATE bird SET colour = 'black' WHERE uuid = ?", (severn,))
    connection.close()
    again = reopened(book)
    with pytest.raises(RecordProblems, match="has been changed since"):
        again.undo()
    assert again.snapshot().bird(severn).colour == "black"
    again.close()


def two_origins(book: Book, own: float = 0.4, of_other: float = 0.3) -> tuple[OriginId, OriginId]:
    ids = OriginId(book.new_id()), OriginId(book.new_id())
    for origin, name, gamma in zip(ids, ("Thornbarrow", "Highmoor"), (own, of_other), strict=True):
        book.apply(AddOrigin(Origin(origin, name, gamma)))
    return ids


def test_origins_are_related_corrected_and_parted_again(book: Book) -> None:
    thornbarrow, highmoor = two_origins(book)
    before = book.snapshot()
    entry = book.apply(RelateOrigins(highmoor, thornbarrow, 0.2))
    assert entry.label == "relate Highmoor and Thornbarrow"
    related = book.snapshot()
    assert related.origin_relations == (OriginRelation(thornbarrow, highmoor, 0.2),)
    with reopened(book) as again:
        assert again.snapshot() == related
        again.apply(RelateOrigins(thornbarrow, highmoor, 0.1))
        assert again.snapshot().origin_relations == (OriginRelation(thornbarrow, highmoor, 0.1),)
        again.apply(RelateOrigins(thornbarrow, highmoor, 0))
        assert again.snapshot().origin_relations == ()
        for _step in range(3):
            again.undo()
        assert content(again.snapshot()) == content(before)
        again.redo()
        assert content(again.snapshot()) == content(related)
        assert again.check() == ()


@pytest.mark.parametrize("value", [-0.1, 0.35, 2.5])
def test_origins_cannot_be_closer_than_the_birds_of_each_are(book: Book, value: float) -> None:
    """γ between two is at most the root of the product of their own: √(0.4 · 0.3) = 0.346."""
    thornbarrow, highmoor = two_origins(book)
    with pytest.raises(RecordProblems, match="Thornbarrow and Highmoor") as refused:
        book.apply(RelateOrigins(thornbarrow, highmoor, value))
    (problem,) = refused.value.problems
    assert problem.field == "relationship"
    assert book.snapshot().origin_relations == ()


def test_an_origin_is_not_related_to_itself_and_cannot_drop_below_its_relations(book: Book) -> None:
    thornbarrow, highmoor = two_origins(book)
    with pytest.raises(RecordProblems, match="Thornbarrow cannot be related to itself"):
        book.apply(RelateOrigins(thornbarrow, thornbarrow, 0.1))
    book.apply(RelateOrigins(thornbarrow, highmoor, 0.3))
    origin = book.snapshot().origin(thornbarrow)
    assert origin is not None
    with pytest.raises(RecordProblems, match=r"it is 0\.173 at most"):
        book.apply(EditOrigin(origin, replace(origin, self_relationship=0.1)))
    book.apply(EditOrigin(origin, replace(origin, self_relationship=0.35)))
    assert book.check() == ()


def test_relations_that_contradict_each_other_name_the_origins(book: Book) -> None:
    thornbarrow, highmoor = two_origins(book, 0.2, 0.2)
    third = OriginId(book.new_id())
    book.apply(AddOrigin(Origin(third, "Ferncombe", 0.2)))
    for one, other in ((thornbarrow, highmoor), (highmoor, third), (thornbarrow, third)):
        book.apply(RelateOrigins(one, other, 0.14))
    book.apply(RelateOrigins(thornbarrow, highmoor, 0.19))
    with pytest.raises(RecordProblems, match="contradict each other") as refused:
        book.apply(RelateOrigins(highmoor, third, 0.19))
    assert all(name in str(refused.value) for name in ("Thornbarrow", "Highmoor", "Ferncombe"))


def test_a_lent_bird_keeps_its_mark_and_comes_home(book: Book) -> None:
    severn, _sorrel = founders(book)
    before = book.snapshot()
    taker = ContactId(book.new_id())
    book.apply(AddContact(Contact(taker, "Priya Sandholm")))
    book.apply(SetStatus((severn,), Status.LENT, PartialDate(2027, 1, 10), taker=taker))
    lent = book.snapshot().bird(severn)
    assert (lent.status, lent.left, lent.taker) == (Status.LENT, PartialDate(2027, 1, 10), taker)
    assert not lent.is_living
    assert lent.is_ours
    with pytest.raises(RecordProblems, match="W23-01"):
        add(book, bird(book, "W23-01", name="Another"))
    with reopened(book) as again:
        assert again.snapshot().bird(severn) == lent
        again.apply(SetStatus((severn,), Status.LIVING))
        assert again.snapshot().bird(severn) == before.bird(severn)
        again.undo()
        assert again.snapshot().bird(severn) == lent
        assert again.check() == ()
