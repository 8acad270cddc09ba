"""The published method behind each figure of a plan of pens."""

from enum import StrEnum

from studbook.planning.bloodlines.methods import Method
from studbook.words import _


class Figure(StrEnum):
    """The figures of a plan that are explained."""

    INBREEDING = "inbreeding"
    KINSHIP = "kinship"
    GENE_DIVERSITY = "gene diversity"
    OBJECTIVE = "objective"
    PROOF = "proof"


def method(figure: Figure) -> Method:
    """The method of a figure, in the user's language."""
    match figure:
        case Figure.INBREEDING:
            return Method(
                _("Mean F of the chicks"),
                _(
                    "F of a chick is the kinship of its parents. Every hen counts by the eggs wanted of her; "
                    "with two cocks in a pen each counts as half."
                ),
                ("Wright 1922, American Naturalist 56:330–338",),
            )
        case Figure.KINSHIP:
            return Method(
                _("Kinship of the next generation, c′Kc"),
                _(
                    "How related two chicks taken at random would be. c is the share of each parent in their genes: "
                    "half from the cocks and half from the hens, each hen by the eggs wanted of her; K is the "
                    "kinship of the parents, each with itself included. It is what F rises to when the chicks "
                    "are mated at random one day. Birds that stay on are not in it."
                ),
                (
                    "Ballou & Lacy 1995, in Population Management for Survival and Recovery, 76–111",
                    "Meuwissen 1997, Journal of Animal Science 75:934–940",
                ),
            )
        case Figure.GENE_DIVERSITY:
            return Method(
                _("Gene diversity of the next generation"),
                _(
                    "1 less the kinship of the next generation: what of the founders' variety the chicks would "
                    "hold together."
                ),
                ("Ballou & Lacy 1995, in Population Management for Survival and Recovery, 76–111",),
            )
        case Figure.OBJECTIVE:
            return Method(
                _("What is made as small as can be"),
                _(
                    "The mean F of the chicks times the weight, and the kinship of the next generation times the "
                    "rest. With all the weight on F close mating is avoided this year; with none the lines are "
                    "kept for the years after, even if a few chicks are closer bred now."
                ),
                ("Ballou & Lacy 1995, in Population Management for Survival and Recovery, 76–111",),
            )
        case Figure.PROOF:
            return Method(
                _("Proof"),
                _(
                    "The pens are found as a mixed-integer programme. The solver keeps a lower bound that no plan "
                    "within the wishes can beat; when the plan reaches it, it is proven best, and while it does "
                    "not, the difference is said."
                ),
                ("Huangfu & Hall 2018, Mathematical Programming Computation 10:119–142 (HiGHS)",),
            )
