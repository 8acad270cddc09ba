"""The columns of the page Outcome."""

from collections.abc import Callable

from studbook.desk.tables import Column
from studbook.desk.wording import number_text
from studbook.planning.eggs.outcome import OutcomeRow
from studbook.planning.eggs.telling import share_text, share_words
from studbook.season.binomial import Interval
from studbook.words import _

Share = Callable[[OutcomeRow], Interval | None]


def outcome_columns(
    name: Callable[[OutcomeRow], str], order: Callable[[OutcomeRow], object], tip: Callable[[OutcomeRow], str]
) -> tuple[Column[OutcomeRow], ...]:
    """All columns; the limits of the intervals are hidden at first and meant for export."""

    over = _("Of the sittings in which each egg has met its end.")

    def fertility(row: OutcomeRow) -> Interval:
        return row.outcome.fertility

    def of_set(row: OutcomeRow) -> Interval | None:
        return row.over.hatch_of_set

    def hatched_of_fertile(row: OutcomeRow) -> Interval | None:
        return row.over.hatch_of_fertile

    return (
        Column("name", _("Name"), name, order, width=18, tip=tip),
        _count("sittings", _("Sittings"), lambda row: len(row.sittings)),
        _count("set", _("Set"), lambda row: row.counts.set_here),
        _share(
            "fertility", _("Fertile"), fertility,
            _("Apparent fertility: of the eggs whose state was seen. An egg that died in its first hours looks clear."),
        ),
        _share("of_set", _("Hatched of set"), of_set, over),
        _share("of_fertile", _("Hatched of fertile"), hatched_of_fertile, over),
        _count("clear", _("Clear"), lambda row: row.counts.clear),
        _count("early", _("Early dead"), lambda row: row.counts.early_dead),
        _count("late", _("Late dead"), lambda row: row.counts.late_dead),
        _count(
            "pipped", _("Pipped"), lambda row: row.counts.pipped_dead, explained=_("Pipped, and dead in the shell."),
        ),
        _count("hatched", _("Hatched"), lambda row: row.counts.hatched),
        _count("under_way", _("Under way"), lambda row: row.under_way, shown=False),
        _count("broken", _("Broken"), lambda row: row.counts.broken, shown=False),
        _count("removed", _("Taken away"), lambda row: row.counts.removed, shown=False),
        _limit("fertility_low", _("Fertile, at least %"), fertility, lambda seen: seen.lower),
        _limit("fertility_high", _("Fertile, at most %"), fertility, lambda seen: seen.upper),
        _limit("of_set_low", _("Hatched of set, at least %"), of_set, lambda seen: seen.lower),
        _limit("of_set_high", _("Hatched of set, at most %"), of_set, lambda seen: seen.upper),
        _limit("of_fertile_low", _("Hatched of fertile, at least %"), hatched_of_fertile, lambda seen: seen.lower),
        _limit("of_fertile_high", _("Hatched of fertile, at most %"), hatched_of_fertile, lambda seen: seen.upper),
    )  # fmt: skip


def _count(
    key: str, title: str, count: Callable[[OutcomeRow], int], *, shown: bool = True, explained: str = ""
) -> Column[OutcomeRow]:
    return Column(
        key, title, lambda row: number_text(count(row)), count, right=True, shown=shown, explained=explained
    )


def _share(key: str, title: str, seen: Share, explained: str) -> Column[OutcomeRow]:
    def value(row: OutcomeRow) -> float | None:
        found = seen(row)
        return found.share if found is not None else None

    return Column(
        key,
        title,
        lambda row: share_text(seen(row)),
        value,
        width=16,
        explained=explained,
        tip=lambda row: share_words(seen(row)),
    )


def _limit(key: str, title: str, seen: Share, limit: Callable[[Interval], float]) -> Column[OutcomeRow]:
    def value(row: OutcomeRow) -> float | None:
        found = seen(row)
        return limit(found) if found is not None and found.share is not None else None

    def text(row: OutcomeRow) -> str:
        found = value(row)
        return "" if found is None else number_text(round(100 * found))

    return Column(key, title, text, value, right=True, shown=False)
