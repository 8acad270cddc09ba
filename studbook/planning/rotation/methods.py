"""How the expectation of a rotation is found, and what the scheme is for."""

from studbook.planning.bloodlines.methods import Method
from studbook.planning.rotation.history import RotationHistory
from studbook.words import _


def expectation_method(history: RotationHistory) -> Method:
    """How the mean F of a rotation is expected."""
    hens = _(", ").join(str(number) for number in history.hens)
    text = _(
        "By the tabular method, generation by generation: each pen has one cock and its hens ({hens} in these pens "
        "when it began), every hen leaves one daughter in her pen, and the first hen's son moves one pen on. One curve "
        "begins with unrelated birds, the other with the birds that were in the pens, as related as they were, by the "
        "cautious figures. Each season is taken as one generation, which is the fastest it can go: where hens are "
        "kept longer, F rises more slowly. Fewer families of unlike size, or a cock out of line, raise it."
    )
    return Method(
        _("What to expect of a rotation"),
        text.format(hens=hens),
        (
            "Emik & Terrill 1949, Journal of Heredity 40:51–55",
            "Kimura & Crow 1963, Genetical Research 4:399–415",
        ),
    )


def came_method() -> Method:
    """How the F of what came is found."""
    return Method(
        _("F of the pullets"),
        _(
            "F of a bird is the kinship of its parents. An unknown parent of a home-hatched bird counts as the mean of "
            "the birds that could have been it. A bird is of the pen its egg was gathered in; where no eggs are "
            "written down, of the pen its dam was in when the egg must have been laid."
        ),
        (
            "Wright 1922, American Naturalist 56:330–338",
            "Sargolzaei, Iwaisaki & Colleau 2005, Journal of Animal Breeding and Genetics 122:325–331",
        ),
    )
