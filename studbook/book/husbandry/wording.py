"""The words for the rows of the year, their kinds and fates, and for whose an egg is."""

from collections.abc import Callable
from typing import Any

from studbook.book.husbandry import choosing_rows, rows
from studbook.season.practice import ApartReason
from studbook.words import _, plural


def row_word(kind: type[Any], count: int = 1) -> str:
    """What a kind of row is called: "a pen", "3 stays"."""
    return _ROWS[kind](count).format(count=count)


_ROWS: dict[type[Any], Callable[[int], str]] = {
    rows.House: lambda count: plural("a house", "{count} houses", count),
    rows.Pen: lambda count: plural("a pen", "{count} pens", count),
    rows.Stay: lambda count: plural("a stay", "{count} stays", count),
    rows.Move: lambda count: plural("a planned move", "{count} planned moves", count),
    rows.Mating: lambda count: plural("a mating", "{count} matings", count),
    rows.Condition: lambda count: plural("a hen's condition", "{count} conditions", count),
    rows.Collection: lambda count: plural("a collection", "{count} collections", count),
    rows.EggUse: lambda count: plural("a use of eggs", "{count} uses of eggs", count),
    rows.Machine: lambda count: plural("a machine", "{count} machines", count),
    rows.Sitting: lambda count: plural("a sitting", "{count} sittings", count),
    rows.Trial: lambda count: plural("a fertility trial", "{count} fertility trials", count),
    rows.TrialHen: lambda count: plural("a hen of a trial", "{count} hens of a trial", count),
    rows.Batch: lambda count: plural("a batch of eggs", "{count} batches of eggs", count),
    rows.MixedIn: lambda count: plural("eggs mixed in", "{count} lots mixed in", count),
    rows.BatchPair: lambda count: plural("parents of a batch", "{count} pairs of parents", count),
    rows.Candling: lambda count: plural("a candling", "{count} candlings", count),
    rows.EggFate: lambda count: plural("a fate of eggs", "{count} fates of eggs", count),
    rows.Reading: lambda count: plural("a line of the log", "{count} lines of the log", count),
    rows.Hatchling: lambda count: plural("a chick of a batch", "{count} chicks", count),
    rows.Apart: lambda count: plural("a time apart", "{count} times apart", count),
    rows.Job: lambda count: plural("a job", "{count} jobs", count),
    rows.Tick: lambda count: plural("a task done", "{count} tasks done", count),
    rows.Figure: lambda count: plural("a figure of practice", "{count} figures", count),
    choosing_rows.Choice: lambda count: plural("who may breed", "{count} choices", count),
    choosing_rows.Ban: lambda count: plural("a pair not wanted", "{count} pairs not wanted", count),
    choosing_rows.Plan: lambda count: plural("a plan of pens", "{count} plans of pens", count),
    choosing_rows.PlannedPen: lambda count: plural("a planned pen", "{count} planned pens", count),
    choosing_rows.PlannedBird: lambda count: plural("a bird of a plan", "{count} birds of a plan", count),
    choosing_rows.Rotation: lambda count: plural("a rotation", "{count} rotations", count),
    choosing_rows.RotationPen: lambda count: plural(
        "a pen of a rotation", "{count} pens of a rotation", count
    ),
}


def apart_word(reason: ApartReason) -> str:
    """The words for why a bird is apart."""
    return {
        ApartReason.ILL: _("ill"),
        ApartReason.HURT: _("hurt"),
        ApartReason.TRIAL: _("fertility trial"),
        ApartReason.BOUGHT: _("newly bought"),
        ApartReason.SHOW: _("back from a show"),
        ApartReason.BROODY: _("broody being broken"),
        ApartReason.BULLIED: _("bullied"),
        ApartReason.BUYER: _("waiting for a buyer"),
        ApartReason.OTHER: _("other"),
    }[reason]


def fate_word(fate: rows.Fate) -> str:
    """The words for the end of an egg."""
    return {
        rows.Fate.CLEAR: _("clear"),
        rows.Fate.EARLY_DEAD: _("early dead"),
        rows.Fate.LATE_DEAD: _("late dead"),
        rows.Fate.PIPPED_DEAD: _("pipped and dead"),
        rows.Fate.HATCHED: _("hatched"),
        rows.Fate.BROKEN: _("broken"),
        rows.Fate.REMOVED: _("removed"),
        rows.Fate.MOVED: _("moved"),
    }[fate]


def mating_word(kind: rows.MatingKind) -> str:
    """The words for a mating outside a pen."""
    return {
        rows.MatingKind.VISIT: _("visit"),
        rows.MatingKind.BORROWED: _("borrowed cock"),
        rows.MatingKind.INSEMINATION: _("insemination"),
    }[kind]


def condition_word(kind: rows.ConditionKind) -> str:
    """The words for a hen's condition."""
    return {
        rows.ConditionKind.BROODY: _("broody"),
        rows.ConditionKind.MOULTING: _("moulting"),
        rows.ConditionKind.NOT_LAYING: _("not laying"),
        rows.ConditionKind.EGG_COLOUR: _("egg colour"),
    }[kind]


def egg_use_word(kind: rows.EggUseKind) -> str:
    """The words for what became of eggs that were not set."""
    return {
        rows.EggUseKind.SOLD: _("sold for hatching"),
        rows.EggUseKind.GIVEN: _("given for hatching"),
        rows.EggUseKind.EATEN: _("eaten"),
        rows.EggUseKind.SPOILED: _("spoiled"),
        rows.EggUseKind.DAY_OLDS_SOLD: _("day-olds sold"),
    }[kind]


def verdict_word(verdict: choosing_rows.Verdict) -> str:
    """The words for what was decided of a bird for a season."""
    return {
        choosing_rows.Verdict.CHOSEN: _("chosen"),
        choosing_rows.Verdict.RESERVE: _("reserve"),
        choosing_rows.Verdict.NO: _("no"),
    }[verdict]


def decision_word(decision: rows.Decision) -> str:
    """The words for what was made of a fertility trial."""
    return {
        rows.Decision.OPEN: _("open"),
        rows.Decision.KEEP: _("keep"),
        rows.Decision.SELL: _("sell"),
        rows.Decision.AGAIN: _("test again"),
    }[decision]


def every_word(every: rows.Every, count: int) -> str:
    """How often a job comes round, in words."""
    if every is rows.Every.ONCE:
        return _("once")
    text = {
        rows.Every.DAYS: plural("every day", "every {count} days", count),
        rows.Every.WEEKS: plural("every week", "every {count} weeks", count),
        rows.Every.MONTHS: plural("every month", "every {count} months", count),
        rows.Every.YEARS: plural("every year", "every {count} years", count),
    }[every]
    return text.format(count=count)
