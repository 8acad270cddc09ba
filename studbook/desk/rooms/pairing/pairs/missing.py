"""What the room says while a cock or a hen is missing."""

from collections.abc import Callable

from studbook.desk.rooms.pairing.pairs.chooser import Chooser
from studbook.desk.widgets.empty_state import EmptyState
from studbook.words import _


def missing(
    cocks: Chooser, hens: Chooser, choose: Callable[[], None], go_to_birds: Callable[[], None]
) -> EmptyState:
    """Who is missing, and a way on: `choose` opens the choosers."""
    choosing = (_("Choose birds"), choose)
    if not cocks.count and not hens.count:
        return EmptyState(
            "heart-half",
            _("Nobody to pair yet"),
            _("Here each hen will be shown the cocks that suit her best, and why. Add grown birds first."),
            (_("Go to the birds"), go_to_birds),
            choosing,
        )
    if not cocks.chosen and not hens.chosen:
        heading = _("Nobody is chosen")
    elif cocks.chosen:
        heading = _("No hen is chosen") if hens.count else _("No grown hen in the flock")
    else:
        heading = _("No cock is chosen") if cocks.count else _("No grown cock in the flock")
    text = _(
        "A pairing takes at least one cock and one hen. A bird that is lent, sold or young can be added too."
    )
    return EmptyState("heart-half", heading, text, choosing)
