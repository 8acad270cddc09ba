"""The published method behind each figure of who may breed."""

from enum import StrEnum

from studbook.planning.bloodlines.methods import Figure, Method, method
from studbook.words import _


class Asked(StrEnum):
    """The figures that are explained."""

    KINSHIP = "kinship"
    INBREEDING = "inbreeding"
    AT_RISK = "at risk"
    TRIAL = "trial"
    HATCHED = "hatched"
    DIVERSITY = "diversity"
    EXPECTED = "expected"
    NEXT_KINSHIP = "next kinship"
    BEST_SET = "best set"


_BALLOU = "Ballou & Lacy 1995, in Population Management for Survival and Recovery, 76–111"
_MEUWISSEN = "Meuwissen 1997, Journal of Animal Science 75:934–940"
_CLOPPER = "Clopper & Pearson 1934, Biometrika 26:404–413"


def breeder_method(asked: Asked) -> Method:
    """The method of a figure, in the user's language."""
    match asked:
        case Asked.KINSHIP:
            return method(Figure.RANKING)
        case Asked.INBREEDING:
            return method(Figure.INBREEDING)
        case Asked.AT_RISK:
            dropped = method(Figure.RETENTION)
            return Method(
                _("Founders at risk"),
                _(
                    "A founder is at risk when no more than three living birds carry it, or when at more than half of "
                    "the places of the genome nothing of it is left; both limits are this program's own. What is left "
                    "is found by gene drop: {method}"
                ).format(method=dropped.text),
                dropped.sources,
            )
        case Asked.TRIAL:
            return Method(
                _("Fertility with its interval"),
                _(
                    "Fertile eggs of those seen at candling, of the last trial of which eggs were seen. The exact 95 % "
                    "interval holds the true share in at least 95 of 100 such trials."
                ),
                (_CLOPPER,),
            )
        case Asked.HATCHED:
            return Method(
                _("Hatched of set"),
                _(
                    "Chicks hatched of eggs set, over all sittings in which every egg has met its end, and only of "
                    "eggs that were certainly of this cock or this hen. The interval is exact; it takes the eggs for "
                    "independent, which those of one sitting are not quite."
                ),
                (_CLOPPER,),
            )
        case Asked.DIVERSITY:
            return Method(
                _("Gene diversity without a bird"),
                _(
                    "Gene diversity is 1 less the mean kinship over all pairs of the living, each bird with itself "
                    "included. Here it is counted again without the bird. It can rise when a bird goes whose kin "
                    "carry the same."
                ),
                (_BALLOU,),
            )
        case Asked.EXPECTED:
            return Method(
                _("F of the next generation"),
                _(
                    "F of a chick is the kinship of its parents; the mean over every cock with every hen that may "
                    "breed is what chicks have when they are paired at random, each cock and each hen alike. Birds "
                    "marked “no” are left out."
                ),
                ("Wright 1922, American Naturalist 56:330–338", _BALLOU),
            )
        case Asked.NEXT_KINSHIP:
            return Method(
                _("Mean kinship of the next generation, c′Kc"),
                _(
                    "K is the table of kinships of the birds kept, c what each gives to the next generation: "
                    "1/(2N) for each of N cocks, 1/(2M) for each of M hens. The lower, the more of the old lines is "
                    "kept; what is low here stays low in the generations after, while F alone looks one step ahead."
                ),
                (_MEUWISSEN, _BALLOU),
            )
        case Asked.BEST_SET:
            return Method(
                _("The best set, proven"),
                _(
                    "Of all ways to keep so many cocks and hens, the one with the lowest c′Kc. The choice is split "
                    "again and again into “with this bird” and “without it”; parts that hold nothing better, as a "
                    "bound shows, are put aside. Where nothing is left, the set is proven the best; else the bound "
                    "says how much better another could be at most. Such a set looks at kinship alone: health, "
                    "temper, type and age are for you to weigh."
                ),
                (
                    _MEUWISSEN,
                    "Billionnet & Elloumi 2007, Mathematical Programming 109:55–68",
                ),
            )
