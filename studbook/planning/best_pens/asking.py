"""What is proposed to a keeper who asks for next season's pens: the birds, the places and figures of the flock."""

import math
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from studbook.book.husbandry.choosing_rows import Ban, Verdict
from studbook.book.husbandry.rows import Pen
from studbook.book.husbandry.wording import apart_word
from studbook.book.ids import BirdId, HouseId, PenId
from studbook.book.records import Snapshot
from studbook.book.relatedness import Unknown
from studbook.planning.best_pens.present import Company, bred_in, planned_breeding, present_pens
from studbook.planning.best_pens.wishes import Place, Wishes
from studbook.planning.candidates import candidates
from studbook.planning.limits import LIMIT
from studbook.planning.pens.asking import asking
from studbook.planning.pens.board import is_open, walking_pens
from studbook.planning.pens.weight import takes_bantam_room, weight_class
from studbook.season.practice import ApartReason, HensPerCock
from studbook.words import _

REMEMBERED = timedelta(days=430)
"""A pen is taken for a breeding pen if a cock and a hen were in it during the last season or this one."""

_NOT_NOW = frozenset({ApartReason.ILL, ApartReason.HURT, ApartReason.BOUGHT, ApartReason.BUYER})


class LeftOut(StrEnum):
    """Why a grown bird is not proposed."""

    NO = "no"
    RESERVE = "reserve"
    APART = "apart"


@dataclass(frozen=True, slots=True)
class NotProposed:
    """A grown bird that is not proposed, why, and what the keeper wrote of it."""

    bird: BirdId
    why: LeftOut
    reason: str = ""


@dataclass(frozen=True, slots=True)
class PlaceProposed:
    """A pen in use; `is_usual` when birds of the species bred in it lately."""

    pen: Pen
    hens: int | None
    is_usual: bool


@dataclass(frozen=True)
class Proposal:
    """What the form holds before the keeper changes it.

    Attributes
    ----------
    wishes
        The wishes as proposed.
    left_out
        Grown birds that are not among its cocks and hens.
    places
        Every pen in use, in walking order.
    usual
        How few and how many hens a cock of this breed usually gets.
    bans
        The pairs the record does not want, of birds that are among the candidates.
    present
        The breeding pens as they stand with what is planned already.
    moves_planned
        True when some of `present` is still to come.
    """

    wishes: Wishes
    left_out: tuple[NotProposed, ...]
    places: tuple[PlaceProposed, ...]
    usual: HensPerCock
    bans: tuple[Ban, ...]
    present: tuple[Company, ...]
    moves_planned: bool

    @property
    def reserve(self) -> tuple[BirdId, ...]:
        """The birds marked as reserve for the season."""
        return tuple(found.bird for found in self.left_out if found.why is LeftOut.RESERVE)


def propose(
    snapshot: Snapshot, species: str, season: int, today: date, unknown: Unknown = Unknown.FLOCK
) -> Proposal:
    """What suits the flock as it is: whoever is not marked otherwise, in the pens birds bred in lately."""
    grown = candidates(snapshot, today, species)
    left_out = _left_out(snapshot, (*grown.cocks, *grown.hens), season, today)
    out = {found.bird for found in left_out}
    cocks = tuple(bird for bird in grown.cocks if bird not in out)
    hens = tuple(bird for bird in grown.hens if bird not in out)
    usual = _usual(snapshot, species, cocks or hens)
    present = present_pens(snapshot, species, today)
    here = {pen.place for pen in present}
    planned = any(move.pen in here for move in snapshot.husbandry.moves.values())
    places = _places(snapshot, species, today, present if planned else ())
    chosen = tuple(Place(found.pen.id, found.hens) for found in places if found.is_usual)
    # before the season is planned a lone trial pen says nothing of how many there will be
    standing = len(present) if planned else len(chosen)
    pens = max(1, min(len(cocks) or 1, standing or len(cocks) or 1, max(len(hens), 1)))
    most = max(usual.many, math.ceil(len(hens) / pens)) if hens else usual.many
    reserves = sum(1 for bird in out if bird in grown.cocks and _is_reserve(left_out, bird))
    spare = 1 if len(cocks) > pens and not reserves else 0
    bans = tuple(
        ban for ban in snapshot.husbandry.bans.values() if ban.cock in grown.cocks and ban.hen in grown.hens
    )
    wishes = Wishes(
        cocks,
        hens,
        pens,
        most,
        least_hens=min(usual.few, max(1, len(hens) // pens)),
        limit=LIMIT,
        places=chosen if len(chosen) >= pens else (),
        reserve_males=spare,
        unknown=unknown,
    )
    return Proposal(wishes, left_out, places, usual, bans, present, planned)


def hens_for(pen: Pen, *, bantams: bool) -> int | None:
    """How many hens a pen takes beside one cock; None where no capacity is said."""
    room = pen.room_bantams if bantams and pen.room_bantams is not None else pen.room_large
    if room is None:
        room = pen.room_bantams
    return None if room is None else max(room - 1, 0)


def second_yard(snapshot: Snapshot, house: HouseId | None, places: tuple[Place, ...]) -> tuple[Place, ...]:
    """The places, those of a house marked as the keeper's second yard."""
    pens = snapshot.husbandry.pens
    return tuple(
        Place(place.pen, place.hens, house is not None and pens[place.pen].house == house)
        for place in places
        if place.pen in pens
    )


def left_out_text(found: NotProposed) -> str:
    """Why a bird is not proposed."""
    text = {
        LeftOut.NO: _("marked as not to breed"),
        LeftOut.RESERVE: _("kept in reserve"),
        LeftOut.APART: _("set apart"),
    }[found.why]
    return _("{why}: {reason}").format(why=text, reason=found.reason) if found.reason else text


def _is_reserve(left_out: tuple[NotProposed, ...], bird: BirdId) -> bool:
    return any(found.bird == bird and found.why is LeftOut.RESERVE for found in left_out)


def _left_out(
    snapshot: Snapshot, birds: tuple[BirdId, ...], season: int, today: date
) -> tuple[NotProposed, ...]:
    """Whom the keeper marked as not to breed or as a reserve, and who is apart and not decided on."""
    year, found = snapshot.husbandry, []
    for bird in birds:
        choice = year.choice_for(bird, season)
        if choice is not None:
            if choice.verdict is not Verdict.CHOSEN:
                why = LeftOut.NO if choice.verdict is Verdict.NO else LeftOut.RESERVE
                found.append(NotProposed(bird, why, choice.reason))
            continue
        for apart in year.apart_of.get(bird, ()):
            is_now = apart.since <= today and (apart.until is None or today < apart.until)
            if is_now and apart.reason in _NOT_NOW:
                found.append(NotProposed(bird, LeftOut.APART, apart_word(apart.reason)))
                break
    return tuple(found)


def _usual(snapshot: Snapshot, species: str, birds: tuple[BirdId, ...]) -> HensPerCock:
    practice = asking(snapshot).practice(species)
    return (
        practice.hens_per_cock(weight_class(snapshot.bird(birds[0]))) if birds else practice.hens_per_cock()
    )


def _places(
    snapshot: Snapshot, species: str, today: date, present: tuple[Company, ...]
) -> tuple[PlaceProposed, ...]:
    year = snapshot.husbandry
    usual = planned_breeding(year, present) or bred_in(snapshot, species, today - REMEMBERED, today)
    bantams = any(takes_bantam_room(bird) for bird in snapshot.living if bird.species == species)
    pens = walking_pens(year, (pen for pen in year.pens.values() if is_open(pen, today)))
    found = (PlaceProposed(pen, hens_for(pen, bantams=bantams), pen.id in usual) for pen in pens)
    return tuple(place for place in found if place.hens != 0)


def pen_of(proposal: Proposal, pen: PenId) -> PlaceProposed | None:
    """The place of a pen, if it is in use."""
    return next((found for found in proposal.places if found.pen.id == pen), None)
