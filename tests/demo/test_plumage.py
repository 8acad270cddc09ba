"""Andalusian blue as published: Punnett, *Mendelism*, 3rd edition (1911), on the blue Andalusian."""

from collections import Counter
from itertools import product
from random import Random

import pytest

from studbook.demo.plumage import Plumage, chick_colour, colours_of

BLACK, BLUE, SPLASH = Plumage


@pytest.mark.parametrize(
    ("sire", "dam", "shares"),
    [
        (BLUE, BLUE, {BLACK: 0.25, BLUE: 0.5, SPLASH: 0.25}),
        (BLACK, SPLASH, {BLUE: 1.0}),
        (BLUE, BLACK, {BLUE: 0.5, BLACK: 0.5}),
        (SPLASH, BLUE, {BLUE: 0.5, SPLASH: 0.5}),
        (BLACK, BLACK, {BLACK: 1.0}),
        (SPLASH, SPLASH, {SPLASH: 1.0}),
    ],
)
def test_chicks_come_in_the_published_shares(
    sire: Plumage, dam: Plumage, shares: dict[Plumage, float]
) -> None:
    rng = Random(1)
    drawn = Counter(chick_colour(sire, dam, rng) for _ in range(4000))
    assert set(drawn) == set(shares) == set(colours_of(sire, dam))
    for plumage, share in shares.items():
        assert drawn[plumage] / 4000 == pytest.approx(share, abs=0.03)


def test_it_does_not_matter_which_parent_is_which() -> None:
    for sire, dam in product([*Plumage, None], repeat=2):
        assert colours_of(sire, dam) == colours_of(dam, sire)


def test_an_unknown_parent_may_have_given_either_factor() -> None:
    assert colours_of(BLACK, None) == {BLACK, BLUE}
    assert colours_of(None, None) == set(Plumage)
