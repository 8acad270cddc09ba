"""What a certificate states, before any word or line is drawn."""

from dataclasses import replace
from datetime import date

import pytest

from studbook.book.errors import RecordProblems
from studbook.book.records import BirdId, Certificate, CertificateId, Origin, OriginId, Sex
from studbook.papers.certificate import (
    CertificateContent,
    CertificateOptions,
    certificate_checksum,
    certificate_code,
    certificate_content,
    is_certified_by,
    new_certificate_number,
)

from .flock import FALLOW, TODAY, GivenRelatedness, bird, book, flock, pair, with_name


def content_of(snapshot, name="Meadowsweet", owner="", number="2022-001", **options) -> CertificateContent:
    return certificate_content(
        snapshot,
        GivenRelatedness(snapshot),
        BirdId(name),
        CertificateOptions(**options),
        TODAY,
        number,
        owner,
    )


def standing(content: CertificateContent) -> dict[tuple[int, int], str]:
    """The name of the certain ancestor at each place."""
    return {
        (generation, index): place.certain.name
        for generation, index, place in content.places()
        if place.certain
    }


def test_every_ancestor_stands_at_its_place() -> None:
    assert standing(content_of(book(), generations=3)) == {
        (1, 0): "Arrow",
        (1, 1): "Bryony",
        (2, 0): "Torridge",
        (2, 1): "Mallow",
        (2, 2): "Torridge",
        (2, 3): "Campion",
        (3, 0): "Wye",
        (3, 1): "Betony",
        (3, 2): "Wye",
        (3, 3): "Betony",
        (3, 4): "Wye",
        (3, 5): "Betony",
    }


@pytest.mark.parametrize("generations", [3, 4, 5])
def test_it_goes_back_as_far_as_asked(generations: int) -> None:
    content = content_of(book(), generations=generations)
    assert max(generation for generation, _index in standing(content)) == generations


def test_an_ancestor_met_twice_has_one_number_and_one_met_once_has_none() -> None:
    flags = content_of(book(), generations=3).flags()
    assert flags == {"Torridge": 1, "Wye": 2, "Betony": 3}


def test_a_doubtful_sire_is_named_with_his_weight_and_not_followed() -> None:
    birds = [
        *flock()[:-1],
        bird("Vetch", Sex.HEN, 2021, pair("Wye", "Bryony", 0.3), pair("Arrow", "Bryony", 0.7)),
    ]
    content = content_of(book(birds), "Vetch")
    assert [(c.ancestor.name, c.weight) for c in content.sire.candidates if c.ancestor] == [
        ("Arrow", 0.7),
        ("Wye", 0.3),
    ]
    assert content.sire.certain is None
    assert content.sire.sire is None
    assert content.dam.certain is not None
    assert content.dam.certain.name == "Bryony"
    assert content.doubtful_pairs == ()


def test_pairs_in_doubt_on_both_sides_are_kept_together() -> None:
    birds = [
        *flock()[:-1],
        bird("Vetch", Sex.HEN, 2021, pair("Wye", "Mallow", 0.4), pair("Arrow", "Bryony", 0.6)),
    ]
    (doubt,) = content_of(book(birds), "Vetch").doubtful_pairs
    assert doubt.pairs == (("W20-Ar", "W20-Br", 0.6), ("W18-Wy", "W19-Ma", 0.4))


def test_inbreeding_is_unknown_not_zero_when_a_parent_is_missing() -> None:
    content = content_of(book(), "Betony")
    assert content.inbreeding is None
    assert content.known_ancestors == 3


def test_inbreeding_left_out_is_left_out_of_the_content() -> None:
    content = content_of(book(), show_inbreeding=False)
    assert (content.inbreeding, content.known_ancestors) == (None, 0)


def test_colours_of_ancestors_can_be_left_out() -> None:
    content = content_of(book(), show_colours=False)
    colours = {place.certain.colour for _g, _i, place in content.places() if place.certain}
    assert colours == {""}
    assert content.colour == "blue"


def test_the_breeder_of_a_home_hatched_bird_is_the_keeper() -> None:
    content = content_of(book())
    assert (content.breeder, content.bred_here) == ("Ann Marlow, Withybrook", True)


def test_the_breeder_of_a_bought_in_bird_is_its_yard() -> None:
    content = content_of(book(), "Severn")
    assert (content.breeder, content.bred_here) == ("Fallow Yard", False)


def test_an_origin_of_related_birds_far_back_is_noticed() -> None:
    related = Origin(OriginId(FALLOW.id), "Fallow Yard", self_relationship=0.2)
    assert content_of(replace(book(), origins=(related,))).rests_on_origins
    assert not content_of(book()).rests_on_origins


def test_a_placeholder_has_no_certificate() -> None:
    birds = [bird("the hen of nest 3", Sex.HEN, 2020, mark="", placeholder=True)]
    with pytest.raises(RecordProblems, match=r"the hen of nest 3 .* cannot have a certificate"):
        content_of(book(birds), "the hen of nest 3")


def test_the_checksum_changes_with_an_ancestors_name() -> None:
    before = certificate_checksum(content_of(book()))
    assert before == certificate_checksum(content_of(book()))
    assert before != certificate_checksum(content_of(with_name("Betony", "Vetch")))


def test_the_code_certifies_its_own_content_alone() -> None:
    content = content_of(book(), owner="Tom")
    assert is_certified_by(content, certificate_code(content).replace("\n", "\r\n") + "\n")
    assert not is_certified_by(replace(content, owner="Tim"), certificate_code(content))
    assert not is_certified_by(content, "")


def test_numbers_run_within_the_year() -> None:
    def issued(*numbers: str):
        return book(
            certificates=tuple(
                Certificate(CertificateId(number), number, BirdId("Meadowsweet"), TODAY) for number in numbers
            )
        )

    assert new_certificate_number(book(), TODAY) == "2022-001"
    assert new_certificate_number(issued("2022-001", "2022-009", "2021-044", "2022-x"), TODAY) == "2022-010"
    assert new_certificate_number(issued("2022-999"), TODAY) == "2022-1000"
    assert new_certificate_number(issued("2022-009"), date(2023, 1, 1)) == "2023-001"


@pytest.mark.parametrize("options", [{"generations": 2}, {"generations": 6}, {"paper": "A5"}])
def test_options_out_of_range_are_refused(options: dict) -> None:
    with pytest.raises(ValueError, match=r"paper size|generations"):
        CertificateOptions(**options)


def test_the_checksum_does_not_hang_on_digits_nobody_printed() -> None:
    content = content_of(book())
    close = replace(content, inbreeding=0.1250000000000001)
    assert certificate_checksum(close) == certificate_checksum(replace(content, inbreeding=0.125))
    assert certificate_checksum(close) != certificate_checksum(replace(content, inbreeding=0.1262))
