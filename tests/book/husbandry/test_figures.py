"""The keeper's own figures of practice: kept, refused in a sentence, and what rests on them follows."""

from pathlib import Path

import pytest

from studbook.book.changes import Correct, Enter, Withdraw
from studbook.book.errors import RecordProblems
from studbook.book.husbandry.figure_words import ORDER, figure_word
from studbook.book.husbandry.rows import Figure
from studbook.book.ids import FigureId
from studbook.season.practice import practice
from studbook.season.species import all_species
from tests.season_flock import new_yard


def own(name: str, value: float, species: str = "chicken") -> Figure:
    return Figure(FigureId(""), species, name, value)


def refused(book, change) -> str:
    with pytest.raises(RecordProblems) as found:
        book.apply(change)
    assert {problem.field for problem in found.value.problems} <= {"value", "species"}
    return " ".join(problem.message for problem in found.value.problems)


@pytest.mark.parametrize(
    ("figure", "said"),
    [
        (own("lasting", 3), "“lasting” is no figure of practice of the chicken: choose one of the list."),
        (own("clear_days", -1), "“wait until a hen is clear” cannot be -1: enter 0 to 366."),
        (own("clear_days", 400), "enter 0 to 366"),
        (own("clear_days", 20.5), "cannot be 20.5: enter a whole number."),
        (own("halving_days", 0), "cannot be 0: enter 0.5 to 366."),
        (own("clear_days", 40), "more than “wait until a hen is clear, strict”, which is 35"),
        (own("hens_per_cock_light_few", 20), "more than “most hens for a cock, light breeds”, which is 15"),
        (own("clear_days", 20, "dragon"), "The species dragon of a figure is not known"),
    ],
)
def test_a_wrong_figure_is_refused_in_a_sentence(tmp_path: Path, figure: Figure, said: str) -> None:
    yard = new_yard(tmp_path / "yard.db")
    assert said in refused(yard.book, Enter((figure,)))
    assert not yard.book.snapshot().husbandry.figures


def test_a_figure_has_one_value_of_the_keepers_own(tmp_path: Path) -> None:
    yard = new_yard(tmp_path / "yard.db")
    yard.book.apply(Enter((own("clear_days", 21),)))
    assert "already" in refused(yard.book, Enter((own("clear_days", 14),)))
    (kept,) = yard.book.snapshot().husbandry.figures.values()
    yard.book.apply(Correct((kept,), (Figure(kept.id, kept.species, kept.name, 14),)))
    assert not yard.book.check()


def test_taking_a_figure_back_is_refused_where_another_rests_on_it(tmp_path: Path) -> None:
    yard = new_yard(tmp_path / "yard.db")
    yard.book.apply(Enter((own("lasting_days", 60), own("usual_lasting_days", 50))))
    longest = next(row for row in yard.book.snapshot().husbandry.figures.values() if row.value == 60)
    said = refused(yard.book, Withdraw((longest,)))
    assert "would be 50 and so more than “a cock's eggs after him, at most”, which is 35" in said


def test_every_figure_of_every_species_has_words() -> None:
    for code in all_species():
        for name in practice(code).figures:
            assert name in ORDER
            assert figure_word(name) != name
