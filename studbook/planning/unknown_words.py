"""What unknown parents hide in sentences: both ends by name, what is likely, and what to do about it."""

from studbook.planning.bloodlines.methods import Method
from studbook.planning.bloodlines.report import Half
from studbook.planning.limits import is_over
from studbook.planning.sentences import BirdPart, Sentence, SharePart, compose
from studbook.planning.unknown_parents import HiddenParent, LeftOut
from studbook.words import _, plural


def pair_words(hidden: HiddenParent, limit: float) -> tuple[Sentence, ...]:
    """What one unknown parent hides of F of the chicks, and what to do about it."""
    if len(hidden.candidates) == 1:
        told = _sentence(
            hidden,
            _(
                "Only {worst} can have been the sire of {child}: F of the chicks is then {most}, not {recorded}."
            ),
            _(
                "Only {worst} can have been the dam of {child}: F of the chicks is then {most}, not {recorded}."
            ),
        )
        return (told, (_("Enter it as the parent if you are sure."),))
    told = _sentence(
        hidden,
        _(
            "Nobody wrote down the sire of {child}: F of the chicks is {least} if it was {best}, {most} if it was "
            "{worst}, {likely} on the mean of the {count} that could have been."
        ),
        _(
            "Nobody wrote down the dam of {child}: F of the chicks is {least} if it was {best}, {most} if it was "
            "{worst}, {likely} on the mean of the {count} that could have been."
        ),
    )
    if not is_over(hidden.worst.share, limit):
        advice = _("That is within the limit whoever it was.")
    elif is_over(hidden.best.share, limit):
        advice = _("That is over the limit whoever it was: choose another pair.")
    else:
        advice = _("That decides the pair: find out who it was, or choose another pair.")
    return (told, (advice,))


def standing_range_words(hidden: HiddenParent) -> tuple[Sentence, ...]:
    """What one unknown parent hides of a bird's mean kinship."""
    if len(hidden.candidates) == 1:
        told = _sentence(
            hidden,
            _("Only {worst} can have been the sire of {child}: mean kinship is then {most}, not {recorded}."),
            _("Only {worst} can have been the dam of {child}: mean kinship is then {most}, not {recorded}."),
        )
        return (told, (_("Enter it as the parent if you are sure."),))
    return (
        _sentence(
            hidden,
            _(
                "Mean kinship hangs on who the sire of {child} was: {least} if {best}, {most} if {worst}, {likely} on "
                "the mean of the {count} that could have been; {recorded} takes him for a stranger."
            ),
            _(
                "Mean kinship hangs on who the dam of {child} was: {least} if {best}, {most} if {worst}, {likely} on "
                "the mean of the {count} that could have been; {recorded} takes her for a stranger."
            ),
        ),
    )


def left_out_words(left_out: LeftOut) -> tuple[Sentence, ...]:
    """That it is not worked out what some unknown parents hide, why, and what to go by instead."""
    if left_out is LeftOut.ANCESTORS:
        told = _(
            "Parents are unknown further back, but so many ancestors are known that it is not worked out here what "
            "each of them hides."
        )
    else:
        told = _(
            "An unknown parent further back could have been so many birds that it is not worked out here what it "
            "hides."
        )
    return (
        (told,),
        (_("Go by the cautious figure: it takes each for one of the birds that could have been it."),),
    )


def candidates_link(hidden: tuple[HiddenParent, ...]) -> str:
    """What opens the list of the candidates: "the 7 birds it could have been"."""
    count = sum(len(each.candidates) for each in hidden)
    text = plural("the {n} bird it could have been", "the {n} birds it could have been", count)
    return text.format(n=count)


def candidate_sentences(hidden: HiddenParent) -> tuple[Sentence, ...]:
    """A heading, then each bird that could have been the parent with the figure if it was."""
    head = _sentence(
        hidden,
        _("If the sire of {child} was, from the lowest figure to the highest:"),
        _("If the dam of {child} was, from the lowest figure to the highest:"),
    )
    lines = tuple(
        compose(
            _("{bird}: {share}"), bird=BirdPart(possible.bird), share=SharePart(possible.share, decimals=2)
        )
        for possible in hidden.candidates
    )
    return (head, *lines)


def hidden_method() -> Method:
    """How it is worked out what an unknown parent hides."""
    return Method(
        _("What an unknown parent hides"),
        _(
            "Each bird of the sex that was old enough and in the flock at the time is put in the place of the unknown "
            "parent in turn, and the kinship is counted anew, exactly. All are taken for alike likely. Other unknown "
            "parents stay unrelated, so that only one thing changes at a time."
        ),
        (
            "Wright 1922, American Naturalist 56:330–338",
            "Colleau 2002, Genetics Selection Evolution 34:409–421",
        ),
    )


def _sentence(hidden: HiddenParent, of_sire: str, of_dam: str) -> Sentence:
    return compose(
        of_sire if hidden.half is Half.SIRE else of_dam,
        child=BirdPart(hidden.child),
        best=BirdPart(hidden.best.bird),
        worst=BirdPart(hidden.worst.bird),
        least=SharePart(hidden.best.share),
        most=SharePart(hidden.worst.share),
        likely=SharePart(hidden.likely),
        recorded=SharePart(hidden.recorded),
        count=str(len(hidden.candidates)),
    )
