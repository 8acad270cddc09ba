"""Birds sold or given away that may still live and carry what the flock is losing."""

from collections.abc import Callable
from datetime import date

from studbook.book.records import Snapshot
from studbook.planning.bloodlines.measuring import SEED
from studbook.planning.bloodlines.report import BloodlinesReport, Call

REPLICATES = 2_000


def calling_home(
    snapshot: Snapshot,
    report: BloodlinesReport,
    today: date,
    *,
    replicates: int = REPLICATES,
    seed: int = SEED,
    progress: Callable[[float], None] | None = None,
) -> tuple[Call, ...]:
    """For each founder at risk or lost, the birds elsewhere that carry it and what borrowing one would do.

    `report` is one of the living flock. `progress` hears the share done; an exception it raises ends
    the work.
    """
    raise NotImplementedError
