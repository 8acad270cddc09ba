"""What goes with a fertility trial when its days or hens change: planned moves, the review of the cock's time apart."""

from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from studbook.book.changes import Change, Correct, Enter, Together, Withdraw
from studbook.book.husbandry.rows import Husbandry, Move, Trial, TrialHen
from studbook.book.ids import BirdId, MoveId, TrialHenId
from studbook.book.records import Snapshot
from studbook.season.practice import ApartReason
from studbook.words import _


@dataclass
class _Rows:
    """Rows before and after, rows to enter and rows to take out."""

    before: list[Any] = field(default_factory=list)
    after: list[Any] = field(default_factory=list)
    new: list[Any] = field(default_factory=list)
    gone: list[Any] = field(default_factory=list)

    def correct(self, before: Any, after: Any) -> None:
        """Note a correction, when there is one."""
        if before != after:
            self.before.append(before)
            self.after.append(after)


def changed_trial(
    snapshot: Snapshot, before: Trial, after: Trial, hens: tuple[BirdId, ...], today: date
) -> Change | None:
    """The change that gives a trial other days, aims or hens; None when all is as it was.

    Moves planned for its first and its last day, and the day on which its cock's time apart is looked at again, go with
    the days they were planned for. Stays are left alone: they tell where the birds were.
    """
    year = snapshot.husbandry
    rows = _Rows()
    rows.correct(before, after)
    held = {row.hen: row for row in year.trial_hens.values() if row.trial == before.id}
    leaving = {hen for hen in held if hen not in hens}
    joining = [hen for hen in hens if hen not in held]
    rows.gone += [held[hen] for hen in leaving]
    rows.new += [TrialHen(TrialHenId(""), before.id, hen) for hen in joining]
    ways_in, ways_home = planned_moves(year, before)
    for move in ways_in:
        if move.bird in leaving:
            rows.gone.append(move)
        else:
            rows.correct(move, replace(move, on=after.begun))
    if after.begun > today and before.pen is not None:
        rows.new += [Move(MoveId(""), hen, before.pen, after.begun) for hen in joining]
    for move in ways_home:
        if move.bird in leaving or after.ends is None:
            rows.gone.append(move)
        else:
            rows.correct(move, replace(move, on=after.ends))
    for apart in year.apart_of.get(before.cock, ()):
        is_for_it = apart.until is None and apart.reason is ApartReason.TRIAL
        if is_for_it and apart.review is not None and apart.review == before.ends:
            rows.correct(apart, replace(apart, review=after.ends))
    steps: list[Change] = []
    if rows.before:
        steps.append(Correct(tuple(rows.before), tuple(rows.after)))
    if rows.new:
        steps.append(Enter(tuple(rows.new)))
    if rows.gone:
        steps.append(Withdraw(tuple(rows.gone)))
    title = _("change the fertility trial of {cock}").format(cock=snapshot.bird(before.cock).called)
    return Together(tuple(steps), title) if steps else None


def withdrawn_trial(snapshot: Snapshot, trial: Trial) -> Change:
    """The change that takes a trial out of the book with its hens and the moves planned for it."""
    year = snapshot.husbandry
    hens = tuple(row for row in year.trial_hens.values() if row.trial == trial.id)
    ways_in, ways_home = planned_moves(year, trial)
    title = _("take out the fertility trial of {cock}").format(cock=snapshot.bird(trial.cock).called)
    return Together((Withdraw((*ways_in, *ways_home, *hens, trial)),), title)


def planned_moves(year: Husbandry, trial: Trial) -> tuple[tuple[Move, ...], tuple[Move, ...]]:
    """The planned moves into the pen of a trial on its first day, and those of its hens out of it on its last."""
    hens = year.hens_of.get(trial.id, ())
    moves = year.moves.values()
    ways_in = tuple(
        move
        for move in moves
        if move.bird in (trial.cock, *hens) and move.on == trial.begun and move.pen == trial.pen
    )
    ways_home = tuple(
        move for move in moves if move.bird in hens and move.on == trial.ends and move.pen != trial.pen
    )
    return ways_in, ways_home
