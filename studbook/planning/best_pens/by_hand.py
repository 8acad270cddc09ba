"""Pens put together by hand: what they would do, which wishes they break, and how one is made of another.

Plain numbers without arrays, so that the window can answer while a hen is being moved.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from studbook.book.ids import BirdId, PenId
from studbook.planning.best_pens.present import Company
from studbook.planning.best_pens.wishes import BestPen, PensPlan, Place, Wishes
from studbook.planning.limits import SAME, is_over

Kin = Mapping[tuple[BirdId, BirdId], float]
"""The kinship f of birds, under both orders of two and of each with itself."""


@dataclass(frozen=True)
class Worth:
    """What pens would do.

    Attributes
    ----------
    inbreeding
        The mean F of the chicks, each hen counting by the eggs wanted of her, a pen of several cocks by each alike.
    kinship
        The mean kinship of the next generation, c′Kc.
    objective
        weight × inbreeding + (1 − weight) × kinship.
    shares
        c: the share of each bird in the genes of the next generation; the shares add up to 1.
    """

    inbreeding: float
    kinship: float
    objective: float
    shares: Mapping[BirdId, float]

    @property
    def gene_diversity(self) -> float:
        """1 less the mean kinship."""
        return 1 - self.kinship


class Breach(StrEnum):
    """The wishes that pens made by hand may break; none of them forbids anything."""

    LIMIT = "limit"
    BANNED = "banned"
    NEVER = "never"
    TOGETHER = "together"
    TOO_MANY_HENS = "too many hens"
    TOO_FEW_HENS = "too few hens"
    PLACE_FULL = "place full"
    SHARE = "share"
    NOT_PLACED = "not placed"


@dataclass(frozen=True, slots=True)
class Broken:
    """One wish that is broken: whose it is about, the figure there is and the one that was wished for."""

    breach: Breach
    birds: tuple[BirdId, ...]
    found: float = 0.0
    wished: float = 0.0


def worth_of(pens: Sequence[Company], kin: Kin, wishes: Wishes) -> Worth | None:
    """What pens would do; None where no cock is with a hen.

    Every hen counts by the eggs wanted of her, 1 where nothing is said; half of a chick is its sire's.
    """
    breeding = [pen for pen in pens if pen.breeds]
    eggs = {hen: wishes.eggs.get(hen, 1.0) for pen in breeding for hen in pen.hens}
    whole = sum(eggs.values())
    if whole <= 0:
        return None
    shares: dict[BirdId, float] = {}
    inbreeding = 0.0
    for pen in breeding:
        for hen in pen.hens:
            part = eggs[hen] / whole
            shares[hen] = shares.get(hen, 0.0) + part / 2
            for cock in pen.cocks:
                shares[cock] = shares.get(cock, 0.0) + part / 2 / len(pen.cocks)
                inbreeding += part / len(pen.cocks) * kin[cock, hen]
    kinship = sum(
        share * other_share * kin[bird, other]
        for bird, share in shares.items()
        for other, other_share in shares.items()
    )
    objective = wishes.weight * inbreeding + (1 - wishes.weight) * kinship
    return Worth(inbreeding, kinship, objective, shares)


def plan_of(
    pens: Sequence[Company], kin: Kin, wishes: Wishes, like: PensPlan, worth: Worth | None
) -> PensPlan:
    """Pens made by hand, and what they would do, as a plan with the bound and the reserve of the best one."""
    made = tuple(
        BestPen(pen.cocks[0], pen.hens, _mean_expected(pen, kin, wishes), pen.place)
        for pen in pens
        if pen.cocks
    )
    used = {pen.cock for pen in made}
    reserve = tuple(cock for cock in like.reserve if cock not in used)
    if worth is None:
        return replace(like, pens=made, reserve=reserve)
    return replace(
        like,
        pens=made,
        inbreeding=worth.inbreeding,
        kinship=worth.kinship,
        objective=worth.objective,
        reserve=reserve,
    )


def _mean_expected(pen: Company, kin: Kin, wishes: Wishes) -> float:
    eggs = [wishes.eggs.get(hen, 1.0) for hen in pen.hens]
    if not eggs:
        return 0.0
    cock = pen.cocks[0]
    return sum(part * kin[cock, hen] for part, hen in zip(eggs, pen.hens, strict=True)) / sum(eggs)


def with_hen(
    pens: Sequence[BestPen], hen: BirdId, cock: BirdId | None, places: Sequence[Place] = ()
) -> tuple[BestPen, ...]:
    """The pens with a hen in that of a cock; None takes her out of all.

    A cock without a pen is given one, in the first of `places` that is free.
    """
    if cock is not None and all(pen.cock != cock for pen in pens):
        used = {pen.place for pen in pens}
        free = next((place.pen for place in places if place.pen not in used), None)
        pens = (*pens, BestPen(cock, (), 0.0, free))
    moved = []
    for pen in pens:
        hens = tuple(other for other in pen.hens if other != hen)
        moved.append(replace(pen, hens=(*hens, hen) if pen.cock == cock else hens))
    return tuple(moved)


def with_cock(pens: Sequence[BestPen], cock: BirdId, other: BirdId) -> tuple[BestPen, ...]:
    """The pens with another cock in the place of one; if he has a pen, the two change places."""
    changed = {cock: other, other: cock}
    return tuple(replace(pen, cock=changed.get(pen.cock, pen.cock)) for pen in pens)


def with_place(pens: Sequence[BestPen], cock: BirdId, place: PenId | None) -> tuple[BestPen, ...]:
    """The pens with that of a cock in another place; a pen that stood there changes places with it."""
    before = next(pen.place for pen in pens if pen.cock == cock)
    moved = []
    for pen in pens:
        if pen.cock == cock:
            moved.append(replace(pen, place=place))
        elif place is not None and pen.place == place:
            moved.append(replace(pen, place=before))
        else:
            moved.append(pen)
    return tuple(moved)


def breaches(
    pens: Sequence[BestPen], kin: Kin, wishes: Wishes, bans: Iterable[tuple[BirdId, BirdId]] = ()
) -> tuple[Broken, ...]:
    """Every wish the pens break."""
    found: list[Broken] = []
    banned = set(bans)
    room = {place.pen: place.hens for place in wishes.places}
    home = {bird: pen.cock for pen in pens for bird in (pen.cock, *pen.hens)}
    for pen in pens:
        for hen in pen.hens:
            expected = kin[pen.cock, hen]
            if wishes.limit is not None and is_over(expected, wishes.limit):
                found.append(Broken(Breach.LIMIT, (pen.cock, hen), expected, wishes.limit))
            if (pen.cock, hen) in banned:
                found.append(Broken(Breach.BANNED, (pen.cock, hen)))
        count = len(pen.hens)
        if count > wishes.most_hens:
            found.append(Broken(Breach.TOO_MANY_HENS, (pen.cock,), count, wishes.most_hens))
        elif 0 < count < wishes.least_hens:
            found.append(Broken(Breach.TOO_FEW_HENS, (pen.cock,), count, wishes.least_hens))
        most = room.get(pen.place) if pen.place is not None else None
        if most is not None and count > most:
            found.append(Broken(Breach.PLACE_FULL, (pen.cock,), count, most))
    for one, other in wishes.never:
        if one in home and home[one] == home.get(other):
            found.append(Broken(Breach.NEVER, (one, other)))
    for one, other in wishes.together:
        if home.get(one) != home.get(other) or one not in home:
            found.append(Broken(Breach.TOGETHER, (one, other)))
    worth = (
        worth_of([Company((pen.cock,), pen.hens) for pen in pens], kin, wishes) if wishes.most_share else None
    )
    for bird, most_share in wishes.most_share.items():
        share = worth.shares.get(bird, 0.0) if worth is not None else 0.0
        if share > most_share + SAME:
            found.append(Broken(Breach.SHARE, (bird,), share, most_share))
    left = tuple(hen for hen in wishes.hens if hen not in home)
    wanted = len(wishes.hens) if wishes.hens_placed is None else wishes.hens_placed
    if len(wishes.hens) - len(left) < wanted:
        found.append(Broken(Breach.NOT_PLACED, left, len(wishes.hens) - len(left), wanted))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class OtherCock:
    """What a hen would do with another cock of the plan: F of her chicks, and the objective of the whole."""

    cock: BirdId
    expected: float
    objective: float


def other_cocks(pens: Sequence[BestPen], kin: Kin, wishes: Wishes) -> dict[BirdId, tuple[OtherCock, ...]]:
    """For each hen of a plan its other cocks, the one with whom the whole would lose least first.

    A hen that changes from one cock to another changes c by her part alone: with d that change, c′Kc becomes
    c′Kc + 2d′Kc + d′Kd, so that no plan need be reckoned anew.
    """
    worth = worth_of([Company((pen.cock,), pen.hens) for pen in pens], kin, wishes)
    if worth is None:
        return {}
    cocks = [pen.cock for pen in pens]
    pull = {cock: sum(share * kin[cock, bird] for bird, share in worth.shares.items()) for cock in cocks}
    found: dict[BirdId, tuple[OtherCock, ...]] = {}
    for pen in pens:
        for hen in pen.hens:
            part = worth.shares[hen]
            others = []
            for cock in cocks:
                if cock == pen.cock:
                    continue
                closer = 2 * part * (kin[cock, hen] - kin[pen.cock, hen])
                apart = kin[cock, cock] + kin[pen.cock, pen.cock] - 2 * kin[cock, pen.cock]
                narrower = 2 * part * (pull[cock] - pull[pen.cock]) + part * part * apart
                objective = worth.objective + wishes.weight * closer + (1 - wishes.weight) * narrower
                others.append(OtherCock(cock, kin[cock, hen], objective))
            found[hen] = tuple(sorted(others, key=lambda other: other.objective))
    return found
