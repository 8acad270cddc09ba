"""The last fertility trial of a bird in one line, for whoever puts birds together."""

from studbook.book.ids import BirdId
from studbook.book.records import Snapshot
from studbook.planning.care.telling import last_line
from studbook.planning.care.trial_plan import Written
from studbook.planning.care.trials import Trials


def fertility_line(snapshot: Snapshot, bird: BirdId, written: Written = str) -> str | None:
    """The last result of a cock's trials with its exact interval; None when none of his trial eggs was seen.

    `written` gives a day as it is to be read.
    """
    return last_line(Trials(snapshot), snapshot, bird, written)
