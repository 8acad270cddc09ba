"""The report on the bloodlines of a flock, made from a snapshot."""

from collections.abc import Callable
from datetime import date

from studbook.book.records import Snapshot
from studbook.book.relatedness import Unknown
from studbook.planning.bloodlines.report import BloodlinesReport, FounderKey, FounderView

REPLICATES = 10_000
SEED = 20_170_409


def bloodlines_report(
    snapshot: Snapshot,
    today: date,
    *,
    unknown: Unknown = Unknown.FLOCK,
    species: str | None = None,
    living: bool = True,
    replicates: int = REPLICATES,
    seed: int = SEED,
    progress: Callable[[float], None] | None = None,
) -> BloodlinesReport:
    """The bloodlines of the living birds of a species (None: of all), or with `living` False of all birds.

    `progress` hears the share done; an exception it raises ends the work.
    """
    raise NotImplementedError


def founder_view(
    snapshot: Snapshot, key: FounderKey, *, unknown: Unknown = Unknown.FLOCK, species: str | None = None
) -> FounderView:
    """One founder followed through the flock, all its carriers included."""
    raise NotImplementedError
