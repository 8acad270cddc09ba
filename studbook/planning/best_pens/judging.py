"""What pens of a problem would do, whoever put them together."""

from collections.abc import Mapping, Sequence

import numpy as np

from studbook.planning.best_pens.problem import Problem
from studbook.planning.best_pens.wishes import BestPen, PensPlan, Proof


def judge(problem: Problem, pens: Mapping[int, Sequence[int]]) -> PensPlan:
    """Pens of the birds of a problem (the hens of each cock, by their places), with no proof of anything."""
    wishes = problem.wishes
    cocks, hens = wishes.cocks, wishes.hens
    eggs = np.array([wishes.eggs.get(hen, 1.0) for hen in hens], dtype=float)
    expected = problem.expected
    of_cocks, of_hens = np.zeros(len(cocks)), np.zeros(len(hens))
    inbreeding, made = 0.0, []
    for cock, chosen in pens.items():
        own = eggs[list(chosen)]
        of_cocks[cock] = own.sum()
        of_hens[list(chosen)] = own
        mean = float(expected[cock, list(chosen)] @ own / own.sum())
        inbreeding += mean * float(own.sum())
        made.append(BestPen(cocks[cock], tuple(hens[hen] for hen in chosen), mean))
    contributions = np.concatenate([of_cocks, of_hens]) / (2 * of_hens.sum())
    inbreeding /= float(of_hens.sum())
    kinship = float(contributions @ problem.kinship @ contributions)
    objective = wishes.weight * inbreeding + (1 - wishes.weight) * kinship
    return PensPlan(tuple(made), inbreeding, kinship, objective, 0.0, Proof.BEST_SO_FAR)
