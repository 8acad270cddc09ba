"""The invariants of the record: only what is impossible is refused, what is doubtful is warned of."""

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studbook.book.errors import Problem
from studbook.book.records import Bird, BirdId, Mark, MarkId, MarkKind, Pair, Sex, Status
from studbook.book.rules import View, mark_key, problems
from studbook.dates import UNKNOWN_DATE, PartialDate

TODAY = date(2027, 2, 14)


def made(name: str, sex: Sex = Sex.UNKNOWN, hatched: str = "", **fields: object) -> Bird:
    mark = Mark(MarkId(name), MarkKind.RING, name)
    return Bird(BirdId(name), sex=sex, hatched=PartialDate.parse(hatched), marks=(mark,), **fields)  # type: ignore[arg-type]


def found(*birds: Bird) -> list[Problem]:
    return list(problems(View({bird.id: bird for bird in birds}, TODAY)))


def pair(sire: str | None, dam: str | None = None, weight: float = 1.0) -> Pair:
    return Pair(BirdId(sire) if sire else None, BirdId(dam) if dam else None, weight)


def test_a_sound_flock_has_no_problem() -> None:
    sire, dam = made("A", Sex.COCK, "2024-05-01"), made("B", Sex.HEN, "2023")
    assert found(sire, dam, made("C", hatched="2025-04-12", pairs=(pair("A", "B"),))) == []


@pytest.mark.parametrize(
    ("parent_hatched", "chick_hatched", "severity"),
    [
        ("2024-05-01", "2024-05-01", "error"),
        ("2025-05-01", "2024-05-01", "error"),
        ("2024-05-01", "2024-08-01", "error"),
        ("2024-05-01", "2025-04-12", None),
        ("2004", "2005-03", "warning"),
        ("2005", "2005-03", "error"),
        ("2024", "2024", "warning"),
        ("", "2024", None),
        ("2024", "", None),
    ],
)
def test_a_parent_hatches_before_its_chick_by_the_age_of_breeding(
    parent_hatched: str, chick_hatched: str, severity: str | None
) -> None:
    sire = made("A", Sex.COCK, parent_hatched)
    chick = made("C", hatched=chick_hatched, pairs=(pair("A"),))
    assert [problem.severity.value for problem in found(sire, chick)] == ([severity] if severity else [])


@pytest.mark.parametrize(
    ("status", "left", "chick_hatched", "severity"),
    [
        (Status.DIED, "2025-05-01", "2025-05-20", None),
        (Status.DIED, "2025-05-01", "2025-07-10", None),
        (Status.DIED, "2025-05-01", "2025-08-01", "error"),
        (Status.SOLD, "2025-05-01", "2025-08-01", "warning"),
        (Status.LENT, "2025-05-01", "2025-08-01", "warning"),
        (Status.DIED, "2025", "2025-08-01", None),
    ],
)
def test_eggs_fertilised_before_a_sire_died_may_hatch_after(
    status: Status, left: str, chick_hatched: str, severity: str | None
) -> None:
    # 35 days fertile, 21 days stored, 21 days incubated: common practice, the longest of each
    sire = made("A", Sex.COCK, "2024-05-01", status=status, left=PartialDate.parse(left))
    chick = made("C", hatched=chick_hatched, pairs=(pair("A"),))
    assert [problem.severity.value for problem in found(sire, chick)] == ([severity] if severity else [])


def test_a_dead_hen_lays_no_more_though_a_dead_cock_still_sires() -> None:
    left = PartialDate(2025, 5, 1)
    dam = made("B", Sex.HEN, "2023-05-01", status=Status.DIED, left=left)
    assert found(dam, made("C", hatched="2025-06-10", pairs=(pair(None, "B"),))) == []
    late = found(dam, made("C", hatched="2025-06-20", pairs=(pair(None, "B"),)))
    assert [problem.birds for problem in late] == [("C", "B")] or [
        set(problem.birds) for problem in late
    ] == [{"B", "C"}]


def test_one_sentence_for_a_hatch_whose_dam_is_too_young() -> None:
    dam = made("B", Sex.HEN, "2025-01-10")
    chicks = [made(f"C{number}", hatched="2025-04-12", pairs=(pair(None, "B"),)) for number in range(8)]
    sentences = [problem.message for problem in found(dam, *chicks)]
    assert len(sentences) == 1
    assert "C0 and 7 others of the hatch" in sentences[0]


def test_a_loop_through_a_doubtful_parent_is_a_loop() -> None:
    one = made("A", Sex.COCK, pairs=(pair("C", weight=0.1), pair(None, None, 0.9)))
    two = made("C", Sex.COCK, pairs=(pair("A"),))
    loops = [problem for problem in found(one, two) if problem.kind == "loop"]
    assert len(loops) == 1
    assert set(loops[0].birds) == {"A", "C"}


def test_a_bird_is_not_its_own_parent() -> None:
    assert [problem.kind for problem in found(made("A", Sex.COCK, pairs=(pair("A"),)))] == ["loop"]


def test_a_deep_line_is_checked_without_falling_over() -> None:
    line = [made("0", Sex.COCK)]
    line += [made(str(number), Sex.COCK, pairs=(pair(str(number - 1)),)) for number in range(1, 5000)]
    assert found(*line) == []
    ends_meet = replace(line[0], pairs=(pair("4999"),))
    assert [problem.kind for problem in found(ends_meet, *line[1:])] == ["loop"]


def test_what_happened_before_hatch_or_after_death_is_refused() -> None:
    early = made("A", hatched="2024-05-01")
    early = replace(early, marks=(replace(early.marks[0], since=PartialDate(2024, 3)),))
    assert "before it hatched" in found(early)[0].message
    late = made("B", hatched="2024-05-01", status=Status.DIED, left=PartialDate(2025))
    late = replace(late, marks=(replace(late.marks[0], since=PartialDate(2026)),))
    assert "after it died" in found(late)[0].message
    assert "before it hatched" in found(made("C", hatched="2024-05-01", arrived=PartialDate(2023)))[0].message
    left = made("D", hatched="2024-05-01", status=Status.LOST, left=PartialDate(2023))
    assert "before it hatched" in found(left)[0].message


def test_a_bird_yet_to_hatch_is_refused() -> None:
    assert "still to come" in found(made("A", hatched="2062-05-01"))[0].message
    assert found(made("A", hatched="2027")) == []


def test_a_placeholder_is_never_sold_and_an_unknown_species_is_named() -> None:
    sold = made("A", placeholder=True, status=Status.SOLD)
    assert [problem.kind for problem in found(sold)] == ["placeholder"]
    assert "griffin" in found(made("A", species="griffin"))[0].message


def test_a_living_bird_has_no_date_it_left() -> None:
    assert [problem.field for problem in found(made("A", left=PartialDate(2026)))] == ["left"]


def test_touching_a_parent_looks_at_its_chicks() -> None:
    birds = {
        bird.id: bird
        for bird in (
            made("A", Sex.HEN, "2024"),
            made("C", hatched="2025-06", pairs=(pair("A"),)),
            made("X", Sex.HEN),
        )
    }
    touched = problems(View(birds, TODAY), [BirdId("A")])
    assert [problem.kind for problem in touched] == ["sex"]
    assert problems(View(birds, TODAY), [BirdId("X")]) == ()


def test_marks_are_the_same_without_case_space_and_unicode_form() -> None:
    assert mark_key(" w17-é ") == mark_key("W17-E\u0301")
    assert mark_key("W17-01") != mark_key("W17-1")


@given(st.permutations(["A", "B", "C", "D", "E"]))
def test_the_order_of_the_birds_changes_no_finding(order: list[str]) -> None:
    birds = {
        "A": made("A", Sex.HEN, "2023"),
        "B": made("B", Sex.HEN, "2024-06-01"),
        "C": made("C", Sex.COCK, "2025-05", pairs=(pair("A", "B"),)),
        "D": made("D", Sex.COCK, "2023", pairs=(pair("C"),)),
        "E": replace(made("E", Sex.COCK), marks=made("C").marks),
    }
    expected = {problem.message.split(" (")[0] for problem in found(*birds.values())}
    assert {problem.message.split(" (")[0] for problem in found(*(birds[name] for name in order))} == expected
    assert len(expected) == 3


def test_unknown_dates_refuse_nothing() -> None:
    sire = made("A", Sex.COCK, status=Status.DIED, left=UNKNOWN_DATE)
    assert found(sire, made("C", pairs=(pair("A"),))) == []


def test_a_bird_of_unknown_sex_is_not_a_sire_and_a_dam() -> None:
    chicks = made("C", pairs=(pair("A"),)), made("D", pairs=(pair(None, "A"),))
    (problem,) = found(made("A"), *chicks)
    assert (problem.kind, set(problem.birds)) == ("sex", {"A", "C", "D"})
    assert found(made("A"), chicks[0]) == []


def test_one_wrong_parent_is_one_sentence_however_many_loops_it_closes() -> None:
    top = made("A", Sex.COCK, pairs=(pair("F"),))
    middle = [made(name, Sex.COCK, pairs=(pair("A"),)) for name in "BCD"]
    low = made("E", Sex.COCK, pairs=(pair("B", weight=0.5), pair("C", weight=0.25), pair("D", weight=0.25)))
    assert [
        problem.kind for problem in found(top, *middle, low, made("F", Sex.COCK, pairs=(pair("E"),)))
    ] == ["loop"]
