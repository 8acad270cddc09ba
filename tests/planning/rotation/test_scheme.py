"""What a rotation asks for: who stays, who moves on, who is out of line."""

from dataclasses import replace
from datetime import date

import pytest

from studbook.book.husbandry.choosing_rows import Choice, Verdict
from studbook.book.husbandry.rows import Move
from studbook.book.ids import BirdId, ChoiceId, MoveId, PenId
from studbook.book.records import Sex, Snapshot
from studbook.book.relatedness import Relatedness, Unknown
from studbook.planning.rotation.homes import Known, home_of
from studbook.planning.rotation.scheme import Fault, Reason, Scheme, scheme_of
from studbook.planning.rotation.telling import (
    deviation_sentence,
    family_sentences,
    reason_text,
    season_sentences,
    summary,
)
from studbook.planning.rotation.words import way_text
from studbook.planning.sentences import plain
from tests.planning.rotation.flock import BEGUN, RUN, TODAY, Rotating


def scheme(flock: Rotating, season: int = 2027, today: date = TODAY, *, kinship: bool = True) -> Scheme:
    snapshot = flock.snapshot()
    related = Relatedness(snapshot, Unknown.FLOCK) if kinship else None
    return scheme_of(snapshot, flock.rotation, "chicken", season, today, related)


def said(sentence, snapshot: Snapshot) -> str:  # type: ignore[no-untyped-def]
    return plain(
        sentence, lambda bird: snapshot.bird(bird).name, lambda number, places: f"{number:.{places}f}"
    )


def test_pullets_stay_and_the_first_son_moves_one_pen_on() -> None:
    found = scheme(Rotating())
    asks = {ask.bird: ask for ask in found.asks}
    for number, pen in enumerate(("orchard", "lane", "brook")):
        for hen in range(2):
            ask = asks[BirdId(f"26d{number}{hen}")]
            assert (ask.home.pen, ask.to, ask.reason) == (pen, pen, Reason.PULLET_STAYS)
        son = asks[BirdId(f"26s{number}0")]
        after = ("lane", "brook", "orchard")[number]
        assert (son.home.pen, son.to, son.reason) == (pen, after, Reason.COCKEREL_MOVES_ON)
        assert asks[BirdId(f"26s{number}1")].reason is Reason.RESERVE
    assert found.deviations == ()


def test_old_cocks_go_and_are_named_with_the_pens_they_do_not_come_back_to() -> None:
    flock = Rotating()
    found = scheme(flock)
    old = {ask.bird: ask for ask in found.asks if ask.reason is Reason.OLD_COCK_GOES}
    assert set(old) == {BirdId("25s00"), BirdId("25s10"), BirdId("25s20")}
    assert all(ask.to is None and ask.is_due for ask in old.values())
    text = " ".join(
        said(sentence, flock.snapshot()) for sentence in season_sentences(found, flock.snapshot())
    )
    assert (
        "25s00 has served Lane: he is not kept with his daughters there, and never goes back to his own line "
        in text
    )
    assert "in Orchard" in text


def test_in_its_first_season_nothing_moves() -> None:
    flock = Rotating(seasons=1)
    found = scheme(flock, 2023, date(2023, 3, 1))
    assert found.is_first
    assert found.asks == ()
    assert "2023 is its first season" in said(season_sentences(found, flock.snapshot())[0], flock.snapshot())


def test_what_is_planned_or_done_is_not_asked_again() -> None:
    flock = Rotating()
    before = len(scheme(flock).due)
    flock.moves.append(Move(MoveId("m"), BirdId("26s00"), PenId("lane"), date(2027, 3, 1)))
    flock.move("26d00", "orchard", date(2027, 2, 10))
    found = scheme(flock)
    asks = {ask.bird: ask for ask in found.asks}
    assert asks[BirdId("26s00")].planned is not None
    assert asks[BirdId("26d00")].is_there
    assert len(found.due) == before - 2


def test_the_keepers_choice_of_a_son_comes_before_the_least_related() -> None:
    flock = Rotating()
    snapshot = flock.snapshot()
    choices = (
        Choice(ChoiceId("a"), BirdId("26s00"), 2027, Verdict.NO, TODAY, "thin comb"),
        Choice(ChoiceId("b"), BirdId("26s11"), 2027, Verdict.CHOSEN, TODAY),
    )
    year = replace(snapshot.husbandry, choices={choice.id: choice for choice in choices})
    found = scheme_of(replace(snapshot, husbandry=year), flock.rotation, "chicken", 2027, TODAY)
    moving = {ask.to: ask.bird for ask in found.asks if ask.reason is Reason.COCKEREL_MOVES_ON}
    assert moving == {"lane": "26s01", "brook": "26s11", "orchard": "26s20"}
    assert BirdId("26s00") not in {ask.bird for ask in found.asks}


def test_a_son_already_in_the_pen_is_the_one_that_serves() -> None:
    flock = Rotating()
    flock.move("26s01", "lane", date(2027, 2, 10))
    found = scheme(flock)
    moving = {ask.to: ask for ask in found.asks if ask.reason is Reason.COCKEREL_MOVES_ON}
    assert moving[PenId("lane")].bird == "26s01"
    assert moving[PenId("lane")].is_there


def test_the_kinship_of_a_son_with_the_hens_he_would_serve() -> None:
    flock = Rotating()
    related = Relatedness(flock.snapshot(), Unknown.FLOCK)
    son = next(ask for ask in scheme(flock).asks if ask.bird == "26s00")
    hens = [BirdId(name) for name in ("25d10", "25d11", "26d10", "26d11")]
    assert son.kinship == pytest.approx(related.kinship([BirdId("26s00")], hens).mean())
    assert [hen for hen, _share in son.with_hens] == hens
    assert reason_text(son, flock.snapshot().husbandry) == "a son of Orchard moves on"


def test_deviations_are_told_in_sentences() -> None:
    flock = Rotating()
    flock.move("25s00", "orchard", date(2027, 2, 2))  # back in the pen he is of
    flock.move("25d10", "brook", date(2027, 2, 2))
    found = scheme(flock)
    faults = {deviation.fault: deviation for deviation in found.deviations}
    assert faults[Fault.OWN_LINE].birds == ("25s00",)
    assert faults[Fault.STRAYED].birds == ("25d10",)
    assert faults[Fault.NO_COCK].pen == "lane"
    assert faults[Fault.SEVERAL_COCKS].pen == "orchard"
    snapshot = flock.snapshot()
    text = [said(deviation_sentence(one, found, snapshot), snapshot) for one in found.deviations]
    assert "25s00 is in Orchard, the pen he is of: his mother and sisters are his mates." in text
    assert "25d10 is in Brook, but belongs to the family Lane." in text


def test_a_cock_kept_with_his_daughters_is_told() -> None:
    flock = Rotating()
    flock.move("26d10", "lane", date(2027, 2, 2))
    found = scheme(flock)
    (fault,) = [one for one in found.deviations if one.fault is Fault.WITH_DAUGHTERS]
    assert fault.birds == ("25s00", "26d10")


def test_a_family_without_sons_and_a_chick_of_no_known_pen() -> None:
    flock = Rotating()
    flock.hatchlings = [row for row in flock.hatchlings if row.bird != "26d00"]
    flock.birds[BirdId("26d00")] = replace(flock.birds[BirdId("26d00")], pairs=())
    for name in ("26s20", "26s21"):
        flock.birds[BirdId(name)] = replace(flock.birds[BirdId(name)], sex=Sex.HEN)
    found = scheme(flock)
    faults = {deviation.fault: deviation for deviation in found.deviations}
    assert (faults[Fault.NO_SON].pen, faults[Fault.NO_SON].other) == ("orchard", "brook")
    assert faults[Fault.HOME_NOT_KNOWN].birds == ("26d00",)
    # without a son to take his place the old cock is not sent away
    assert BirdId("25s20") not in {ask.bird for ask in found.asks}


def test_young_not_sexed_yet_are_counted_but_not_moved() -> None:
    flock = Rotating(sexed=False, seasons=1)
    snapshot = flock.snapshot()
    found = scheme_of(snapshot, flock.rotation, "chicken", 2024, date(2023, 8, 1))
    assert found.asks == ()
    text = " ".join(
        said(sentence, snapshot) for sentence in family_sentences(found, found.families[0], snapshot)
    )
    assert "4 are not sexed yet" in text


def test_where_a_bird_is_of_is_known_from_its_egg_else_from_its_dam() -> None:
    flock = Rotating()
    bird = flock.birds[BirdId("26s00")]
    assert home_of(flock.snapshot(), bird).known is Known.EGGS
    flock.hatchlings = []
    snapshot = flock.snapshot()
    assert home_of(snapshot, bird) == replace(home_of(snapshot, bird), pen=PenId("orchard"), known=Known.DAM)
    assert home_of(snapshot, flock.birds[BirdId("C0")]).pen is None


def test_eggs_of_two_pens_mixed_leave_it_open() -> None:
    from studbook.book.husbandry.rows import MixedIn
    from studbook.book.ids import BatchId, MixedInId

    flock = Rotating()
    snapshot = flock.snapshot()
    mixed = MixedIn(MixedInId("x"), BatchId("2026 Orchard"), 3, pen=PenId("lane"))
    year = replace(snapshot.husbandry, mixed_in={mixed.id: mixed})
    home = home_of(replace(snapshot, husbandry=year), flock.birds[BirdId("26s00")])
    assert home.pen is None
    assert home.pens == ("orchard", "lane")


def test_the_way_of_the_cockerels_is_told_round_to_the_first_pen() -> None:
    flock = Rotating()
    year = flock.snapshot().husbandry
    assert way_text(year, [pen.id for pen in flock.pens]) == (
        "Cockerels move from Orchard to Lane, Lane to Brook and Brook to Orchard; pullets stay in their dams' pen."
    )
    assert way_text(year, [RUN.id]) == "Choose two pens at least."
    first, _way = summary(scheme(flock), year, lambda day: day.isoformat())
    assert first == f"Three lines: 3 families since {BEGUN.isoformat()}."


def test_it_can_be_read_without_kinship() -> None:
    assert all(ask.kinship is None for ask in scheme(Rotating(), kinship=False).asks)
