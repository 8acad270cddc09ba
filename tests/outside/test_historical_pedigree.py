"""The Shorthorn bulls Favourite and Comet, nine rows of their pedigree (from memory).

Wright's published 0.192 and 0.471 rest on more ancestors than these; only what these rows give is
asserted.
"""

from studbook.genetics.explanation import explain
from studbook.genetics.inbreeding import inbreeding
from tests.zoo import named_pedigree

BULLS = (
    "YoungStrawberry,DaltonDuke,LadyMaynard; Bolingbroke,Foljambe,YoungStrawberry;"
    "Phoenix,Foljambe,LadyMaynard; Favourite,Bolingbroke,Phoenix;"
    "YoungPhoenix,Favourite,Phoenix; Comet,Favourite,YoungPhoenix"
)


def test_favourite_and_comet():
    pedigree, rows = named_pedigree(BULLS)
    found = inbreeding(pedigree)
    assert found[rows["Favourite"]] == 3 / 16
    assert found[rows["YoungPhoenix"]] == 11 / 32
    assert found[rows["Comet"]] == 15 / 32


def test_comet_explained():
    """His parents meet in his sire Favourite first of all, (1 + 3/16) / 4, and in Phoenix and beyond."""
    pedigree, rows = named_pedigree(BULLS)
    found = explain(pedigree, rows["Favourite"], rows["YoungPhoenix"])
    assert found.kinship == 15 / 32
    assert found.ancestors[0].row == rows["Favourite"]
    assert found.ancestors[0].contribution == (1 + 3 / 16) / 4
