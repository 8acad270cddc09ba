"""Pens put together by hand: their figures against the definition, and the wishes they break."""

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from studbook.book.ids import BirdId, PenId
from studbook.book.relatedness import Relatedness
from studbook.planning.best_pens.by_hand import (
    Breach,
    breaches,
    other_cocks,
    with_cock,
    with_hen,
    with_place,
    worth_of,
)
from studbook.planning.best_pens.present import Company
from studbook.planning.best_pens.wishes import BestPen, Place, Wishes
from tests.planning.flock import flock

COCKS = tuple(map(BirdId, ("Tamar", "Dart", "Wye")))
HENS = tuple(map(BirdId, ("Hazel", "Bryony", "Elder")))
TAMAR, DART, WYE = COCKS
HAZEL, BRYONY, ELDER = HENS


def kin() -> dict[tuple[BirdId, BirdId], float]:
    birds = (*COCKS, *HENS)
    figures = Relatedness(flock()).kinship(birds, birds)
    return {
        (one, other): float(figures[row, column])
        for row, one in enumerate(birds)
        for column, other in enumerate(birds)
    }


def wishes(**more: object) -> Wishes:
    return Wishes(COCKS, HENS, 3, 3, **more)  # type: ignore[arg-type]


def test_full_sibs_alone_give_the_textbook_figures() -> None:
    # Wright 1922: chicks of full sibs 25 %; c = (1/2, 1/2), K = ((1/2, 1/4), (1/4, 1/2)), c′Kc = 3/8
    worth = worth_of([Company((TAMAR,), (HAZEL,))], kin(), wishes())
    assert worth is not None
    assert worth.inbreeding == pytest.approx(0.25)
    assert worth.kinship == pytest.approx(0.375)
    assert worth.gene_diversity == pytest.approx(0.625)
    assert worth.objective == pytest.approx(0.3125)
    assert worth.shares == pytest.approx({TAMAR: 0.5, HAZEL: 0.5})


def test_two_cocks_in_a_pen_count_half_each() -> None:
    worth = worth_of([Company((TAMAR, DART), (HAZEL,))], kin(), wishes())
    assert worth is not None
    assert worth.inbreeding == pytest.approx(0.125)
    assert worth.shares == pytest.approx({TAMAR: 0.25, DART: 0.25, HAZEL: 0.5})


def test_pens_without_chicks_have_no_worth() -> None:
    assert worth_of([Company((TAMAR,), ()), Company((), (HAZEL,))], kin(), wishes()) is None


# the first draw looks through the whole program for constants, which takes its time on a busy machine
@settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.lists(st.integers(0, 2), min_size=3, max_size=3),
    st.lists(st.integers(1, 9), min_size=3, max_size=3),
    st.floats(0, 1),
)
def test_the_figures_are_those_of_the_definition(homes: list[int], eggs: list[int], weight: float) -> None:
    table = kin()
    asked = wishes(weight=weight, eggs=dict(zip(HENS, eggs, strict=True)))
    pens = [
        Company((cock,), tuple(hen for hen, home in zip(HENS, homes, strict=True) if home == at))
        for at, cock in enumerate(COCKS)
    ]
    worth = worth_of(pens, table, asked)
    assert worth is not None
    birds = (*COCKS, *HENS)
    matrix = np.array([[table[one, other] for other in birds] for one in birds])
    part = np.array(eggs) / sum(eggs)
    of_cocks = [sum(part[hen] for hen in range(3) if homes[hen] == cock) for cock in range(3)]
    c = np.array([*of_cocks, *part]) / 2
    f = sum(part[hen] * table[COCKS[homes[hen]], HENS[hen]] for hen in range(3))
    assert worth.inbreeding == pytest.approx(f)
    assert worth.kinship == pytest.approx(c @ matrix @ c)
    assert worth.objective == pytest.approx(weight * f + (1 - weight) * (c @ matrix @ c))
    assert sum(worth.shares.values()) == pytest.approx(1)


PENS = (
    BestPen(TAMAR, (BRYONY, ELDER), 0.0, PenId("orchard")),
    BestPen(DART, (HAZEL,), 0.0, PenId("lane")),
)


def test_a_hen_moves_and_leaves() -> None:
    moved = with_hen(PENS, BRYONY, DART)
    assert [pen.hens for pen in moved] == [(ELDER,), (HAZEL, BRYONY)]
    assert [pen.hens for pen in with_hen(PENS, BRYONY, None)] == [(ELDER,), (HAZEL,)]


def test_cocks_and_places_change_with_each_other() -> None:
    assert [pen.cock for pen in with_cock(PENS, TAMAR, DART)] == [DART, TAMAR]
    assert [pen.cock for pen in with_cock(PENS, TAMAR, WYE)] == [WYE, DART]
    assert [pen.place for pen in with_place(PENS, TAMAR, PenId("lane"))] == ["lane", "orchard"]
    assert [pen.place for pen in with_place(PENS, TAMAR, None)] == [None, "lane"]


def broken(pens: tuple[BestPen, ...], **more: object) -> dict[Breach, tuple[BirdId, ...]]:
    bans = more.pop("bans", ())
    return {each.breach: each.birds for each in breaches(pens, kin(), wishes(**more), bans)}  # type: ignore[arg-type]


def test_pens_within_the_wishes_break_none() -> None:
    assert broken(PENS, limit=0.25) == {}


def test_each_broken_wish_is_named_with_its_birds() -> None:
    # Elder is Tamar's daughter: 25 %, over a limit of 12.5 %; Bryony his half sister is at it
    assert broken(PENS, limit=0.125) == {Breach.LIMIT: (TAMAR, ELDER)}
    assert broken(PENS, bans=[(DART, HAZEL)]) == {Breach.BANNED: (DART, HAZEL)}
    assert broken(PENS, least_hens=2) == {Breach.TOO_FEW_HENS: (DART,)}
    assert broken(PENS, never=((BRYONY, ELDER),)) == {Breach.NEVER: (BRYONY, ELDER)}
    assert broken(PENS, together=((BRYONY, HAZEL),)) == {Breach.TOGETHER: (BRYONY, HAZEL)}
    assert broken(PENS, places=(Place(PenId("orchard"), 1),)) == {Breach.PLACE_FULL: (TAMAR,)}
    assert broken(PENS, most_share={TAMAR: 0.3}) == {Breach.SHARE: (TAMAR,)}
    assert broken(with_hen(PENS, HAZEL, None)) == {Breach.NOT_PLACED: (HAZEL,)}


def test_the_next_best_cock_is_the_one_the_whole_loses_least_with() -> None:
    pens, table = (*PENS, BestPen(WYE, (), 0.0)), kin()
    of_all = other_cocks(pens, table, wishes(weight=0.3, eggs={BRYONY: 2.0}))
    for hen, others in of_all.items():
        for other in others:
            moved = [Company((pen.cock,), pen.hens) for pen in with_hen(pens, hen, other.cock)]
            worth = worth_of(moved, table, wishes(weight=0.3, eggs={BRYONY: 2.0}))
            assert worth is not None
            assert other.objective == pytest.approx(worth.objective)
    found = of_all[HAZEL]
    assert {other.cock for other in found} == {TAMAR, WYE}
    assert found[0].objective <= found[1].objective
    with_tamar = next(other for other in found if other.cock == TAMAR)
    assert with_tamar.expected == pytest.approx(0.25)


def test_a_cock_without_a_pen_is_given_one_in_a_free_place() -> None:
    made = with_hen(PENS, HAZEL, WYE, (Place(PenId("lane")), Place(PenId("ark"))))
    assert made[-1] == BestPen(WYE, (HAZEL,), 0.0, PenId("ark"))
