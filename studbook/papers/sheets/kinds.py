"""The kinds of sheets, by the names the command line and the menus ask for them."""

from collections.abc import Iterable
from datetime import date

from studbook.book.ids import PenId, SittingId
from studbook.book.records import Snapshot
from studbook.papers.sheets.egg_tally import egg_tally
from studbook.papers.sheets.evening_round import evening_round
from studbook.papers.sheets.pen_card import pen_cards
from studbook.papers.sheets.sheet import Sheet
from studbook.papers.sheets.sitting_card import sitting_cards, sitting_name
from studbook.papers.sheets.tonight import tonight

KINDS = ("pen-card", "egg-tally", "sitting-card", "evening-round")


def sheet_of(kind: str, snapshot: Snapshot, on: date, only: Iterable[str] | None = None) -> Sheet:
    """The sheet of a kind on a day; `only` are the ids of the pens or sittings wanted (all by default).

    Raises
    ------
    KeyError
        If there is no such kind.
    """
    chosen = None if only is None else frozenset(only)
    pens = None if chosen is None else frozenset(map(PenId, chosen))
    sittings = None if chosen is None else frozenset(map(SittingId, chosen))
    match kind:
        case "pen-card":
            return pen_cards(snapshot, on, pens)
        case "egg-tally":
            return egg_tally(snapshot, on)
        case "sitting-card":
            return sitting_cards(snapshot, on, sittings)
        case "evening-round":
            return evening_round(snapshot, on, tonight(snapshot, on))
    raise KeyError(kind)


def named_in(kind: str, snapshot: Snapshot) -> dict[str, str]:
    """What a kind of sheet can be asked for one by one: names by id."""
    year = snapshot.husbandry
    if kind == "pen-card":
        return {pen.id: pen.name for pen in year.pens.values() if pen.closed is None}
    if kind == "sitting-card":
        return {sitting.id: sitting_name(snapshot, sitting) for sitting in year.sittings.values()}
    return {}
