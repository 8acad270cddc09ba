"""The marks chosen, reserve and no as changes of the record: whatever is marked at once is one undo."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from studbook.book.changes import Change, Correct, Enter, Together, Withdraw
from studbook.book.husbandry.choosing_rows import Choice, Verdict
from studbook.book.husbandry.wording import verdict_word
from studbook.book.ids import ChoiceId
from studbook.book.records import BirdId, Snapshot
from studbook.words import _, plural


def marked(
    snapshot: Snapshot,
    birds: Sequence[BirdId],
    verdict: Verdict | None,
    season: int,
    on: date,
    reason: str | None = None,
) -> Change | None:
    """Mark birds for a season, None taking the mark away; None when nothing would change.

    The reason of a bird stays as it is unless another is given.
    """
    changes = _changes(snapshot, birds, verdict, season, on, reason)
    if not changes:
        return None
    if verdict is None:
        text = _("take the mark for {season} off {birds}")
        return Together(changes, text.format(season=season, birds=_those(snapshot, birds)))
    text = _("mark {birds} for {season}: {verdict}")
    title = text.format(birds=_those(snapshot, birds), season=season, verdict=verdict_word(verdict))
    return Together(changes, title)


def reasoned(snapshot: Snapshot, birds: Sequence[BirdId], season: int, reason: str) -> Change | None:
    """Note why; birds without a mark are left alone. None when nothing would change."""
    year = snapshot.husbandry
    held = [year.choice_for(bird, season) for bird in birds]
    before = tuple(choice for choice in held if choice is not None and choice.reason != reason)
    if not before:
        return None
    text = _("note why of {birds} for {season}")
    title = text.format(birds=_those(snapshot, [choice.bird for choice in before]), season=season)
    return Together((Correct(before, tuple(replace(choice, reason=reason) for choice in before)),), title)


def chosen_set(
    snapshot: Snapshot, kept: Sequence[BirdId], others: Iterable[BirdId], season: int, on: date
) -> Change | None:
    """Mark a set as chosen; of the `others` those that were chosen become reserve."""
    year = snapshot.husbandry
    left = [
        bird
        for bird in others
        if (choice := year.choice_for(bird, season)) is not None
        and choice.verdict is Verdict.CHOSEN
        and bird not in kept
    ]
    changes = (
        *_changes(snapshot, kept, Verdict.CHOSEN, season, on, None),
        *_changes(snapshot, left, Verdict.RESERVE, season, on, None),
    )
    if not changes:
        return None
    text = _("choose {birds} for {season}")
    return Together(changes, text.format(birds=_those(snapshot, kept), season=season))


def _changes(
    snapshot: Snapshot,
    birds: Sequence[BirdId],
    verdict: Verdict | None,
    season: int,
    on: date,
    reason: str | None,
) -> tuple[Change, ...]:
    year = snapshot.husbandry
    held = {bird: year.choice_for(bird, season) for bird in birds}
    known = [choice for choice in held.values() if choice is not None]
    if verdict is None:
        return (Withdraw(tuple(known)),) if known else ()
    entered: list[Any] = [
        Choice(ChoiceId(""), bird, season, verdict, on, reason or "")
        for bird, choice in held.items()
        if choice is None
    ]
    corrected = [
        (choice, replace(choice, verdict=verdict, on=on, reason=choice.reason if reason is None else reason))
        for choice in known
        if choice.verdict is not verdict or (reason is not None and choice.reason != reason)
    ]
    changes: list[Change] = []
    if entered:
        changes.append(Enter(tuple(entered)))
    if corrected:
        before, after = zip(*corrected, strict=True)
        changes.append(Correct(before, after))
    return tuple(changes)


def _those(snapshot: Snapshot, birds: Sequence[BirdId]) -> str:
    if len(birds) == 1:
        return snapshot.bird(birds[0]).called
    return plural("{count} bird", "{count} birds", len(birds)).format(count=len(birds))
