"""Mean kinship and gene diversity of the sample pedigree of Lacy 1989, Zoo Biology 8:111-123.

Gene diversity is 1 less the mean kinship (Ballou & Lacy 1995, from memory); the founder genome
equivalents 1 / (2 × mean kinship) of 16/9 are another figure than Lacy's 2.18 from allele retention.
"""

import numpy as np

from studbook.genetics.kinship import mean_kinship
from tests.zoo import named_pedigree


def test_the_sample_flock():
    pedigree, rows = named_pedigree("C,A,B; D,A,B; F,D,E; G,D,E")
    found = mean_kinship(pedigree, [rows[name] for name in ["C", "D", "F", "G"]])
    assert found.tolist() == [1 / 4, 5 / 16, 9 / 32, 9 / 32]
    assert 1 - found.mean() == 23 / 32
    np.testing.assert_allclose(1 / (2 * found.mean()), 16 / 9, rtol=1e-15)


def test_a_bottleneck():
    """Eight chicks of one cock, two by each of four unrelated hens: mean kinship 3/16, computed afresh."""
    text = "P,g1,g2; Q,g3,g4; M,P,Q; " + "; ".join(
        f"c{hen}{chick},M,h{hen}" for hen in range(4) for chick in range(2)
    )
    pedigree, rows = named_pedigree(text)
    chicks = [row for name, row in rows.items() if name.startswith("c")]
    assert mean_kinship(pedigree, chicks).mean() == 3 / 16
