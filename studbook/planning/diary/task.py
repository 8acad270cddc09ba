"""One task of the diary: what is due, until when it makes sense, whom it is about and whether it is done."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from studbook.book.husbandry.rows import Apart, Job, Move, Tick
from studbook.book.ids import BirdId, PenId, SittingId
from studbook.words import _, plural


class Kind(StrEnum):
    """What a task is about, in the order in which the tasks of one day are told."""

    REVIEW = "review"
    LOCKDOWN = "lockdown"
    HATCH = "hatch"
    CANDLING = "candling"
    TRIAL = "trial"
    MOVE = "move"
    STORAGE = "storage"
    RINGS = "rings"
    MARKS = "marks"
    CLEAR = "clear"
    JOB = "job"


class Standing(StrEnum):
    """How a task stands on a day."""

    OVERDUE = "overdue"
    NOW = "now"
    TO_COME = "to come"
    DONE = "done"
    GONE = "gone"  # never done, and of no use any more


@dataclass(frozen=True, slots=True)
class Task:
    """Something due. All days are local calendar days.

    Attributes
    ----------
    key
        Its lasting name: the same for ever, whatever is corrected, so that a tick and a calendar find it again.
    day, until
        The day it is due, and the last day on which doing it is still in time.
    opens
        The first day on which it may happen, where that is before `day`: the window of a hatch.
    gone
        The day from which it is not asked for any more, done or not; None if it is never let go.
    words, hint
        What is to be done, and what to mind.
    row
        The row of the record that is changed when it is done, where a tick is not all.
    ticks
        The marks that say it is done.
    recorded
        True when the record shows that it is done: the hatch is written down.
    """

    key: str
    kind: Kind
    day: date
    until: date
    words: str
    hint: str = ""
    opens: date | None = None
    gone: date | None = None
    birds: tuple[BirdId, ...] = ()
    pen: PenId | None = None
    sitting: SittingId | None = None
    row: Move | Apart | Job | None = None
    ticks: tuple[Tick, ...] = ()
    recorded: bool = False

    @property
    def is_done(self) -> bool:
        """True when the keeper ticked it or the record shows it."""
        return bool(self.ticks) or self.recorded

    @property
    def first_day(self) -> date:
        """The first day on which it may be done or happen."""
        return self.opens or self.day

    def standing(self, today: date) -> Standing:
        """How it stands on a day."""
        if self.is_done:
            return Standing.DONE
        if self.gone is not None and self.gone <= today:
            return Standing.GONE
        if today < self.first_day:
            return Standing.TO_COME
        return Standing.NOW if today <= self.until else Standing.OVERDUE

    def days_late(self, today: date) -> int:
        """How many days the last day in time is past; 0 when it is not."""
        return max(0, (today - self.until).days)


def kind_word(kind: Kind) -> str:
    """The word for what a task is about."""
    return {
        Kind.REVIEW: _("apart"),
        Kind.LOCKDOWN: _("lockdown"),
        Kind.HATCH: _("hatch"),
        Kind.CANDLING: _("candling"),
        Kind.TRIAL: _("fertility trial"),
        Kind.MOVE: _("move"),
        Kind.STORAGE: _("stored eggs"),
        Kind.RINGS: _("rings"),
        Kind.MARKS: _("marks"),
        Kind.CLEAR: _("clear date"),
        Kind.JOB: _("own job"),
    }[kind]


def late_text(days: int) -> str:
    """How long a task is overdue, in words."""
    return plural("{count} day overdue", "{count} days overdue", days).format(count=days)
