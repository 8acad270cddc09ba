"""Founder statistics of published and worked pedigrees."""

from fractions import Fraction
from itertools import product

import numpy as np
import pytest

from studbook.genetics.ancestors import marginal_contributions
from studbook.genetics.founders import (
    allele_retention_equivalents,
    effective_number,
    flock_mean_kinship,
    founder_contributions,
    founder_genome_equivalents,
    founders,
)
from studbook.genetics.gene_drop import gene_drop
from studbook.genetics.kinship import mean_kinship
from tests.zoo import named_pedigree

# the sample pedigree of Lacy 1989, Zoo Biology 8:111-123; the living are C, D, F, G
LACY = "C,A,B; D,A,B; F,D,E; G,D,E"
# a bottleneck: four founders come through one cock, mated to four unrelated hens, two chicks each
BOTTLENECK = "P,g1,g2; Q,g3,g4; M,P,Q; " + "; ".join(
    f"{chick}{hen},M,h{hen}" for hen in range(1, 5) for chick in "xy"
)
CHICKS = [f"{chick}{hen}" for hen in range(1, 5) for chick in "xy"]


def rows_of(text: str, names):
    pedigree, rows = named_pedigree(text)
    return pedigree, rows, [rows[name] for name in names]


def test_contributions_and_effective_founders_of_the_sample():
    """Lacy 1989: A and B 3/8, E 1/4; 32/11, printed with all digits as 2.9090909091."""
    pedigree, rows, living = rows_of(LACY, "CDFG")
    among = founders(pedigree)
    found = founder_contributions(pedigree, living, among)
    told = dict(zip(among.row.tolist(), found.tolist(), strict=True))
    assert told == {rows["A"]: 3 / 8, rows["B"]: 3 / 8, rows["E"]: 1 / 4}
    assert effective_number(found) == pytest.approx(2.9090909091, abs=1e-10)


def test_the_two_figures_called_founder_genome_equivalents():
    """Counting alleles kept, 2.18 as Lacy 1989 prints; by mean kinship (Lacy 1995) 16/9."""
    pedigree, _, living = rows_of(LACY, "CDFG")
    contribution = founder_contributions(pedigree, living, founders(pedigree))
    by_alleles = allele_retention_equivalents(contribution, [3 / 4, 3 / 4, 3 / 4])
    assert by_alleles == pytest.approx(24 / 11)
    assert round(by_alleles, 2) == 2.18
    assert founder_genome_equivalents(flock_mean_kinship(pedigree, living)) == pytest.approx(16 / 9)


def test_mean_kinship_of_the_sample():
    """By definition (Ballou & Lacy 1995): C 1/4, D 5/16, F and G 9/32; gene diversity 23/32."""
    pedigree, _, living = rows_of(LACY, "CDFG")
    np.testing.assert_allclose(mean_kinship(pedigree, living), [1 / 4, 5 / 16, 9 / 32, 9 / 32], atol=1e-15)
    assert 1 - flock_mean_kinship(pedigree, living) == pytest.approx(23 / 32)


def lacy_retention() -> dict[str, Fraction]:
    """The alleles of the sample kept, over all 256 ways the genes can fall."""
    kept = dict.fromkeys("ABE", 0)
    for c_a, c_b, d_a, d_b, f_d, f_e, g_d, g_e in product((0, 1), repeat=8):
        d = (("A", d_a), ("B", d_b))
        there = {("A", c_a), ("B", c_b), *d, d[f_d], ("E", f_e), d[g_d], ("E", g_e)}
        for name in kept:
            kept[name] += sum(founder == name for founder, _ in there)
    return {name: Fraction(count, 2 * 256) for name, count in kept.items()}


def test_a_gene_drop_finds_the_alleles_kept():
    """Each founder keeps 3/4 of its alleles; 10,000 drops come within four standard errors."""
    exact = lacy_retention()
    assert set(exact.values()) == {Fraction(3, 4)}
    pedigree, _, living = rows_of(LACY, "CDFG")
    drop = gene_drop(pedigree, living, np.random.default_rng(1989))
    # of one founder's two genes one or both are kept: a standard deviation of ¼
    np.testing.assert_allclose(drop.retention, 0.75, atol=4 * 0.25 / 10_000**0.5)
    assert drop.kept.tolist() == [1, 1, 1]
    error = drop.heterozygosity.std() / 10_000**0.5
    assert drop.expected_heterozygosity == pytest.approx(23 / 32, abs=4 * error)


@pytest.mark.parametrize(
    ("text", "names", "marginal", "ancestors", "effective_founders"),
    [
        (LACY, "CDFG", {"D": 1 / 2, "C": 1 / 4, "E": 1 / 4}, 8 / 3, 32 / 11),
        (LACY, "FG", {"D": 1 / 2, "E": 1 / 2}, 2, 8 / 3),
        (BOTTLENECK, CHICKS, {"M": 1 / 2, "h1": 1 / 8, "h2": 1 / 8, "h3": 1 / 8, "h4": 1 / 8}, 16 / 5, 8),
    ],
)
def test_effective_ancestors_of_worked_pedigrees(text, names, marginal, ancestors, effective_founders):
    """The method of Boichard, Maignel & Verrier 1997, Genetics Selection Evolution 29:5-23, by hand."""
    pedigree, rows, living = rows_of(text, names)
    found = marginal_contributions(pedigree, living)
    told = dict(zip(found.row.tolist(), found.contribution.tolist(), strict=True))
    assert told == pytest.approx({rows[name]: share for name, share in marginal.items()})
    among = founders(pedigree)
    contribution = founder_contributions(pedigree, living, among)
    genomes = founder_genome_equivalents(flock_mean_kinship(pedigree, living))
    assert effective_number(found.contribution) == pytest.approx(ancestors)
    assert effective_number(contribution) == pytest.approx(effective_founders)
    assert genomes <= ancestors <= effective_founders <= np.count_nonzero(contribution)


def test_the_bottleneck_in_mean_kinship():
    """By definition: mean kinship 3/16, so 8/3 founder genomes."""
    pedigree, _, chicks = rows_of(BOTTLENECK, CHICKS)
    assert flock_mean_kinship(pedigree, chicks) == pytest.approx(3 / 16)
    assert founder_genome_equivalents(3 / 16) == pytest.approx(8 / 3)
