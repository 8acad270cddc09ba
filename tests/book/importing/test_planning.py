"""Lists as they come: who is meant, what is asked, and one sentence for each thing that is wrong."""

from dataclasses import replace
from pathlib import Path

import pytest

from studbook.book.changes.importing import ImportBirds
from studbook.book.door import Book
from studbook.book.errors import RecordProblems
from studbook.book.importing.columns import Column
from studbook.book.importing.plan import ImportPlan, WhichBird, WhichOrder
from studbook.book.importing.planning import read_list
from studbook.book.importing.written_dates import DateOrder
from studbook.book.records import Bird, BookDetails, MarkKind, Sex, Status
from studbook.dates import PartialDate
from tests.book.importing.conftest import TODAY, Read, sentences
from tests.lists import (
    bred_flock,
    shuffled,
    with_duplicate_mark,
    with_hen_as_sire,
    with_loop,
    write_list,
)


def birds_of(plan: ImportPlan) -> dict[str, Bird]:
    return {bird.called: bird for bird in plan.added}


def parents_of(plan: ImportPlan, chick: str) -> list[tuple[str | None, str | None, float]]:
    names = {bird.id: bird.called for bird in plan.added}
    pairs = birds_of(plan)[chick].pairs
    return [
        (names[pair.sire] if pair.sire else None, names[pair.dam] if pair.dam else None, pair.weight)
        for pair in pairs
    ]


def test_a_line_becomes_a_bird(read: Read) -> None:
    plan = read(
        "mark,name,sex,hatched,breed,colour,origin,status,left,note\n"
        "W17-01,Trent,cockerel,about 2017,Andalusian,blue,Alder Hill,sold,2019-05,steady\n"
    )
    (trent,) = plan.added
    assert plan.problems == ()
    (mark,) = trent.marks
    assert (mark.code, mark.kind, mark.is_worn) == ("W17-01", MarkKind.RING, True)
    assert (trent.name, trent.sex, str(trent.hatched)) == ("Trent", Sex.COCK, "2017~")
    assert (trent.breed, trent.colour, trent.note) == ("Andalusian", "blue", "steady")
    assert (trent.status, trent.left) == (Status.SOLD, PartialDate(2019, 5))
    assert [(origin.id, origin.name) for origin in plan.origins_added] == [(trent.origin, "Alder Hill")]


def test_a_list_without_breeds_takes_the_breed_of_the_book(tmp_path: Path, book: Book) -> None:
    path = tmp_path / "list.csv"
    path.write_text("mark\nA1\n")
    snapshot = book.snapshot()
    details = BookDetails(id=snapshot.details.id, species="duck", breed="Call")
    plan = read_list(path, replace(snapshot, details=details), ids=book.new_id, today=TODAY)
    assert [(bird.species, bird.breed) for bird in plan.added] == [("duck", "Call")]


def test_parents_may_come_after_their_chicks_by_mark_or_name(read: Read) -> None:
    plan = read("mark,name,sire,dam\nC1,,A12,Sloe\nA12,,,\nB07,Sloe,,\n")
    assert plan.problems == ()
    assert parents_of(plan, "C1") == [("A12", "B07", 1.0)]


def test_marks_are_found_whatever_their_case(read: Read) -> None:
    assert parents_of(read("mark,sire\nC1,a12\nA12,\n"), "C1") == [("A12", None, 1.0)]


def test_a_mark_comes_before_a_name(read: Read) -> None:
    assert parents_of(read("mark,name,sire\nC1,,12\n12,Sloe,\nA9,12,\n"), "C1") == [("12", None, 1.0)]


def test_a_parent_in_the_book_is_found_by_mark_old_mark_and_name(read: Read, import_list, book: Book) -> None:
    import_list("mark,name,sex\nA12,Trent,cock\n")
    (trent,) = book.snapshot().birds
    for written in ("A12", "Trent", trent.id):
        (chick,) = read(f"mark,sire\nC1,{written}\n").added
        assert chick.sire == trent.id
    import_list(f"id,mark\n{trent.id},A99\n")
    plan = read(f"id,mark,sire\n{trent.id},A77,\n,C1,A99\n")
    assert plan.added[0].sire == trent.id


def test_several_candidates_with_and_without_weights(read: Read) -> None:
    plan = read("mark,sire,dam\nC1,A12 | A15,B07\nC2,A12=0.7|A15=0.3,\nA12,,\nA15,,\nB07,,\n")
    assert plan.problems == ()
    assert parents_of(plan, "C1") == [("A12", "B07", 0.5), ("A15", "B07", 0.5)]
    assert parents_of(plan, "C2") == [("A12", None, 0.7), ("A15", None, 0.3)]


def test_doubt_on_both_sides_is_independent(read: Read) -> None:
    plan = read("mark,sire,dam\nC1,A12 | A15,B07 | B09\nA12,,\nA15,,\nB07,,\nB09,,\n")
    assert sorted(parents_of(plan, "C1")) == [
        ("A12", "B07", 0.25),
        ("A12", "B09", 0.25),
        ("A15", "B07", 0.25),
        ("A15", "B09", 0.25),
    ]


def test_pairs_that_belong_together(read: Read) -> None:
    plan = read(
        "mark,parents\nC1,A12 x B07 = 0.5 | A15 × B09 = 0.25 | ? x B07 = 0.25\nA12,\nA15,\nB07,\nB09,\n"
    )
    assert plan.problems == ()
    assert parents_of(plan, "C1") == [("A12", "B07", 0.5), ("A15", "B09", 0.25), (None, "B07", 0.25)]


def test_pairs_and_a_sire_that_disagree_are_a_problem(read: Read) -> None:
    plan = read("mark,sire,parents\nC1,A15,A12 x B07\nC2,A12,A12 x B07\nA12,,\nA15,,\nB07,,\n")
    assert [(line, column) for line, column, _text in sentences(plan)] == [(2, "sire")]


def test_an_unknown_parent_is_no_parent(read: Read) -> None:
    plan = read("mark,sire,dam\nC1,?,unknown\nC2,-,n/a\n")
    assert plan.problems == ()
    assert [bird.pairs for bird in plan.added] == [(), ()]


def test_other_columns_are_kept_in_the_note(read: Read) -> None:
    plan = read("mark,note,Egg colour,Temper\nA1,calm,white,\nA2,,cream,shy\n")
    assert plan.other_columns == ("Egg colour", "Temper")
    assert [bird.note for bird in plan.added] == ["calm\nEgg colour: white", "Egg colour: cream\nTemper: shy"]


def test_another_lists_numbers_are_not_taken_for_ids(read: Read) -> None:
    plan = read("ID,mark\n1,A1\n2,A2\n")
    assert plan.problems == ()
    assert plan.other_columns == ("id",)
    assert [bird.note for bird in plan.added] == ["id: 1", "id: 2"]


def test_dates_follow_the_one_that_is_plain(read: Read) -> None:
    plan = read("mark;hatched\nA1;12/04/2019\nA2;25/04/2019\n")
    assert plan.problems == ()
    assert plan.date_order is DateOrder.DMY
    assert [str(bird.hatched) for bird in plan.added] == ["2019-04-12", "2019-04-25"]


def test_an_undecided_column_of_dates_follows_the_other(read: Read) -> None:
    plan = read("mark,hatched,status,left\nA1,12/04/2019,sold,04/25/2020\n")
    assert plan.problems == ()
    assert str(plan.added[0].hatched) == "2019-12-04"


def test_dates_that_no_line_decides_are_asked_once(read: Read) -> None:
    text = "mark,hatched,sire\nC1,04/06/2021,A1\nA1,05/04/2019,\nA2,06/04/2019,\n"
    plan = read(text)
    assert plan.questions == (WhichOrder(Column.HATCHED, 2, "04/06/2021"),)
    ((line, column, message),) = sentences(plan)
    assert (line, column) == (2, "hatched")
    assert "--date-order" in message
    answered = read(text, date_order=DateOrder.MDY)
    assert answered.problems == ()
    assert str(birds_of(answered)["C1"].hatched) == "2021-04-06"


def test_a_date_against_the_order_of_the_others_is_a_problem(read: Read) -> None:
    plan = read("mark,hatched\nA1,25/04/2019\nA2,26/04/2019\nA3,04/27/2019\n")
    assert [(line, column) for line, column, _text in sentences(plan)] == [(4, "hatched")]


def test_every_unknown_word_is_named_on_its_line(read: Read) -> None:
    plan = read(
        "mark,name,sex,hatched,status\n"
        "A1,,sideways,2019,\n"
        "A2,,hen,30/02/2019,\n"
        "A3,,hen,2019,flown\n"
        ",,hen,2019,\n"
        "A|5,,hen,2019,\n"
    )
    assert [(line, column) for line, column, _text in sentences(plan)] == [
        (2, "sex"),
        (3, "hatched"),
        (4, "status"),
        (5, ""),
        (6, "mark"),
    ]


@pytest.mark.parametrize(
    "written", ["A12=0.7 | A15=0.7", "A12=0.7 | A15", "A12 | A12", "A12 | a12", "A12=0 | A15=1"]
)
def test_weights_that_do_not_fit_name_bird_and_column(read: Read, written: str) -> None:
    ((line, column, message),) = sentences(read(f"mark,sire\nC1,{written}\nA12,\nA15,\n"))
    assert (line, column) == (2, "sire")
    assert message.startswith("C1, sire: ")


def test_an_unknown_parent_is_named_once_with_its_chicks(read: Read) -> None:
    ((line, column, message),) = sentences(read("mark,sire\nC1,A12\nC2,A12\nC3,A12\nC4,A12\nC5,A12\n"))
    assert (line, column) == (2, "sire")
    assert "“A12”" in message
    assert message.startswith("C1, C2, C3 and 2 more, sire")


def test_a_name_of_two_birds_is_a_question_not_a_guess(read: Read) -> None:
    text = "mark,name,sex,hatched,sire\nA12,Trent,cock,2015,\nA15,Trent,cock,2019,\nC1,,,2017,Trent\nC2,,,2021,trent\n"
    plan = read(text)
    ((line, column, message),) = sentences(plan)
    assert (line, column) == (4, "sire")
    assert "A12 (Trent, line 2)" in message
    assert "A15 (Trent, line 3)" in message
    assert "write its mark" in message
    (question,) = plan.questions
    assert isinstance(question, WhichBird)
    assert question.lines == (4, 5)
    assert [candidate.called for candidate in question.candidates] == ["A12", "A15"]
    answered = read(text, answers={(question.side, question.key): 1})
    assert parents_of(answered, "C2") == [("A15", None, 1.0)]


def test_sex_settles_a_name_that_a_cock_and_a_hen_share(read: Read) -> None:
    plan = read("mark,name,sex,sire,dam\nA12,Robin,cock,,\nB07,Robin,hen,,\nC1,,,Robin,Robin\n")
    assert plan.problems == ()
    assert parents_of(plan, "C1") == [("A12", "B07", 1.0)]


def test_a_bird_named_after_its_sire_is_not_its_own_sire(read: Read) -> None:
    plan = read("mark,name,sex,sire\nA12,Trent,cock,\nC1,Trent,cock,Trent\n")
    assert plan.problems == ()
    assert parents_of(plan, "C1") == [("A12", None, 1.0)]


def test_two_living_birds_with_one_mark_are_one_sentence(read: Read) -> None:
    plan = read("mark,name,sex,sire\nA12,Trent,cock,\nA12,Sloe,hen,\nC1,,,A12\nC2,,,A12\n")
    ((line, column, message),) = sentences(plan)
    assert (line, column) == (3, "mark")
    assert "line 2 and line 3" in message


def test_a_mark_of_a_bird_that_died_may_be_worn_again(read: Read) -> None:
    plan = read("mark,name,status\nA12,Trent,died\nA12,Brue,living\n")
    assert plan.problems == ()


def test_a_mark_of_a_living_bird_of_the_book_is_a_problem(read: Read, import_list, book: Book) -> None:
    import_list("mark,name\nA12,Trent\n")
    ((line, column, message),) = sentences(read("mark,name,sire\nA12,Trent,\nC1,,A12\n"))
    assert (line, column) == (2, "mark")
    assert "Trent" in message


def test_a_line_with_an_id_updates_that_bird(read: Read, import_list, book: Book) -> None:
    import_list("mark,name,sex,hatched,note\nA12,Trent,cock,2019,calm\nB07,Sloe,hen,2019,\n")
    trent = next(bird for bird in book.snapshot().birds if bird.name == "Trent")
    plan = read(f"id,mark,status,left,note\n{trent.id},A12,sold,2021-03-04,\n")
    ((before, after),) = plan.updated
    assert plan.problems == ()
    assert before == trent
    assert (after.status, after.left, after.note) == (Status.SOLD, PartialDate(2021, 3, 4), "calm")
    entry = book.apply(ImportBirds.of(plan))
    assert entry.birds == (trent.id,)
    assert book.snapshot().bird(trent.id) == after
    assert read(f"id,mark,status,left\n{trent.id},A12,sold,2021-03-04\n").unchanged == 1


def test_an_update_of_the_sire_keeps_the_dam(read: Read, import_list, book: Book) -> None:
    import_list("mark,sex,sire,dam\nA12,cock,,\nA15,cock,,\nB07,hen,,\nC1,,A12,B07\n")
    birds = {bird.mark: bird for bird in book.snapshot().birds}
    plan = read(f"id,mark,sire,dam\n{birds['C1'].id},C1,A15,\n")
    book.apply(ImportBirds.of(plan))
    chick = book.snapshot().bird(birds["C1"].id)
    assert (chick.sire, chick.dam) == (birds["A15"].id, birds["B07"].id)


def test_an_id_twice_or_no_id_at_all_is_a_problem(read: Read, import_list, book: Book) -> None:
    import_list("mark\nA12\n")
    known = book.snapshot().birds[0].id
    plan = read(f"id,mark\n{known},A12\n{known},A13\n17,A14\n")
    assert [(line, column) for line, column, _text in sentences(plan)] == [(3, "id"), (4, "id")]


def test_a_nameless_list_of_names_already_in_the_book_warns(read: Read, import_list) -> None:
    import_list("name\nSloe\n")
    (problem,) = read("name\nSloe\n").problems
    assert not problem.is_error


def test_a_new_breed_is_a_warning(read: Read, import_list) -> None:
    import_list("mark,breed\nA1,Andalusian\n")
    (problem,) = read("mark,breed\nA2,Andalusain\nA3,Andalusain\nA4,Andalusian\n").problems
    assert (problem.line, problem.column, problem.is_error) == (2, "breed", False)


def test_an_imprecise_clash_is_a_warning(read: Read) -> None:
    plan = read("mark,hatched,sire\nA1,2004,\nC1,2005-03,A1\n")
    assert [problem.is_error for problem in plan.problems] == [False]
    assert plan.is_accepted


@pytest.mark.parametrize(
    ("text", "line", "column", "said"),
    [
        ("mark,sex,sire\nA1,cock,C1\nC1,cock,A1\n", 2, "sire", "own ancestor"),
        ("mark,sire\nA1,A1\n", 2, "sire", "own parent"),
        ("mark,sex,sire\nB1,hen,\nC1,,B1\n", 3, "sire", "B1 is a hen"),
        ("mark,sex,dam\nA1,cock,\nC1,,A1\n", 3, "dam", "A1 is a cock"),
        (
            "mark,sex,hatched,sire\nA1,cock,2021-05-01,\nC1,,2019-05-01,A1\n",
            3,
            "sire",
            "younger than its chick",
        ),
        ("mark,sex,hatched,dam\nB1,hen,2019-05-01,\nC1,,2019-06-30,B1\n", 3, "dam", "too young"),
        ("mark,hatched\nA1,2031\n", 2, "hatched", "still to come"),
        ("mark,hatched,status,left\nA1,2019,died,2018\n", 2, "left", "before it hatched"),
        ("mark,status,left\nA1,living,2018\n", 2, "left", "is living"),
        (
            "mark,sex,hatched,status,left,sire\nA1,cock,2015,died,2017-01-01,\nC1,,2019-05-01,,,A1\n",
            3,
            "sire",
            "too long after",
        ),
    ],
)
def test_what_the_record_refuses_has_a_line(read: Read, text: str, line: int, column: str, said: str) -> None:
    ((found_line, found_column, message),) = sentences(read(text))
    assert (found_line, found_column) == (line, column)
    assert said in message


def test_a_cock_entered_as_a_hen_is_one_sentence_about_its_sex(read: Read) -> None:
    chicks = "".join(f"C{number},,A1\n" for number in range(6))
    ((line, column, message),) = sentences(read(f"mark,sex,sire\nA1,hen,\n{chicks}"))
    assert (line, column) == (2, "sex")
    assert "C0, C1, C2 and 3 more" in message


def test_a_hatch_year_mistyped_is_one_sentence(read: Read) -> None:
    chicks = "".join(f"C{number},,2019-05-01,A1\n" for number in range(6))
    ((line, column, message),) = sentences(read(f"mark,sex,hatched,sire\nA1,cock,2021,\n{chicks}"))
    assert (line, column) == (2, "hatched")
    assert "A1" in message


def test_a_hen_as_sire_is_not_also_too_young_or_a_loop(read: Read) -> None:
    text = "mark,sex,hatched,sire,dam\nA1,cock,2017,B3,\nB3,hen,2019,A1,\n"
    ((line, column, message),) = sentences(read(text))
    assert (line, column) == (2, "sire")
    assert "B3 is a hen" in message


def test_one_wrong_parent_closes_many_loops_but_is_one_sentence(read: Read) -> None:
    # A0 is the ancestor of D by four ways; making it a chick of D closes a loop through each
    text = (
        "mark,sex,sire,dam\nD,cock,S,M\nS,cock,A1,B1\nM,hen,A2,B1\nA1,cock,A0,\nA2,cock,A0,\nB1,hen,A0,\n"
        "A0,cock,D,\n"
    )
    for order in range(6):
        head, *lines = text.splitlines()
        turned = [*lines[order:], *lines[:order]]
        ((_line, _column, message),) = sentences(read("\n".join([head, *turned])))
        assert "own ancestor" in message


def test_a_bird_given_anothers_mark_does_not_make_its_chicks_fatherless(read: Read) -> None:
    text = (
        "mark,name,sex,hatched,sire\n"
        "W17-01,Trent,cock,2017,\nW17-03,Brue,cock,2017,\nW17-03,Cale,cock,2017,\nW17-04,Sloe,hen,2017,\n"
        "W19-01,,,2019,W17-02\nW19-02,,,2019,W17-02\nW19-03,,,2019,W17-03\n"
    )
    ((line, column, message),) = sentences(read(text))
    assert (line, column) == (4, "mark")
    assert "W17-02 (W19-01, W19-02)" in message


def test_a_missing_parent_beside_a_duplicate_mark_that_cannot_explain_it_keeps_its_sentence(
    read: Read,
) -> None:
    text = (
        "mark,sex,hatched,sire\nW17-01,hen,2017,\nW17-01,hen,2017,\nW17-04,hen,2017,\nW19-01,,2019,W17-02\n"
    )
    assert [column for _line, column, _text in sentences(read(text))] == ["mark", "sire"]


def test_a_shuffled_list_of_400_comes_in_with_its_true_parents(tmp_path: Path, book: Book) -> None:
    flock = bred_flock(400)
    path = write_list(tmp_path / "flock.csv", shuffled(flock))
    plan = read_list(path, book.snapshot(), ids=book.new_id, today=TODAY)
    assert (plan.problems, plan.delimiter, plan.encoding) == ((), ";", "utf-8-sig")
    entry = book.apply(ImportBirds.of(plan, path.name))
    assert entry.label == "import 400 birds from flock.csv"
    snapshot = book.snapshot()
    found = {
        bird.mark: (
            snapshot.bird(bird.sire).mark if bird.sire else "",
            snapshot.bird(bird.dam).mark if bird.dam else "",
            str(bird.hatched),
            bird.sex.value,
        )
        for bird in snapshot.birds
    }
    assert found == {bird.mark: (bird.sire, bird.dam, str(bird.hatched), bird.sex) for bird in flock}
    assert len(book.journal()) == 1
    book.undo()
    assert book.snapshot().birds == ()
    book.redo()
    assert len(book.snapshot().birds) == 400


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("of_a_parent", [False, True])
def test_three_planted_faults_are_three_sentences_and_nothing_is_added(
    tmp_path: Path, book: Book, seed: int, of_a_parent: bool
) -> None:
    flock = with_duplicate_mark(with_hen_as_sire(with_loop(bred_flock(400, seed))), of_a_parent)
    path = write_list(tmp_path / "flock.csv", shuffled(flock, seed))
    plan = read_list(path, book.snapshot(), ids=book.new_id, today=TODAY)
    said = sorted(message for _line, _column, message in sentences(plan))
    assert len(said) == 3
    assert sum("own ancestor" in message for message in said) == 1
    assert sum("is a hen" in message for message in said) == 1
    assert sum("mark of two living birds" in message for message in said) == 1
    with pytest.raises(RecordProblems) as refused:
        ImportBirds.of(plan)
    assert len(refused.value.problems) == 3
    assert book.snapshot().birds == ()
    assert book.journal() == ()
