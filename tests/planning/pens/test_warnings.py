"""What is not well in a pen: each thing in a sentence with its remedy, none where all is well."""

from dataclasses import replace
from datetime import date

import pytest

from studbook.book.changes import AddBirds, Enter, MoveBirds, SetApart
from studbook.book.husbandry.rows import Apart, Decision, Figure, Trial
from studbook.book.ids import ApartId, FigureId, PenId, TrialId
from studbook.book.records import Bird, Sex
from studbook.book.relatedness import Relatedness, Unknown
from studbook.planning.pens.board import board
from studbook.planning.pens.warnings import WarningKind, warnings
from studbook.planning.pens.weight import weight_class
from studbook.season.practice import ApartReason, WeightClass
from tests.flock import TODAY, bird
from tests.planning.pens.conftest import teller
from tests.season_flock import Yard


def told(yard: Yard, pen: PenId | None = None) -> dict[WarningKind, str]:
    """The warnings of a pen by kind."""
    snapshot = yard.book.snapshot()
    found = board(snapshot, TODAY, relatedness=Relatedness(snapshot, Unknown.FLOCK))
    say = teller(snapshot)
    return {each.kind: say(each.sentence) for each in warnings(snapshot, found).get(pen or yard.orchard, ())}


def add_hens(yard: Yard, count: int, pen: PenId | None = None, hatched: str = "2024-05-01") -> None:
    """Unrelated hens into a pen."""
    hens = tuple(
        bird(yard.book, f"H{number}", Sex.HEN, hatched, name=f"Hen{number}", founder=True)
        for number in range(count)
    )
    yard.book.apply(AddBirds(hens))
    yard.book.apply(MoveBirds(tuple(hen.id for hen in hens), pen or yard.orchard, date(2027, 2, 1)))


def keep(yard: Yard) -> None:
    """Usk passes a fertility trial."""
    trial = Trial(
        TrialId(""),
        yard.usk,
        date(2027, 1, 2),
        date(2027, 1, 9),
        decision=Decision.KEEP,
        decided=date(2027, 2, 1),
    )
    yard.book.apply(Enter((trial,)))


def test_a_pen_as_usual_has_no_warning(yard: Yard) -> None:
    keep(yard)
    add_hens(yard, 5)
    assert told(yard) == {}


def test_too_few_hens_wear(yard: Yard) -> None:
    # University of Kentucky: 6 to 8 hens for a cock as a rule; old handbook: light laying breeds 12 to 15
    assert told(yard)[WarningKind.TOO_FEW].startswith(
        "2 hens with 1 cock, where 6 to 15 a cock are usual: few hens wear."
    )


def test_too_many_hens_leave_eggs_clear(yard: Yard) -> None:
    add_hens(yard, 14)
    assert told(yard)[WarningKind.TOO_MANY].startswith("16 hens with 1 cock, where 6 to 15 a cock are usual")


def test_the_keeper_s_own_figures_count(yard: Yard) -> None:
    own = Figure(FigureId(""), "chicken", "hens_per_cock_light_few", 2)
    yard.book.apply(Enter((own,)))
    assert WarningKind.TOO_FEW not in told(yard)


@pytest.mark.parametrize(
    ("breed", "kind"),
    [
        ("Andalusian", WeightClass.LIGHT),
        ("Buff Orpington", WeightClass.HEAVY),
        ("Sussex", WeightClass.MEDIUM),
        ("Orpington bantam", WeightClass.BANTAM),
        ("", WeightClass.MEDIUM),
    ],
)
def test_the_class_follows_the_breed(yard: Yard, breed: str, kind: WeightClass) -> None:
    made: Bird = replace(bird(yard.book, "", Sex.COCK), breed=breed)
    assert weight_class(made) is kind


def test_a_hen_alone_with_a_cock_wears(yard: Yard) -> None:
    said = told(yard, yard.lane)
    assert said[WarningKind.ALONE].startswith("Cowslip is alone with Lune: one hen alone wears.")
    assert WarningKind.TOO_FEW not in said


def test_a_related_pair_is_named_with_its_figure(yard: Yard) -> None:
    sib = bird(yard.book, "W26-01", Sex.HEN, "2026-04-02", name="Sib", sire=yard.usk, dam=yard.avens)
    yard.book.apply(AddBirds((sib,)))
    yard.book.apply(MoveBirds((sib.id,), yard.orchard, date(2027, 2, 1)))
    assert told(yard)[WarningKind.RELATED] == (
        "F of the chicks of Usk and Sib would be 25.0 %, over the limit of 12.5 %: "
        "put her to another cock, or set none of her eggs."
    )


def test_half_sibs_stand_exactly_at_the_limit(yard: Yard) -> None:
    son = bird(yard.book, "W25-01", Sex.COCK, "2025-04-02", name="Son", sire=yard.usk, dam=yard.avens)
    half = bird(yard.book, "W25-02", Sex.HEN, "2025-04-02", name="Half", sire=yard.usk, dam=yard.betony)
    yard.book.apply(AddBirds((son, half)))
    yard.book.apply(MoveBirds((son.id, half.id), yard.lane, date(2027, 2, 1)))
    assert WarningKind.RELATED not in told(yard, yard.lane)


def test_birds_over_the_capacity_are_counted(yard: Yard) -> None:
    add_hens(yard, 7)
    assert told(yard)[WarningKind.OVER_ROOM].startswith("2 birds more than there is room for")


def test_a_bird_apart_that_runs_with_others_is_named(yard: Yard) -> None:
    yard.book.apply(SetApart(Apart(ApartId(""), yard.avens, ApartReason.HURT, date(2027, 2, 10)), yard.lane))
    assert told(yard, yard.lane)[WarningKind.APART].startswith(
        "Avens is set apart (hurt) but runs with others"
    )
    assert WarningKind.APART not in told(yard)


def test_birds_apart_together_and_a_cock_on_trial_are_no_matter(yard: Yard) -> None:
    yard.book.apply(
        SetApart(Apart(ApartId(""), yard.usk, ApartReason.TRIAL, date(2027, 2, 10)), yard.orchard)
    )
    assert WarningKind.APART not in told(yard)


def test_a_cock_without_a_trial_is_named_until_it_is_decided(yard: Yard) -> None:
    assert told(yard)[WarningKind.UNTESTED].startswith("Usk is not proven by a fertility trial")
    chick = bird(yard.book, "W26-01", Sex.HEN, "2026-04-02", sire=yard.usk, dam=yard.avens)
    yard.book.apply(AddBirds((chick,)))
    assert "chicks of his hatched last on 2026-04-02" in told(yard)[WarningKind.UNTESTED]
    keep(yard)
    assert WarningKind.UNTESTED not in told(yard)


def test_a_hen_under_laying_age_is_named_with_the_day(yard: Yard) -> None:
    add_hens(yard, 1, hatched="2026-12-01")
    said = told(yard)[WarningKind.TOO_YOUNG]
    assert said.startswith("Hen0 is under laying age until 2027-0")


def test_two_cocks_in_one_pen_leave_the_sire_open(yard: Yard) -> None:
    yard.book.apply(MoveBirds((yard.lune,), yard.orchard, date(2027, 2, 1)))
    assert told(yard)[WarningKind.SEVERAL_COCKS].startswith("Usk and Lune run together")


def test_a_pen_of_growers_is_not_nagged(yard: Yard) -> None:
    young = [bird(yard.book, f"G{n}", sex, "2026-12-20") for n, sex in enumerate((Sex.COCK, Sex.HEN))]
    yard.book.apply(AddBirds(tuple(young)))
    yard.book.apply(MoveBirds((yard.lune, yard.cowslip), None, date(2027, 2, 1)))
    yard.book.apply(MoveBirds(tuple(each.id for each in young), yard.lane, date(2027, 2, 1)))
    assert told(yard, yard.lane) == {}
