"""F by tracing one animal: Meuwissen & Luo 1992, Genetics Selection Evolution 24:305-313.

Worked through for animal 5 in Mrode 2014, Linear Models for the Prediction of Animal Breeding
Values, 3rd ed., Appendix B, pp. 307-310.
"""

import numpy as np

from studbook.genetics.gene_flow import GeneFlow
from studbook.genetics.inbreeding import diagonals, inbreeding
from tests.zoo import named_pedigree


def test_the_relationship_of_animal_5_with_itself_piles_up_ancestor_by_ancestor():
    """0.5, 0.6875 with animal 4, 0.8125 with 3, 0.875 with 2, 1.125 with 1."""
    pedigree, rows = named_pedigree("1,-,-; 2,-,-; 3,1,2; 4,1,-; 5,4,3; 6,5,2")
    flow = GeneFlow(pedigree)
    column = np.zeros((len(pedigree), 1))
    column[flow.place[rows["5"]]] = 1
    flow.gather(column)
    share = column[flow.place, 0]
    parts = share**2 * diagonals(pedigree).sampling_variance
    traced = np.cumsum([parts[rows[name]] for name in ["5", "4", "3", "2", "1"]])
    assert traced.tolist() == [0.5, 0.6875, 0.8125, 0.875, 1.125]
    assert inbreeding(pedigree)[rows["5"]] == 0.125


def test_the_modified_way_of_quaas():
    """Quaas 1995: only the common ancestor 1 of both parents counts, 0.5 · 0.5 · 0.5 · 1."""
    pedigree, rows = named_pedigree("1,-,-; 2,-,-; 3,1,2; 4,1,-; 5,4,3; 6,5,2")
    assert inbreeding(pedigree)[rows["5"]] == 0.5 * 0.5 * 0.5 * 1
