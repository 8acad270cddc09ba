"""The words and dates of a list."""

import pytest

from studbook.book.importing.parentage import crosses, shares_of, sides_of
from studbook.book.importing.values import sex_of, status_of, weight_of
from studbook.book.importing.written_dates import DateOrder, date_readings, settle_order
from studbook.book.records import Sex, Status
from studbook.dates import PartialDate


@pytest.mark.parametrize(
    ("words", "sex"),
    [
        ("cock Cockerel M male 1 rooster drake gander STAG ♂ 1.0", Sex.COCK),
        ("hen Pullet F female 2 duck goose ♀ 0.1", Sex.HEN),
        ("unknown ? u 0 9 chick - unsexed", Sex.UNKNOWN),
    ],
)
def test_sexes_are_understood_in_the_words_of_the_trade(words: str, sex: Sex) -> None:
    assert {sex_of(word) for word in words.split()} == {sex}


@pytest.mark.parametrize(
    ("text", "status"),
    [
        ("Living", Status.LIVING),
        ("alive", Status.LIVING),
        ("SOLD", Status.SOLD),
        ("given away", Status.GIVEN),
        ("dead", Status.DIED),
        ("put down", Status.CULLED),
        ("missing", Status.LOST),
        ("on loan", Status.LENT),
    ],
)
def test_statuses_are_understood(text: str, status: Status) -> None:
    assert status_of(text) is status


def test_a_word_that_is_none_is_refused() -> None:
    with pytest.raises(ValueError, match="not known"):
        sex_of("sideways")
    with pytest.raises(ValueError, match="not known"):
        status_of("sideways")


@pytest.mark.parametrize(
    ("text", "date"),
    [
        ("2019-05-04", "2019-05-04"),
        ("2019-05-04 00:00:00", "2019-05-04"),
        ("2019-05", "2019-05"),
        ("2019", "2019"),
        ("2019/5/4", "2019-05-04"),
        ("2019.05.04", "2019-05-04"),
        ("~2019", "2019~"),
        ("2019~", "2019~"),
        ("about 2019", "2019~"),
        ("c. May 2019", "2019-05~"),
        ("circa 2019-05-04", "2019-05-04~"),
        ("4 May 2019", "2019-05-04"),
        ("4th of May 2019", "2019-05-04"),
        ("4. Sept. 2019", "2019-09-04"),
        ("04-may-19", "2019-05-04"),
        ("May 4, 2019", "2019-05-04"),
        ("May 2019", "2019-05"),
        ("05/2019", "2019-05"),
        ("43589", "2019-05-04"),
        ("", ""),
        ("?", ""),
        ("unknown", ""),
    ],
)
def test_dates_that_read_one_way(text: str, date: str) -> None:
    assert set(date_readings(text).values()) == {PartialDate.parse(date)}


@pytest.mark.parametrize(
    "text", ["31/02/2019", "spring 2019", "2019-13", "0219", "4 Mai 2019", "99/99/2019", "4"]
)
def test_texts_that_are_no_dates(text: str) -> None:
    with pytest.raises(ValueError, match="is no "):
        date_readings(text)


def test_a_date_in_figures_has_its_readings() -> None:
    assert date_readings("12/04/2023") == {
        DateOrder.DMY: PartialDate(2023, 4, 12),
        DateOrder.MDY: PartialDate(2023, 12, 4),
    }
    assert date_readings("25.04.2023") == {DateOrder.DMY: PartialDate(2023, 4, 25)}
    assert date_readings("04/25/98") == {DateOrder.MDY: PartialDate(1998, 4, 25)}


def test_one_date_that_only_one_order_can_read_decides_the_column() -> None:
    assert settle_order(["12/04/2023", "25/04/2023", "2019"]).order is DateOrder.DMY
    assert settle_order(["12/04/2023", "04/25/2023"]).order is DateOrder.MDY
    assert settle_order(["12/04/23", "25/04/23"]).order is DateOrder.DMY


def test_dates_that_all_read_two_ways_are_a_question() -> None:
    assert settle_order(["12/04/2023", "11/04/2023"]).is_question
    assert not settle_order(["04/04/2023", "2019", ""]).is_question


def test_dates_that_contradict_the_most_are_misfits() -> None:
    found = settle_order(["25/04/2023", "26/04/2023", "12/04/2023", "04/27/2023"])
    assert found.order is DateOrder.DMY
    assert found.misfits == {"04/27/2023"}


@pytest.mark.parametrize(
    ("text", "weight"),
    [("0.7", 0.7), ("0,7", 0.7), ("70 %", 0.7), ("1/4", 0.25), (".5", 0.5), ("1e-3", 0.001)],
)
def test_weights_are_read_as_people_write_them(text: str, weight: float) -> None:
    assert weight_of(text) == pytest.approx(weight, abs=1e-15)


@pytest.mark.parametrize("text", ["0", "-0.3", "half", "", "1/0", "0 %"])
def test_weights_are_positive_numbers(text: str) -> None:
    with pytest.raises(ValueError, match="is no "):
        weight_of(text)


def weights(text: str) -> dict[str, float]:
    return {share.written: share.weight for share in shares_of(text)}


def test_candidates_and_their_weights() -> None:
    assert weights("A12") == {"A12": 1.0}
    assert weights("A12 | A15") == {"A12": 0.5, "A15": 0.5}
    assert weights("A12=0.7 | A15 = 0.3") == {"A12": 0.7, "A15": 0.3}
    thirds = weights("A=0.333 | B=0.333 | C=0.333")
    assert sum(thirds.values()) == pytest.approx(1, abs=1e-12)


@pytest.mark.parametrize(
    "text", ["A=0.7 | B=0.4", "A=0.7 | B", "A=1.2 | B=-0.2", "A | A", "A | | B", "A=x | B=0.5", "A=0 | B=1"]
)
def test_candidates_that_do_not_add_up_are_refused_with_a_sentence(text: str) -> None:
    with pytest.raises(ValueError, match=r".+[.:]"):
        shares_of(text)


def test_pairs_are_cut_at_the_cross_alone() -> None:
    assert sides_of("A12 x B07") == ("A12", "B07")
    assert sides_of("A12×B07") == ("A12", "B07")
    assert sides_of("Felix X Roxane") == ("Felix", "Roxane")
    with pytest.raises(ValueError, match="no pair"):
        sides_of("A12")
    with pytest.raises(ValueError, match="no pair"):
        sides_of("A x B x C")


def test_doubt_on_both_sides_is_every_cross() -> None:
    pairs = crosses([("A", 0.5), ("B", 0.5)], [("C", 0.25), ("D", 0.75)])
    assert pairs == (("A", "C", 0.125), ("A", "D", 0.375), ("B", "C", 0.125), ("B", "D", 0.375))
