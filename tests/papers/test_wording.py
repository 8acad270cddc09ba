"""Dates, shares and marks in words."""

import pytest

from studbook.book.records import Mark, MarkId, MarkKind
from studbook.book.wording import per_cent
from studbook.dates import PartialDate
from studbook.papers.wording import date_text, mark_text, year_text


@pytest.mark.parametrize(
    ("iso", "day", "year"),
    [
        ("2021-04-14", "14 April 2021", "2021"),
        ("2019-05", "May 2019", "2019"),
        ("2019-05~", "about May 2019", "2019"),
        ("2017", "2017", "2017"),
        ("2017~", "about 2017", "about 2017"),
        ("", "", ""),
    ],
)
def test_a_date_is_written_as_a_person_writes_it(iso: str, day: str, year: str) -> None:
    assert (date_text(PartialDate.parse(iso)), year_text(PartialDate.parse(iso))) == (day, year)


def test_shares_are_per_cent() -> None:
    assert (per_cent(0.125), per_cent(0.7, places=0)) == ("12.5 %", "70 %")


def test_a_mark_says_kind_code_colour_size_and_place() -> None:
    ring = Mark(MarkId("m"), MarkKind.RING, "W21-04", place="left leg", colour="blue", size="18 mm")
    assert mark_text(ring) == "ring W21-04, blue, 18 mm, left leg"
    assert mark_text(Mark(MarkId("m"), MarkKind.RING_COLOUR, "", colour="red")) == "ring colour, red"
