"""The worked examples inside the docstrings of the numbers."""

import doctest
import importlib

import pytest


@pytest.mark.parametrize(
    "module",
    ["pedigree", "inbreeding", "kinship", "completeness", "gene_drop", "random_mating", "expected_breeding"],
)
def test_worked_examples(module):
    found = doctest.testmod(importlib.import_module(f"studbook.genetics.{module}"))
    assert found.attempted > 0
    assert found.failed == 0
