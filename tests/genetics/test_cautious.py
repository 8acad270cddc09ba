"""Unknown is not new blood: an unknown parent is the mean of the birds that could have been it."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from studbook.book.pedigree import cautious_pedigree
from studbook.book.records import Bird, BirdId, BookDetails, Pair, Sex, Snapshot, Status
from studbook.book.relatedness import Relatedness, Unknown
from studbook.dates import UNKNOWN_DATE, PartialDate
from studbook.genetics.pedigree import UNKNOWN
from tests.zoo import pedigree_of, relationship_table

COCK, HEN = Sex.COCK, Sex.HEN


def bird(name: str, sex: Sex, hatched: str, *pairs: tuple[str | None, str | None], **more) -> Bird:
    return Bird(
        BirdId(name),
        name=name,
        sex=sex,
        hatched=PartialDate.parse(hatched),
        pairs=tuple(
            Pair(BirdId(sire) if sire else None, BirdId(dam) if dam else None, 1 / len(pairs))
            for sire, dam in pairs
        ),
        **more,
    )


def book(*birds: Bird) -> Snapshot:
    return Snapshot(1, BookDetails("b"), birds=birds)


def cautious(*birds: Bird) -> Relatedness:
    return Relatedness(book(*birds), Unknown.FLOCK)


TAMAR = bird("Tamar", COCK, "2018-04-01", founder=True)
SLOE = bird("Sloe", HEN, "2018-04-01", founder=True)
TEASEL = bird("Teasel", HEN, "2019-04-01", ("Tamar", "Sloe"))
BRYONY = bird("Bryony", HEN, "2018-05-01", founder=True)


def inbreeding_of_chick(*birds: Bird) -> float:
    """F of the last bird, cautiously."""
    return float(cautious(*birds).inbreeding[-1])


def test_an_unknown_dam_is_the_mean_of_the_hens_of_the_flock():
    """By her sire a chick may have been bred back to his daughter (F ¼) or from two other hens (F 0)."""
    chick = bird("chick", HEN, "2020-05-01", ("Tamar", None))
    assert inbreeding_of_chick(TAMAR, SLOE, BRYONY, TEASEL, chick) == pytest.approx(0.25 / 3, abs=1e-12)
    assert Relatedness(book(TAMAR, SLOE, BRYONY, TEASEL, chick)).inbreeding[-1] == 0


def test_the_kinship_with_a_possible_dam_is_shared():
    chick = bird("chick", HEN, "2020-05-01", ("Tamar", None))
    found = cautious(TAMAR, SLOE, BRYONY, TEASEL, chick).kinship(
        [BirdId("Tamar"), BirdId("Bryony")], [BirdId("chick")]
    )
    # half from the sire himself, and the daughter's share of the dam: ½·½ + ½·(¼ / 3)
    np.testing.assert_allclose(found, [[0.25 + 0.125 / 3], [0.25 / 3]], atol=1e-12)


def test_both_parents_unknown_are_two_means():
    """Two cocks and two hens, one of the hens the daughter of one cock: F = ¼ · ¼."""
    exe = bird("Exe", COCK, "2018-04-01", founder=True)
    chick = bird("chick", HEN, "2020-05-01")
    assert inbreeding_of_chick(TAMAR, exe, replace(SLOE, sex=Sex.UNKNOWN), BRYONY, TEASEL, chick) == (
        pytest.approx(0.0625, abs=1e-12)
    )


@pytest.mark.parametrize(
    ("excluded", "why"),
    [
        ({"hatched": PartialDate.parse("2020-01-01")}, "too young to lay"),
        ({"sex": Sex.UNKNOWN}, "of unknown sex"),
        ({"sex": Sex.COCK}, "a cock"),
        ({"placeholder": True}, "a placeholder"),
        ({"species": "duck"}, "of another species"),
        ({"arrived": PartialDate.parse("2020-06-01")}, "not yet bought"),
        ({"status": Status.DIED, "left": PartialDate.parse("2020-01-31")}, "dead too long"),
    ],
)
def test_a_bird_that_cannot_have_been_the_dam_is_left_out(excluded, why):
    """Without Bryony two hens are left, so the daughter's share is a half."""
    chick = bird("chick", HEN, "2020-05-01", ("Tamar", None))
    flock = (TAMAR, SLOE, replace(BRYONY, **excluded), TEASEL, chick)
    assert inbreeding_of_chick(*flock) == pytest.approx(0.125, abs=1e-12), why


@pytest.mark.parametrize(
    "still_possible",
    [
        {"hatched": PartialDate.parse("2019-12-13")},
        {"hatched": PartialDate.parse("2019")},
        {"hatched": UNKNOWN_DATE},
        {"arrived": PartialDate.parse("2020")},
        {"status": Status.DIED, "left": PartialDate.parse("2020-04-15")},
        {"status": Status.SOLD, "left": UNKNOWN_DATE},
    ],
)
def test_only_the_impossible_excludes(still_possible):
    chick = bird("chick", HEN, "2020-05-01", ("Tamar", None))
    flock = (TAMAR, SLOE, replace(BRYONY, **still_possible), TEASEL, chick)
    assert inbreeding_of_chick(*flock) == pytest.approx(0.25 / 3, abs=1e-12)


def test_a_cock_may_be_the_sire_for_as_long_as_hens_stay_fertile():
    """From eggs laid five weeks after he went, kept three weeks and sat on for three."""
    gone = {"status": Status.SOLD, "left": PartialDate.parse("2020-03-01")}
    sire = bird("Exe", COCK, "2018-04-01", founder=True, **gone)
    in_time = bird("chick", HEN, "2020-05-15", (None, "Teasel"))
    too_late = bird("chick", HEN, "2020-05-20", (None, "Teasel"))
    assert inbreeding_of_chick(TAMAR, sire, SLOE, TEASEL, in_time) == pytest.approx(0.125, abs=1e-12)
    assert inbreeding_of_chick(TAMAR, sire, SLOE, TEASEL, too_late) == pytest.approx(0.25, abs=1e-12)


def test_when_nobody_fits_unknown_stays_unknown():
    chick = bird("chick", HEN, "2017-05-01")
    assert inbreeding_of_chick(chick, TAMAR, SLOE, TEASEL) == 0
    assert inbreeding_of_chick(bird("chick", HEN, "2017-05-01")) == 0


@pytest.mark.parametrize("reason", [{"founder": True}, {"origin": "yard"}, {"placeholder": True}])
def test_a_bird_from_elsewhere_keeps_its_unknown_parents(reason):
    chick = bird("chick", HEN, "2020-05-01", ("Tamar", None), **reason)
    assert inbreeding_of_chick(TAMAR, SLOE, TEASEL, chick) == 0


def test_a_bird_without_date_and_parents_says_nothing_of_its_parents():
    chick = bird("chick", HEN, "")
    assert cautious(TAMAR, SLOE, TEASEL, chick).kinship([BirdId("Tamar")], [BirdId("chick")])[0, 0] == 0


def test_a_bird_without_date_but_with_a_parent_is_home_hatched():
    chick = bird("chick", HEN, "", ("Tamar", None))
    assert inbreeding_of_chick(TAMAR, SLOE, TEASEL, chick) == pytest.approx(0.125, abs=1e-12)


def test_the_unknown_half_of_one_candidate_pair_is_filled_too():
    chick = bird("chick", HEN, "2020-05-01", ("Tamar", "Sloe"), ("Tamar", None))
    assert inbreeding_of_chick(TAMAR, SLOE, BRYONY, TEASEL, chick) == pytest.approx(0.25 / 6, abs=1e-12)


def test_no_bird_descends_from_its_own_offspring():
    """Teasel has no date, but her dam hatched in 2019: she is no possible parent of her granddam's chick."""
    sloe = bird("Sloe", HEN, "2018", ("Tamar", None))
    teasel = bird("Teasel", HEN, "", ("Tamar", "Sloe"))
    found = cautious(TAMAR, sloe, teasel)
    assert found.inbreeding.tolist() == [0, 0, 0.25]


def test_birds_without_dates_are_not_each_others_parents():
    """Two hens of the same vague year: either could have laid the other, so neither is taken to have."""
    first = bird("Sloe", HEN, "2019", ("Tamar", None))
    second = bird("Teasel", HEN, "2019", ("Tamar", None))
    for birds in ((TAMAR, BRYONY, first, second), (TAMAR, BRYONY, second, first)):
        found = cautious(*birds)
        assert found.kinship([BirdId("Bryony")], [first.id, second.id]).tolist() == [[0.25, 0.25]]
        assert found.inbreeding.tolist() == [0, 0, 0, 0]


def test_a_hen_of_the_same_vague_year_with_known_parents_is_possible():
    """Teasel of 2019 may have laid the egg of a chick of 2019, and cannot descend from it."""
    teasel = replace(TEASEL, hatched=PartialDate.parse("2019"))
    chick = bird("chick", HEN, "2019", ("Tamar", None))
    assert inbreeding_of_chick(TAMAR, SLOE, teasel, chick) == pytest.approx(0.125, abs=1e-12)


def test_paths_through_a_possible_dam_name_birds_only():
    chick = bird("chick", HEN, "2020-05-01", ("Tamar", None))
    found = cautious(TAMAR, SLOE, BRYONY, TEASEL, chick).explain(BirdId("Tamar"), BirdId("chick"))
    assert [(a.bird, a.path_count, set(a.paths)) for a in found.ancestors] == [
        ("Tamar", 2, {("Tamar", "chick"), ("Tamar", "Teasel", "chick")})
    ]
    assert found.kinship == pytest.approx(0.25 + 0.125 / 3, abs=1e-12)


@st.composite
def flocks(draw: st.DrawFn) -> Snapshot:
    """Up to 14 birds with dates to the day, some parents unknown, in order of hatching."""
    birds: list[Bird] = []
    day = date(2018, 4, 1)
    for number in range(draw(st.integers(2, 14))):
        day += timedelta(days=draw(st.integers(0, 160)))
        old_enough = [old for old in birds if (day - old.hatched.earliest).days >= 160]
        parents = [
            draw(st.sampled_from([None, *(old.id for old in old_enough if old.sex is sex)]))
            for sex in (COCK, HEN)
        ]
        left = draw(st.one_of(st.none(), st.integers(0, 900)))
        birds.append(
            Bird(
                BirdId(f"b{number}"),
                sex=draw(st.sampled_from([COCK, HEN, HEN, Sex.UNKNOWN])),
                hatched=PartialDate.of(day),
                founder=draw(st.booleans()) and number < 5,
                status=Status.LIVING if left is None else Status.SOLD,
                left=UNKNOWN_DATE if left is None else PartialDate.of(day + timedelta(days=left)),
                pairs=(Pair(*parents),) if any(parents) else (),
            )
        )
    return book(*birds)


@st.composite
def vague_flocks(draw: st.DrawFn) -> Snapshot:
    """The same with some dates known to the year or not at all."""
    exact = draw(flocks())
    birds = [
        replace(
            one, hatched=draw(st.sampled_from([one.hatched, PartialDate(one.hatched.year), UNKNOWN_DATE]))
        )
        for one in exact.birds
    ]
    return book(*birds)


def slow_kinship(snapshot: Snapshot) -> np.ndarray:
    """The cautious kinship straight from its words: every possible pair of parents written out."""
    nodes: list[list[tuple[int, int, float]]] = []
    for chick in snapshot.birds:
        known = chick.pairs[0] if chick.pairs else Pair(None, None)
        sides: list[list[int]] = []
        for sex, recorded in ((COCK, known.sire), (HEN, known.dam)):
            if recorded is not None:
                sides.append([snapshot.rows[recorded]])
                continue
            possible = [
                row
                for row, old in enumerate(snapshot.birds)
                if not chick.is_founder
                and old.sex is sex
                and (chick.hatched.earliest - old.hatched.earliest).days >= (126 if sex is COCK else 140)
                and (
                    old.status is Status.LIVING
                    or (chick.hatched.earliest - old.left.latest).days <= (77 if sex is COCK else 42)
                )
            ]
            sides.append(possible or [UNKNOWN])
        pairs = [(sire, dam) for sire in sides[0] for dam in sides[1]]
        nodes.append([(sire, dam, 1 / len(pairs)) for sire, dam in pairs])
    return relationship_table(pedigree_of(nodes)) / 2


@given(flocks())
def test_random_flocks_agree_with_every_possible_pair_written_out(snapshot):
    found = Relatedness(snapshot, Unknown.FLOCK)
    birds = [one.id for one in snapshot.birds]
    expected = slow_kinship(snapshot)
    np.testing.assert_allclose(found.kinship(birds, birds), expected, rtol=0, atol=1e-12)
    np.testing.assert_allclose(found.inbreeding, 2 * np.diag(expected) - 1, rtol=0, atol=1e-12)


@given(st.one_of(flocks(), vague_flocks()), st.randoms(use_true_random=False))
def test_the_order_of_birds_in_the_book_changes_nothing(snapshot, random):
    waiting = list(snapshot.birds)
    ordered: list[Bird] = []
    while waiting:
        missing = {one.id for one in waiting}
        ready = [one for one in waiting if not missing.intersection({*one.sires, *one.dams})]
        ordered.append(random.choice(ready))
        waiting.remove(ordered[-1])
    birds = [one.id for one in snapshot.birds]
    np.testing.assert_allclose(
        cautious(*ordered).kinship(birds, birds),
        Relatedness(snapshot, Unknown.FLOCK).kinship(birds, birds),
        rtol=0,
        atol=1e-12,
    )


@given(vague_flocks())
def test_vague_dates_never_make_a_loop(snapshot):
    """Whatever dates are lost, the pedigree still stands and F stays a chance."""
    found = Relatedness(snapshot, Unknown.FLOCK).inbreeding
    assert np.all((found >= 0) & (found <= 1))


def test_the_work_tells_its_progress_and_can_be_ended() -> None:
    snapshot = book(TAMAR, SLOE, bird("chick", HEN, "2020-05-01", ("Tamar", None)))
    told: list[float] = []
    cautious_pedigree(snapshot, told.append)
    assert told == sorted(told)
    assert 0 < told[0] < told[-1] <= 1

    def stop(_share: float) -> None:
        raise InterruptedError

    with pytest.raises(InterruptedError):
        cautious_pedigree(snapshot, stop)
