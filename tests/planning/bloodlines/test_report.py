"""The report on bloodlines against flocks known by hand and against slow, plain calculations."""

import math
import random
from collections.abc import Iterator
from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from studbook.book.opening import open_book
from studbook.book.pedigree import conventional_pedigree
from studbook.book.records import Bird, BirdId, BookDetails, Pair, Sex, Snapshot, Status
from studbook.book.relatedness import Unknown
from studbook.dates import PartialDate
from studbook.genetics.pedigree import UNKNOWN
from studbook.places import demo_flock
from studbook.planning.bloodlines.measuring import bloodlines_report, founder_view
from studbook.planning.bloodlines.report import Fate, FounderKey, Half, Standing
from tests.planning.bloodlines.flock import TODAY, bird, narrow_flock
from tests.zoo import doubtful_pedigrees, relationship_table

SAMPLE_TODAY = date(2027, 2, 14)


@pytest.fixture(scope="module")
def sample() -> Iterator[Snapshot]:
    with open_book(demo_flock(), read_only=True, today=SAMPLE_TODAY) as book:
        yield book.snapshot()


def by_name(snapshot: Snapshot, **asked) -> dict[str, object]:
    report = bloodlines_report(snapshot, TODAY, unknown=Unknown.UNRELATED, replicates=500, **asked)
    return {founder.key.bird: founder for founder in report.founders}


def test_contributions_of_a_flock_known_by_hand() -> None:
    found = by_name(narrow_flock())
    # Tamar is ½ Severn ½ Bramble, Hazel ½ Severn ½ Sloe, their chicks ½ Severn ¼ ¼
    assert {name: founder.contribution for name, founder in found.items()} == pytest.approx(
        {"Severn": 1 / 2, "Bramble": 1 / 4, "Sloe": 1 / 4, "Teasel": 0}
    )
    assert found["Sloe"].by_year == pytest.approx((1 / 6, 1 / 4))


def test_fates_and_carriers() -> None:
    found = by_name(narrow_flock())
    assert found["Teasel"].fate is Fate.LOST
    assert found["Sloe"].fate is Fate.FEW_BIRDS
    assert found["Severn"].fate is Fate.SAFE
    assert [(carrier.bird, carrier.share) for carrier in found["Sloe"].carriers] == [
        ("Hazel", 0.5),
        ("Dart", 0.25),
        ("Elder", 0.25),
    ]


def test_a_founder_that_one_bird_carries() -> None:
    snapshot = narrow_flock(bird("Thistle", Sex.HEN, "2024-04-01", "T24-01", founder=True))
    found = by_name(snapshot)
    assert (found["Thistle"].fate, found["Thistle"].carrier_count) == (Fate.ONE_BIRD, 1)
    assert found["Thistle"].retained == 1


def test_a_founder_that_never_bred_and_has_gone_is_not_told() -> None:
    gone = bird("Thistle", Sex.HEN, "2020-04-01", "T20-01", founder=True, status=Status.DIED)
    assert "Thistle" not in by_name(narrow_flock(gone))


def test_each_unknown_half_is_a_founder_of_its_own() -> None:
    chick = bird("Vetch", Sex.HEN, "2024-04-10", "W24-09", "Tamar")
    stray = bird("Moss", Sex.HEN, "2024-04-10", "W24-10")
    report = bloodlines_report(narrow_flock(chick, stray), TODAY, unknown=Unknown.UNRELATED, replicates=200)
    shares = {founder.key: founder.contribution for founder in report.founders}
    assert shares[FounderKey(BirdId("Vetch"), Half.DAM)] == pytest.approx(1 / 12)
    # hatched while there were cocks and hens, so its parents are two birds nobody wrote down
    assert shares[FounderKey(BirdId("Moss"), Half.SIRE)] == pytest.approx(1 / 12)
    assert shares[FounderKey(BirdId("Moss"), Half.DAM)] == pytest.approx(1 / 12)
    assert FounderKey(BirdId("Moss")) not in shares
    assert sum(shares.values()) == pytest.approx(1)


def test_the_first_birds_of_a_book_are_founders_though_nobody_said_so() -> None:
    severn = bird("Severn", Sex.COCK, "2020-04-01", "W20-01", status=Status.DIED)
    assert "Severn" in by_name(narrow_flock(Severn=severn))


def test_a_bought_in_bird_is_a_founder_whenever_it_hatched() -> None:
    found = by_name(
        narrow_flock(bird("Moss", Sex.HEN, "2024-04-10", "W24-10", arrived=PartialDate.parse("2024-09")))
    )
    assert found["Moss"].key == FounderKey(BirdId("Moss"))


def test_cautiously_an_unknown_dam_is_no_founder() -> None:
    chick = bird("Vetch", Sex.HEN, "2024-04-10", "W24-09", "Tamar")
    report = bloodlines_report(narrow_flock(chick), TODAY, unknown=Unknown.FLOCK, replicates=200)
    assert not any(founder.key.is_unknown_parent for founder in report.founders)
    assert report.mean_inbreeding_cautious > report.mean_inbreeding_by_convention


@pytest.mark.parametrize("unknown", list(Unknown))
def test_a_bird_that_looks_rare_only_because_its_dam_is_unknown_is_told_apart(sample, unknown) -> None:
    report = bloodlines_report(sample, SAMPLE_TODAY, unknown=unknown, species="chicken", replicates=20)
    standing = {sample.bird(ranked.bird).name: ranked.standing for ranked in report.ranking}
    # the dams of Foxglove's hatch were not written down; everyone else's parents are known
    assert [name for name, found in standing.items() if found is Standing.LOOKS_RARE] == ["Foxglove"]


def test_an_unrelated_bird_is_rare_and_a_family_is_covered() -> None:
    thistle = bird("Thistle", Sex.HEN, "2024-04-01", "T24-01", founder=True)
    report = bloodlines_report(narrow_flock(thistle), TODAY, replicates=20)
    standing = {ranked.bird: ranked.standing for ranked in report.ranking}
    assert standing["Thistle"] is Standing.RARE
    assert standing["Dart"] is standing["Elder"] is Standing.COVERED
    assert report.ranking[0].bird == "Thistle"
    # equal figures share a rank
    ranks = {ranked.bird: ranked.rank_cautious for ranked in report.ranking}
    assert ranks["Dart"] == ranks["Elder"] == 4


def test_the_view_of_a_founder_holds_every_descendant() -> None:
    view = founder_view(narrow_flock(), FounderKey(BirdId("Teasel")), unknown=Unknown.UNRELATED)
    assert [(carrier.bird, carrier.share) for carrier in view.descendants] == [("Yarrow", 0.5)]
    assert view.carriers == ()
    assert view.by_year == ((2022, pytest.approx(1 / 6)), (2024, 0))


def test_the_view_refuses_a_bird_that_is_no_founder() -> None:
    with pytest.raises(KeyError):
        founder_view(narrow_flock(), FounderKey(BirdId("Tamar")))


def test_the_breeders_and_the_generation_interval_by_hand() -> None:
    """Hill 1972, Theoretical Population Biology 3:278-289: Ne = 4MFL/(M + F)."""
    report = bloodlines_report(narrow_flock(), TODAY, unknown=Unknown.UNRELATED, replicates=200)
    interval = report.trend.interval_years
    # the parents bred from are 2020's of 2022's chicks Tamar and Hazel
    assert interval == pytest.approx(730 / 365.25, abs=0.01)
    breeders = report.breeders
    # Tamar and Hazel are the only birds that began to breed after 2022, the first hatch year
    assert breeders.years == (2023, 2024, 2025)
    assert (breeders.new_cocks, breeders.new_hens) == pytest.approx((1 / 3, 1 / 3))
    assert breeders.size == pytest.approx(4 / 9 * interval / (2 / 3))
    assert breeders.per_year == pytest.approx(breeders.per_generation / interval)


def test_the_limit_of_one_per_cent_a_generation_is_divided_by_the_interval() -> None:
    """FAO 2013, In vivo conservation of animal genetic resources, Guidelines 14."""
    trend = bloodlines_report(narrow_flock(), TODAY, replicates=200).trend
    assert trend.yearly_limit == pytest.approx(0.01 / trend.interval_years)


def test_an_empty_flock_has_no_figures() -> None:
    report = bloodlines_report(Snapshot(0, BookDetails("book")), TODAY)
    assert (report.birds, report.living, report.founders, report.years) == (0, 0, (), ())
    assert report.mean_kinship is report.founder_equivalents is report.mean_inbreeding is None
    assert report.realised.size is report.breeders.size is report.trend.yearly_rise is None


@given(doubtful_pedigrees(), st.data())
def test_contributions_sum_to_one(pedigree, data) -> None:
    living = data.draw(st.lists(st.booleans(), min_size=len(pedigree), max_size=len(pedigree)))
    snapshot = snapshot_of(pedigree, living)
    counts_living = data.draw(st.booleans())
    unknown = data.draw(st.sampled_from(list(Unknown)))
    report = bloodlines_report(snapshot, TODAY, unknown=unknown, living=counts_living, replicates=20)
    if report.living or not counts_living:
        assert sum(founder.contribution for founder in report.founders) == pytest.approx(1)
        assert all(founder.retained <= founder.kept + 1e-12 for founder in report.founders)


def snapshot_of(pedigree, living: list[bool]) -> Snapshot:
    """A book of the pedigree, a bird hatched every 200 days; even rows are cocks."""
    birds = []
    for row in range(len(pedigree)):
        pairs = []
        for pair in range(pedigree.first[row], pedigree.first[row + 1]):
            sire, dam = (
                BirdId(f"bird {parent}") if parent != UNKNOWN else None
                for parent in (pedigree.sire[pair], pedigree.dam[pair])
            )
            pairs.append(Pair(sire, dam, float(pedigree.weight[pair])))
        birds.append(
            Bird(
                BirdId(f"bird {row}"),
                sex=Sex.HEN if row % 2 else Sex.COCK,
                hatched=PartialDate.of(date.fromordinal(date(2015, 1, 1).toordinal() + 200 * row)),
                status=Status.LIVING if living[row] else Status.DIED,
                pairs=tuple(pairs),
            )
        )
    return Snapshot(0, BookDetails("book"), tuple(birds))


def test_the_sample_flock_agrees_with_a_dense_table(sample: Snapshot) -> None:
    report = bloodlines_report(
        sample, SAMPLE_TODAY, unknown=Unknown.UNRELATED, species="chicken", replicates=50
    )
    book = conventional_pedigree(sample)
    table = relationship_table(book.pedigree)
    living = [
        int(book.nodes[row])
        for row, each in enumerate(sample.birds)
        if each.is_living and each.species == "chicken"
    ]
    kinship = table[np.ix_(living, living)] / 2
    assert report.living == len(living) == 18
    assert report.mean_kinship == pytest.approx(kinship.mean(), abs=1e-12)
    assert report.gene_diversity == pytest.approx(1 - kinship.mean(), abs=1e-12)
    assert report.founder_genome_equivalents == pytest.approx(1 / (2 * kinship.mean()), abs=1e-12)
    assert report.mean_inbreeding == pytest.approx(np.diag(table)[living].mean() - 1, abs=1e-12)
    ranked = {ranked.bird: ranked.by_convention for ranked in report.ranking}
    for place, node in enumerate(living):
        assert ranked[sample.birds[book.row(node)].id] == pytest.approx(kinship[place].mean(), abs=1e-12)
    for year in report.years:
        rows = [
            int(book.nodes[row])
            for row, each in enumerate(sample.birds)
            if each.hatched.year == year.year
            and each.species == "chicken"
            and not (each.is_founder or each.placeholder)
        ]
        assert year.birds == len(rows)
        assert year.by_convention == pytest.approx(np.diag(table)[rows].mean() - 1, abs=1e-12)


def test_the_sample_flock_agrees_with_genes_dropped_one_bird_at_a_time(sample: Snapshot) -> None:
    times = 2_000
    report = bloodlines_report(sample, SAMPLE_TODAY, unknown=Unknown.UNRELATED, species="chicken")
    found: dict[FounderKey, int] = {}
    carried: dict[FounderKey, float] = {}
    living = [each for each in sample.living if each.species == "chicken"]
    rng = random.Random(5)
    for _time in range(times):
        genes: dict[BirdId, tuple[tuple[FounderKey, int], ...]] = {}
        for each in sample.birds:
            key = FounderKey(each.id)
            if not (each.sires or each.dams):
                genes[each.id] = ((key, 0), (key, 1))
                continue
            (pair,) = rng.choices(each.pairs, [pair.weight for pair in each.pairs])
            genes[each.id] = tuple(
                rng.choice(genes[parent]) if parent is not None else (FounderKey(each.id, half), 0)
                for parent, half in ((pair.sire, Half.SIRE), (pair.dam, Half.DAM))
            )
        there = [gene for each in living for gene in genes[each.id]]
        for key, _gene in there:
            carried[key] = carried.get(key, 0) + 1 / (len(there) * times)
        for key, _gene in set(there):
            found[key] = found.get(key, 0) + 1
    for founder in report.founders:
        # each gene is there or not: at most ½ / √times for the mean of two
        error = 0.5 / math.sqrt(times)
        assert founder.retained == pytest.approx(found.get(founder.key, 0) / times / 2, abs=5 * error)
        assert founder.contribution == pytest.approx(carried.get(founder.key, 0), abs=0.02)
    assert {founder.key for founder in report.founders} >= set(carried)


def test_progress_is_told_and_may_stop_the_work() -> None:
    told: list[float] = []
    bloodlines_report(narrow_flock(), TODAY, replicates=50, progress=told.append)
    assert told == sorted(told)
    assert told[-1] == 1

    def stop(_share: float) -> None:
        raise InterruptedError

    with pytest.raises(InterruptedError):
        bloodlines_report(narrow_flock(), TODAY, replicates=50, progress=stop)
