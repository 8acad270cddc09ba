"""The published method behind each figure."""

from dataclasses import dataclass
from enum import StrEnum

from studbook.words import _


class Figure(StrEnum):
    """The figures of a report that are explained."""

    INBREEDING = "inbreeding"
    TREND = "trend"
    FOUNDERS = "founders"
    FOUNDER_EQUIVALENTS = "founder equivalents"
    ANCESTOR_EQUIVALENTS = "ancestor equivalents"
    MEAN_KINSHIP = "mean kinship"
    GENE_DIVERSITY = "gene diversity"
    FOUNDER_GENOME_EQUIVALENTS = "founder genome equivalents"
    ALLELE_RETENTION_EQUIVALENTS = "allele retention equivalents"
    REALISED_SIZE = "realised size"
    BREEDERS_SIZE = "breeders size"
    GENERATION_INTERVAL = "generation interval"
    COMPLETENESS = "completeness"
    RECENT_INBREEDING = "recent inbreeding"
    RANKING = "ranking"
    RETENTION = "retention"


@dataclass(frozen=True, slots=True)
class Method:
    """How a figure is found: its name, in words, and where it was published."""

    name: str
    text: str
    sources: tuple[str, ...]


_BOICHARD = "Boichard, Maignel & Verrier 1997, Genetics Selection Evolution 29:5–23"
_FAO = "FAO 2013, In vivo conservation of animal genetic resources, Guidelines 14"
_LACY = "Lacy 1989, Zoo Biology 8:111–123"
_BALLOU = "Ballou & Lacy 1995, in Population Management for Survival and Recovery, 76–111"
_COLLEAU = "Colleau 2002, Genetics Selection Evolution 34:409–421"
_MACCLUER = "MacCluer, VandeBerg, Read & Ryder 1986, Zoo Biology 5:147–160"
_MAIGNEL = "Maignel, Boichard & Verrier 1996, Interbull Bulletin 14:49–54"


def method(figure: Figure) -> Method:
    """The method of a figure, in the user's language."""
    match figure:
        case Figure.INBREEDING:
            return Method(
                _("Inbreeding coefficient F"),
                _(
                    "F of a bird is the kinship of its parents. Cautiously counted, an unknown parent of a "
                    "home-hatched bird is the mean of the birds that could have been it; by convention it is "
                    "related to nobody. Shown is the mean of the birds counted."
                ),
                (
                    "Wright 1922, American Naturalist 56:330–338",
                    "Sargolzaei, Iwaisaki & Colleau 2005, Journal of Animal Breeding and Genetics 122:325–331",
                ),
            )
        case Figure.TREND:
            return Method(
                _("Rise of F by hatch year"),
                _(
                    "The slope of ln(1 − F) on the hatch year, over the last ten hatch years of home-hatched "
                    "birds, each year weighted by its birds. The limit of 1 % is one per generation; divided "
                    "by the generation interval it is one per year. The two are never mixed."
                ),
                ("Pérez-Enciso 1995, Journal of Animal Breeding and Genetics 112:327–332", _FAO),
            )
        case Figure.FOUNDERS:
            return Method(
                _("Founder contributions"),
                _(
                    "A bird passes half of its genes on, so what the flock has of each founder is followed up "
                    "the pedigree. Each unknown parent of a home-hatched bird counts as a founder of its own, "
                    "so that contributions add up to 100 %."
                ),
                (_LACY, _BOICHARD),
            )
        case Figure.FOUNDER_EQUIVALENTS:
            return Method(
                _("Effective number of founders, f_e"),
                _("1 divided by the sum of the squared contributions of the founders."),
                (_LACY, _BOICHARD),
            )
        case Figure.ANCESTOR_EQUIVALENTS:
            return Method(
                _("Effective number of ancestors, f_a"),
                _(
                    "Ancestors are picked one by one, each time the one that explains most of what those before "
                    "do not; f_a is 1 divided by the sum of their squared marginal contributions."
                ),
                (_BOICHARD,),
            )
        case Figure.MEAN_KINSHIP:
            return Method(
                _("Mean kinship"),
                _("The mean of the kinship over all pairs of birds, each bird with itself included."),
                (_BALLOU, _COLLEAU),
            )
        case Figure.GENE_DIVERSITY:
            return Method(_("Gene diversity"), _("1 less the mean kinship."), (_BALLOU,))
        case Figure.FOUNDER_GENOME_EQUIVALENTS:
            return Method(
                _("Founder genome equivalents"),
                _(
                    "1 divided by twice the mean kinship, exactly. A figure from counting alleles kept goes by the "
                    "same name elsewhere and differs."
                ),
                ("Lacy 1995, Zoo Biology 14:565–577", _BALLOU),
            )
        case Figure.ALLELE_RETENTION_EQUIVALENTS:
            return Method(
                _("Counting alleles kept"),
                _(
                    "1 divided by the sum over the founders of p²/r: p is the contribution, r the share of the "
                    "founder's two genes still there, found by gene drop. It goes by the name of founder genome "
                    "equivalents elsewhere."
                ),
                (_LACY, _MACCLUER),
            )
        case Figure.REALISED_SIZE:
            return Method(
                _("Realised effective size"),
                _(
                    "From F and the complete generation equivalents t of each bird comes its increase in inbreeding "
                    "per generation, 1 − (1 − F)^(1/(t − 1)); Ne is 1 divided by twice their mean. Counted by "
                    "convention, of birds of which more than the parents is known."
                ),
                (
                    "Gutiérrez, Cervantes & Goyache 2009, Journal of Animal Breeding and Genetics 126:327–332",
                    _FAO,
                ),
            )
        case Figure.BREEDERS_SIZE:
            return Method(
                _("Effective size by the breeders"),
                _(
                    "Ne = 4MFL/(M + F), with M cocks and F hens that breed for the first time in a year and the "
                    "generation interval L in years. It takes the number of chicks of each parent to be a matter "
                    "of chance. A parent in doubt counts by its weight, an unknown one not at all."
                ),
                ("Hill 1972, Theoretical Population Biology 3:278–289", "Wright 1931, Genetics 16:97–159"),
            )
        case Figure.GENERATION_INTERVAL:
            return Method(
                _("Generation interval"),
                _(
                    "The mean age of parents when the chicks hatched that were bred from later: the mean of the "
                    "four paths sire to son, sire to daughter, dam to son and dam to daughter."
                ),
                ("Hill 1974, Animal Production 18:117–139",),
            )
        case Figure.COMPLETENESS:
            return Method(
                _("Complete generation equivalents"),
                _(
                    "Each known ancestor g generations back counts (½)^g: both parents are 1, all grandparents "
                    "with them 2. Placeholders are no knowledge and do not count."
                ),
                (_MAIGNEL,),
            )
        case Figure.RECENT_INBREEDING:
            return Method(
                _("Recent and old inbreeding"),
                _(
                    "F is counted again with every ancestor farther back than three generations taken for an "
                    "unrelated founder: that is the recent part, the rest is old. Counted by convention. The "
                    "cut at three generations is this program's own."
                ),
                ("Wright 1922, American Naturalist 56:330–338",),
            )
        case Figure.RANKING:
            return Method(
                _("Mean kinship of a bird"),
                _(
                    "The mean of its kinship with every living bird, itself included. The third with the lowest "
                    "figures carries what few others carry, the third with the highest is well covered by kin; "
                    "the thirds are this program's own."
                ),
                (_BALLOU, _COLLEAU),
            )
        case Figure.RETENTION:
            return Method(
                _("Gene drop"),
                _(
                    "Each founder gets two genes of its own, which fall through the pedigree by chance, many "
                    "thousand times; what still reaches a living bird is counted."
                ),
                (_MACCLUER,),
            )
