"""Z-linked kinship: the published X-linked example with the sexes changed, and the usual relatives."""

import numpy as np
import pytest

from studbook.genetics.inbreeding import inbreeding
from studbook.genetics.sex_linked import z_linked
from tests.zoo import named_pedigree

# Fernando & Grossman 1990, Theoretical and Applied Genetics 80:75-80, table 1; there the odd ones
# are males, XY. Here the odd ones are hens, ZW, so sires and dams change places.
SAMPLE = "3,-,1; 4,2,1; 5,4,3; 6,4,1; 7,6,5; 8,6,5"
# the recursion of that paper by hand, upper triangle
SAMPLE_KINSHIP = [
    [1, 0, 0, 1 / 2, 1 / 2, 3 / 4, 3 / 4, 5 / 8],
    [1 / 2, 0, 1 / 4, 1 / 4, 1 / 8, 1 / 8, 3 / 16],
    [1, 0, 0, 0, 0, 0],
    [1 / 2, 1 / 2, 1 / 2, 1 / 2, 1 / 2],
    [1, 1 / 2, 1 / 2, 3 / 4],
    [3 / 4, 3 / 4, 5 / 8],
    [1, 5 / 8],
    [3 / 4],
]


def z_of(text: str, hens: str):
    pedigree, rows = named_pedigree(text)
    hen = np.zeros(len(pedigree), dtype=bool)
    hen[[rows[name] for name in hens.split()]] = True
    return z_linked(pedigree, hen), rows, pedigree


def test_the_sample_pedigree():
    found, rows, pedigree = z_of(SAMPLE, "1 3 5 7")
    order = [rows[str(number)] for number in range(1, 9)]
    kinship = found.kinship(order, order)
    for row, expected in enumerate(SAMPLE_KINSHIP):
        np.testing.assert_allclose(kinship[row, row:], expected, rtol=0, atol=1e-15)
    cocks = dict(zip((2, 4, 6, 8), found.inbreeding[[rows[name] for name in "2468"]], strict=True))
    assert cocks == {2: 0, 4: 0, 6: 1 / 2, 8: 1 / 2}
    assert np.isnan(found.inbreeding[[rows[name] for name in "1357"]]).all()
    # of the other chromosomes the same two cocks have less
    np.testing.assert_allclose(inbreeding(pedigree)[[rows["6"], rows["8"]]], [1 / 4, 9 / 32])


@pytest.mark.parametrize(
    ("pair", "expected"),
    [
        ("sire son", 1 / 4),
        ("sire daughter", 1 / 2),
        ("dam son", 1 / 2),
        ("dam daughter", 0),
        ("son brother", 3 / 8),
        ("daughter sister", 1 / 2),
        ("son daughter", 1 / 4),
        ("son sire_brother", 1 / 8),
        ("daughter sire_sister", 1 / 2),
        ("son sire_sister", 1 / 4),
        ("son dam_brother", 1 / 4),
        ("daughter dam_sister", 0),
        ("son dam_sister", 0),
        ("daughter dam_brother", 0),
    ],
)
def test_z_kinship_of_relatives(pair, expected):
    """From the inheritance of Z (Fernando & Grossman 1990); f of a cock and a hen is the F of their sons."""
    found, rows, _ = z_of(
        "son,sire,dam; brother,sire,dam; daughter,sire,dam; sister,sire,dam; "
        "sire_brother,sire,hen; sire_sister,sire,hen; dam_brother,cock,dam; dam_sister,cock,dam",
        "dam hen daughter sister sire_sister dam_sister",
    )
    first, second = (rows[name] for name in pair.split())
    assert found.kinship([first], [second])[0, 0] == expected


@pytest.mark.parametrize(
    ("mating", "expected"),
    [
        ("sire,daughter", 1 / 2),
        ("son,dam", 1 / 2),
        ("son,daughter", 1 / 4),
        ("son,sire_sister", 1 / 4),
        ("son,dam_sister", 0),
    ],
)
def test_z_inbreeding_of_a_son(mating, expected):
    """From the inheritance of Z: sire × daughter, son × dam, full sibs, half sibs by the sire, by the dam."""
    found, rows, _ = z_of(
        f"son,sire,dam; daughter,sire,dam; sire_sister,sire,hen; dam_sister,cock,dam; chick,{mating}",
        "dam hen daughter sire_sister dam_sister",
    )
    assert found.inbreeding[rows["chick"]] == expected
