"""The figures a matrix of pairs can show, each with how it is found and where that was published."""

from enum import StrEnum

from studbook.planning.bloodlines.methods import Method
from studbook.planning.bloodlines.report import RECENT_GENERATIONS
from studbook.words import _, plural

GENERATIONS = RECENT_GENERATIONS
"""How many generations back inbreeding counts as recent, unless the keeper says otherwise."""

_WRIGHT = "Wright 1922, American Naturalist 56:330–338"


class Shown(StrEnum):
    """What a matrix of pairs shows."""

    EXPECTED = "expected"
    DIVERSITY = "diversity"
    RECENT = "recent"
    OLD = "old"

    @property
    def is_better_high(self) -> bool:
        """True where more is better: gene diversity, not inbreeding."""
        return self is Shown.DIVERSITY

    @property
    def is_by_convention(self) -> bool:
        """True where a generation can be counted only in the pedigree as it is known."""
        return self in (Shown.RECENT, Shown.OLD)


def shown_word(shown: Shown) -> str:
    """What a figure is called in a choice."""
    return {
        Shown.EXPECTED: _("F of the chicks"),
        Shown.DIVERSITY: _("effect on gene diversity"),
        Shown.RECENT: _("recent F of the chicks"),
        Shown.OLD: _("old F of the chicks"),
    }[shown]


def pair_method(shown: Shown, generations: int = GENERATIONS) -> Method:
    """The method of a figure, in the user's language."""
    match shown:
        case Shown.EXPECTED:
            return Method(
                _("F of the chicks"),
                _(
                    "F of a chick is the kinship of its parents: the chance that both its genes at one place come "
                    "from one gene of an ancestor they share. Full sibs or parent and chick give 25 %, half sibs "
                    "12.5 %, first cousins 6.25 %, and what their ancestors have in common comes on top."
                ),
                (_WRIGHT, "Colleau 2002, Genetics Selection Evolution 34:409–421"),
            )
        case Shown.DIVERSITY:
            return Method(
                _("Effect on gene diversity"),
                _(
                    "Gene diversity of the flock is 1 less the mean kinship over all pairs of its living birds, each "
                    "with itself included. Shown is by how much it changes when one chick of the pair is kept and "
                    "everybody else stays: above zero the chick brings what is rare in the flock, below zero more of "
                    "what there is plenty of. In hundredths of 1; the fewer birds there are, the more one chick counts."
                ),
                (
                    "Ballou & Lacy 1995, in Population Management for Survival and Recovery, 76–111",
                    _("kinship of the chick with a bird: the mean of its parents’ (Falconer & Mackay 1996)"),
                ),
            )
        case Shown.RECENT:
            text = plural(
                "F is counted again with every ancestor farther back than {count} generation from the chicks taken "
                "for an unrelated founder: that is the recent part, thought to hurt most.",
                "F is counted again with every ancestor farther back than {count} generations from the chicks taken "
                "for an unrelated founder: that is the recent part, thought to hurt most.",
                generations,
            )
            return Method(_("Recent F"), " ".join([text.format(count=generations), _cut()]), (_WRIGHT,))
        case Shown.OLD:
            text = plural(
                "What of F goes back to ancestors farther than {count} generation from the chicks: F less its recent "
                "part. Many generations of selection have looked at it already.",
                "What of F goes back to ancestors farther than {count} generations from the chicks: F less its recent "
                "part. Many generations of selection have looked at it already.",
                generations,
            )
            return Method(_("Old F"), " ".join([text.format(count=generations), _cut()]), (_WRIGHT,))


def _cut() -> str:
    return _("Counted by convention. Where recent ends is this program’s own cut, and yours to set.")
