"""How each figure of the years ahead is found, and where that was published."""

from enum import StrEnum

from studbook.planning.bloodlines.methods import Method
from studbook.words import _

_WRIGHT = "Wright 1931, Genetics 16:97–159"
_CROW = "Crow & Kimura 1970, An Introduction to Population Genetics Theory"
_TABULAR = "Emik & Terrill 1949, Journal of Heredity 40:51–55"


class Ahead(StrEnum):
    """A figure of the years ahead."""

    INBREEDING = "inbreeding"
    DIVERSITY = "diversity"
    FOUNDERS = "founders"
    KEEPING = "keeping"
    RUNS = "runs"
    EXACT = "exact"
    BUYING = "buying"


def ahead_word(figure: Ahead) -> str:
    """What a figure is called in a choice."""
    return {
        Ahead.INBREEDING: _("mean F of the chicks"),
        Ahead.DIVERSITY: _("gene diversity"),
        Ahead.FOUNDERS: _("founders kept"),
        Ahead.KEEPING: _("who is kept"),
        Ahead.RUNS: _("runs and bands"),
        Ahead.EXACT: _("the exact expectation"),
        Ahead.BUYING: _("a bought cock"),
    }[figure]


def ahead_method(figure: Ahead) -> Method:
    """The method of a figure, in the user's language."""
    match figure:
        case Ahead.INBREEDING:
            return Method(
                _("Mean F of the chicks"),
                _(
                    "F of a chick is the kinship of its parents. In every run each hen is put to a cock, and the mean "
                    "is over the hens, each counting alike. The kinship of the next year's breeders follows from that "
                    "of this year's by the tabular method, exactly for the pedigree the run has drawn: full sibs are "
                    "reckoned as a family, so no chick need be written down."
                ),
                ("Wright 1922, American Naturalist 56:330–338", _TABULAR),
            )
        case Ahead.DIVERSITY:
            return Method(
                _("Gene diversity"),
                _(
                    "1 less the mean kinship over all pairs of the breeders chosen after each year, each bird with "
                    "itself included. The figure of today is that of the birds that may breed next season."
                ),
                ("Ballou & Lacy 1995, in Population Management for Survival and Recovery, 76–111",),
            )
        case Ahead.FOUNDERS:
            return Method(
                _("Founders kept"),
                _(
                    "Genes of the founders are dropped along with each run, at sixteen places of the genome: a founder "
                    "is kept at a place if one of the breeders still carries a gene of it there. Shown is the share "
                    "kept of the founders that today's birds carry. Bought cocks are founders too, but not counted "
                    "here, and neither are unknown parents."
                ),
                ("MacCluer, VandeBerg, Read & Ryder 1986, Zoo Biology 5:147–160",),
            )
        case Ahead.KEEPING:
            return Method(
                _("Who is kept"),
                _(
                    "By chance: every hen is as likely to be the dam of a young bird kept. Least related: one after "
                    "the other, the family is taken that adds least to the mean kinship of the next generation, as "
                    "the room Pairing advises. Founders even: the same, with the evenness of the founders' shares "
                    "counted beside kinship. What is chosen rests on the record: where sires are doubtful the choice "
                    "is made by the diluted kinship, while the true kinship goes on."
                ),
                ("Ballou & Lacy 1995, in Population Management for Survival and Recovery, 76–111",),
            )
        case Ahead.RUNS:
            return Method(
                _("Runs and bands"),
                _(
                    "The flock is bred on many times over, chance being drawn anew each time. The line is the mean; "
                    "nine of ten runs lie within the band, one in twenty below and one in twenty above. The same seed "
                    "gives the same runs. Chicks are shared out among the hens by chance, half are cockerels, and "
                    "those kept breed from the year after their hatch. Deaths, barren eggs and sales are not in it."
                ),
                (),
            )
        case Ahead.EXACT:
            return Method(
                _("The exact expectation"),
                _(
                    "The dotted line is what the same numbers of cocks and hens come to on the mean when young birds "
                    "are kept and mated by chance: no simulation but the recursion for two sexes, carried on for "
                    "flocks that keep birds several seasons. A policy that keeps and mates by chance must lie around "
                    "it, which checks the simulation. One that chooses, avoids close matings or rotates should lie "
                    "below it in F: the gap is what the choosing gains."
                ),
                (_WRIGHT, _CROW),
            )
        case Ahead.BUYING:
            return Method(
                _("A bought cock"),
                _(
                    "One cock is let in, before each of the seasons in turn, in the place of one of your own, and the "
                    "flock is bred on under the policy: exactly where it keeps and mates by chance, else as the mean "
                    "of sixty runs. Birds of a yard are related to the flock, and to each other, as the book assumes "
                    "of the origin; an origin of which nothing is assumed counts as unrelated. Best are the years with "
                    "which F passes the limit latest and is then lowest on the mean."
                ),
                ("Legarra, Christensen, Vitezica, Aguilar & Misztal 2015, Genetics 200:455–468",),
            )
