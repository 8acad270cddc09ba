"""Who is proposed for pairing when the keeper has chosen nobody."""

from studbook.book.records import Sex, Snapshot
from studbook.planning.candidates import candidates, living_species
from tests.planning.flock import TODAY, bird, flock


def test_the_living_adults_are_proposed_in_order_of_their_marks() -> None:
    chosen = candidates(flock(), TODAY)
    assert chosen.cocks == ("Dart", "Tamar", "Wye")
    assert chosen.hens == ("Hazel", "Bryony", "Elder")


def test_a_bird_of_unknown_age_is_old_enough_and_one_of_unknown_sex_is_nobodys_mate() -> None:
    more = (bird("Teasel", Sex.HEN, "", "X01"), bird("Yarrow", Sex.UNKNOWN, "2024", "X02"))
    chosen = candidates(flock(*more), TODAY)
    assert "Teasel" in chosen.hens
    assert "Yarrow" not in (*chosen.hens, *chosen.cocks)


def test_one_species_is_proposed_at_a_time() -> None:
    ducks = (
        bird("Exe", Sex.COCK, "2024", "D1", species="duck"),
        bird("Mallow", Sex.HEN, "2024", "D2", species="duck"),
    )
    snapshot = flock(*ducks)
    assert living_species(snapshot) == ("chicken", "duck")
    assert "Exe" not in candidates(snapshot, TODAY).cocks
    assert candidates(snapshot, TODAY, "duck").hens == ("Mallow",)


def test_an_empty_book_proposes_nobody() -> None:
    empty = Snapshot(0, flock().details)
    assert candidates(empty, TODAY).cocks == ()
