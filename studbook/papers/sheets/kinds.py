"""The kinds of sheets, by the names the command line and the menus ask for them."""

from collections.abc import Iterable
from datetime import date
from functools import partial

from studbook.book.ids import PenId, SittingId
from studbook.book.records import Snapshot
from studbook.papers.sheets.egg_tally import egg_tally
from studbook.papers.sheets.evening_round import evening_round
from studbook.papers.sheets.pen_card import pen_cards
from studbook.papers.sheets.sheet import Sheet
from studbook.papers.sheets.sitting_card import sitting_cards, sitting_name
from studbook.papers.sheets.tonight import tonight

PEN_CARD, EGG_TALLY, SITTING_CARD, EVENING_ROUND = "pen-card", "egg-tally", "sitting-card", "evening-round"
KINDS = (PEN_CARD, EGG_TALLY, SITTING_CARD, EVENING_ROUND)


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
    made = {
        PEN_CARD: partial(pen_cards, snapshot, on, pens),
        EGG_TALLY: partial(egg_tally, snapshot, on),
        SITTING_CARD: partial(sitting_cards, snapshot, on, sittings),
        EVENING_ROUND: lambda: evening_round(snapshot, on, tonight(snapshot, on)),
    }
    sheet: Sheet = made[kind]()
    return sheet


def named_in(kind: str, snapshot: Snapshot) -> dict[str, str]:
    """What a kind of sheet can be asked for one by one: names by id."""
    year = snapshot.husbandry
    if kind == PEN_CARD:
        return {pen.id: pen.name for pen in year.pens.values() if pen.closed is None}
    if kind == SITTING_CARD:
        return {sitting.id: sitting_name(snapshot, sitting) for sitting in year.sittings.values()}
    return {}
