"""Figures of practice: every one with its source, consistent, and the keeper's to change."""

import pytest

from studbook.season.practice import ApartReason, Evidence, HensPerCock, Ratio, WeightClass, practice
from studbook.season.species import all_species


@pytest.mark.parametrize("code", all_species())
def test_every_figure_of_every_species_says_where_it_comes_from(code):
    for name, figure in practice(code).figures.items():
        assert figure.source, name
        assert figure.unit in ("days", "hens"), name
        assert figure.evidence is not Evidence.KEEPER, name


@pytest.mark.parametrize("code", all_species())
def test_the_spans_of_every_species_agree_with_each_other(code):
    figures = practice(code)
    assert figures.earliest_days <= figures.covered_days <= figures.usual_lasting_days
    assert figures.usual_lasting_days <= figures.clear_days <= figures.strict_clear_days
    assert figures.strict_clear_days <= figures.lasting_days == all_species()[code].fertile_span_days
    for weight_class in WeightClass:
        hens = figures.hens_per_cock(weight_class)
        assert 1 <= hens.few <= hens.many
    for reason in ApartReason:
        assert figures.review_days(reason) >= 1


def test_a_heavy_breed_gets_fewer_hens_than_a_light_one():
    fowl = practice("chicken")
    assert fowl.hens_per_cock(WeightClass.HEAVY).many < fowl.hens_per_cock(WeightClass.LIGHT).many
    assert practice("goose").hens_per_cock(WeightClass.HEAVY) == practice("goose").hens_per_cock()


def test_hens_are_counted_for_each_cock_of_the_pen():
    usual = HensPerCock(4, 8)
    assert usual.ratio(1, 3) is Ratio.TOO_FEW
    assert usual.ratio(2, 8) is usual.ratio(1, 8) is Ratio.USUAL
    assert usual.ratio(2, 17) is Ratio.TOO_MANY
    assert usual.ratio(0, 9) is usual.ratio(1, 0) is None


def test_the_keepers_own_figure_wins_and_is_marked_as_theirs():
    fowl = practice("chicken", {"clear_days": 21, "halving_days": 2.5})
    assert fowl.clear_days == 21
    assert fowl.halving_days == 2.5
    assert fowl.figures["clear_days"].evidence is Evidence.KEEPER
    assert practice("chicken").clear_days == 28


@pytest.mark.parametrize(
    "overrides",
    [
        {"clear_days": 40},
        {"covered_days": 0},
        {"clear_days": -1},
        {"clear_days": 20.5},
        {"halving_days": 0},
        {"lasting_days": 100_000},
        {"days": 3},
    ],
)
def test_figures_that_contradict_each_other_or_mean_nothing_are_refused(overrides):
    with pytest.raises(ValueError, match=next(iter(overrides))):
        practice("chicken", overrides)


def test_an_unknown_species_is_refused():
    with pytest.raises(KeyError):
        practice("dragon")
