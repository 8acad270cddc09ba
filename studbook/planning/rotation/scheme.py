"""What a rotation asks for in a season: who is of which family, who stays, who moves on, and what is out of line."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import Enum
from functools import cached_property
from typing import TYPE_CHECKING

from studbook.book.husbandry.choosing_rows import Rotation, Verdict
from studbook.book.husbandry.rows import Move
from studbook.book.ids import BirdId, PenId
from studbook.book.records import Bird, Sex, Snapshot
from studbook.planning.candidates import is_old_enough
from studbook.planning.pens.board import stays_on
from studbook.planning.rotation.homes import NOWHERE, Home, home_of
from studbook.season.calendar import season_planned

if TYPE_CHECKING:
    from studbook.book.relatedness import Relatedness


class Reason(Enum):
    """Why a bird belongs where the scheme puts it."""

    PULLET_STAYS = "pullet stays"
    COCKEREL_MOVES_ON = "cockerel moves on"
    RESERVE = "reserve"  # another son of the same family serves
    OLD_COCK_GOES = "old cock goes"


class Fault(Enum):
    """What is not as the scheme has it."""

    OWN_LINE = "own line"  # a cock in the pen he is of
    OTHER_LINE = "other line"  # a cock of a family that is not the one before
    WITH_DAUGHTERS = "with daughters"  # a cock in the pen in which he has daughters
    STRAYED = "strayed"  # hens in a pen of another family
    NO_COCK = "no cock"
    SEVERAL_COCKS = "several cocks"
    NO_HENS = "no hens"
    NO_SON = "no son"  # the family before has no young cock for this pen
    HOME_NOT_KNOWN = "home not known"


@dataclass(frozen=True, slots=True)
class Family:
    """One pen of a rotation and who is in it now, with what is known of where they are of.

    Attributes
    ----------
    after
        The pen its cockerels move on to.
    before
        The pen its cocks come from.
    young
        Living birds hatched of this pen in the last season, wherever they are.
    """

    pen: PenId
    before: PenId
    after: PenId
    cocks: tuple[BirdId, ...]
    hens: tuple[BirdId, ...]
    growing: tuple[BirdId, ...]
    young: tuple[BirdId, ...]


@dataclass(frozen=True, slots=True)
class Ask:
    """Where one bird belongs in the season to come.

    Attributes
    ----------
    to
        The pen it belongs in; None is out of its pen.
    now
        The pen it is in.
    kinship
        Of a cock with the hens of the pen he goes to: the F their chicks would have on average; None unknown.
    with_hens
        The same hen by hen.
    planned
        A move to that pen that is planned already.
    """

    bird: BirdId
    home: Home
    now: PenId | None
    to: PenId | None
    reason: Reason
    kinship: float | None = None
    planned: Move | None = None
    with_hens: tuple[tuple[BirdId, float], ...] = ()

    @property
    def is_there(self) -> bool:
        """True when the bird is where it belongs."""
        return self.now == self.to

    @property
    def is_due(self) -> bool:
        """True when a move is to be planned for it."""
        return not self.is_there and self.planned is None and self.reason is not Reason.RESERVE


@dataclass(frozen=True, slots=True)
class Deviation:
    """Something that is not as the scheme has it, with the birds it is about."""

    fault: Fault
    pen: PenId | None
    birds: tuple[BirdId, ...] = ()
    other: PenId | None = None


@dataclass(frozen=True)
class Scheme:
    """A rotation on a day, for the season planned then.

    Attributes
    ----------
    first_season
        The season whose chicks are the first of the rotation.
    is_first
        True while the birds it began with serve: nothing moves yet.
    """

    rotation: Rotation
    season: int
    first_season: int
    families: tuple[Family, ...]
    asks: tuple[Ask, ...]
    deviations: tuple[Deviation, ...]
    homes: Mapping[BirdId, Home]

    @property
    def is_first(self) -> bool:
        """True while no chick of the rotation is old enough to serve."""
        return self.season <= self.first_season

    @property
    def due(self) -> tuple[Ask, ...]:
        """The moves that are to be planned."""
        return tuple(ask for ask in self.asks if ask.is_due)


def scheme_of(
    snapshot: Snapshot,
    rotation: Rotation,
    species: str,
    season: int,
    today: date,
    relatedness: Relatedness | None = None,
) -> Scheme:
    """What a rotation asks for in a season. With `relatedness` the son least related to the hens is put forward."""
    return _Reading(snapshot, rotation, species, season, today, relatedness).scheme


class _Reading:
    """Reads one rotation."""

    def __init__(
        self,
        snapshot: Snapshot,
        rotation: Rotation,
        species: str,
        season: int,
        today: date,
        relatedness: Relatedness | None,
    ) -> None:
        self._snapshot = snapshot
        self._year = snapshot.husbandry
        self._rotation = rotation
        self._season = season
        self._today = today
        self._relatedness = relatedness
        self._first = season_planned(rotation.begun)
        self.pens = tuple(place.pen for place in self._year.pens_of_rotation.get(rotation.id, ()))
        self._birds = [bird for bird in snapshot.living if bird.species == species]
        self._now = {bird: stay.pen for bird, stay in stays_on(self._year, today).items()}

    @cached_property
    def homes(self) -> dict[BirdId, Home]:
        """Where each living bird hatched since the beginning is of; the others came as they were."""
        return {
            bird.id: home_of(self._snapshot, bird) if self._is_of_rotation(bird) else NOWHERE
            for bird in self._birds
        }

    @property
    def scheme(self) -> Scheme:
        families = tuple(self._family(place) for place in range(len(self.pens)))
        asks = () if self._season <= self._first else tuple(self._asks(families))
        return Scheme(
            self._rotation,
            self._season,
            self._first,
            families,
            asks,
            tuple(self._deviations(families, asks)),
            self.homes,
        )

    def _is_of_rotation(self, bird: Bird) -> bool:
        return (
            bird.hatched.is_known
            and bird.hatched.latest >= self._rotation.begun
            and bird.hatched.latest.year >= self._first
            and not bird.is_founder
        )

    def _is_young(self, bird: Bird) -> bool:
        """Hatched in the season before the one planned."""
        return self._is_of_rotation(bird) and bird.hatched.year == self._season - 1

    def _family(self, place: int) -> Family:
        pen = self.pens[place]
        inside = [bird for bird in self._birds if self._now.get(bird.id) == pen]
        grown = [bird for bird in inside if is_old_enough(bird, self._today)]
        return Family(
            pen,
            self.pens[place - 1],
            self.pens[(place + 1) % len(self.pens)],
            _named(bird for bird in grown if bird.sex is Sex.COCK),
            _named(bird for bird in grown if bird.sex is Sex.HEN),
            _named(bird for bird in inside if bird not in grown or bird.sex is Sex.UNKNOWN),
            _named(bird for bird in self._birds if self._is_young(bird) and self.homes[bird.id].pen == pen),
        )

    def _asks(self, families: tuple[Family, ...]) -> Iterable[Ask]:
        family_of = {family.pen: family for family in families}
        for family in families:
            yield from self._hens_of(family)
        for family in families:
            sons = self._sons_for(family, family_of)
            for number, (son, with_hens) in enumerate(sons):
                reason = Reason.RESERVE if number else Reason.COCKEREL_MOVES_ON
                yield self._ask(son, family.pen, reason, with_hens)
            if sons:
                for cock in family.cocks:
                    if cock not in [son for son, _with_hens in sons] and self._has_served(cock):
                        yield self._ask(self._snapshot.bird(cock), None, Reason.OLD_COCK_GOES)

    def _hens_of(self, family: Family) -> Iterable[Ask]:
        """The pullets of the last season, and older hens of the family that are in another pen of the rotation."""
        for bird in self._birds:
            if bird.sex is not Sex.HEN or self.homes[bird.id].pen != family.pen:
                continue
            strayed = self._now.get(bird.id) in self.pens and self._now.get(bird.id) != family.pen
            if self._is_young(bird) or strayed:
                yield self._ask(bird, family.pen, Reason.PULLET_STAYS)

    def _sons_for(
        self, family: Family, family_of: Mapping[PenId, Family]
    ) -> list[tuple[BirdId, tuple[tuple[BirdId, float], ...]]]:
        """The young cocks of the family before, who serve in this pen: the keeper's choice, then the least related."""
        sons = []
        for bird in family_of[family.before].young:
            if self._snapshot.bird(bird).sex is not Sex.COCK:
                continue
            choice = self._year.choice_for(bird, self._season)
            verdict = choice.verdict if choice is not None else None
            if verdict is not Verdict.NO:
                sons.append((verdict, bird))
        hens = self._hens_to_be(family)
        kinship = self._kinship([bird for _verdict, bird in sons], hens)
        rank = {Verdict.CHOSEN: 0, None: 1, Verdict.RESERVE: 2}
        sons.sort(
            key=lambda son: (
                not self._is_for(son[1], family.pen),
                rank[son[0]],
                _mean(kinship.get(son[1], ())) or 0.0,
                self._called(son[1]),
            )
        )
        return [(bird, kinship.get(bird, ())) for _verdict, bird in sons]

    def _is_for(self, cock: BirdId, pen: PenId) -> bool:
        """True for a cock who is in a pen or has his move there planned: the keeper has chosen."""
        return self._now.get(cock) == pen or any(
            move.bird == cock and move.pen == pen for move in self._year.moves.values()
        )

    def _hens_to_be(self, family: Family) -> list[BirdId]:
        """The hens of a pen in the season to come: those there that do not belong elsewhere, and its pullets."""
        stay = [hen for hen in family.hens if self.homes[hen].pen in (None, family.pen)]
        pullets = [bird for bird in family.young if self._snapshot.bird(bird).sex is Sex.HEN]
        return list(dict.fromkeys([*stay, *pullets]))

    def _kinship(
        self, cocks: list[BirdId], hens: list[BirdId]
    ) -> dict[BirdId, tuple[tuple[BirdId, float], ...]]:
        """The kinship of each cock with each hen."""
        if self._relatedness is None or not cocks or not hens:
            return {}
        table = self._relatedness.kinship(cocks, hens).tolist()
        return {cock: tuple(zip(hens, row, strict=True)) for cock, row in zip(cocks, table, strict=True)}

    def _has_served(self, cock: BirdId) -> bool:
        """True for a cock older than the sons of the last season."""
        bird = self._snapshot.bird(cock)
        return not bird.hatched.is_known or (bird.hatched.year or 0) < self._season - 1

    def _ask(
        self,
        bird: Bird | BirdId,
        to: PenId | None,
        reason: Reason,
        with_hens: tuple[tuple[BirdId, float], ...] = (),
    ) -> Ask:
        key = bird.id if isinstance(bird, Bird) else bird
        planned = next(
            (move for move in self._year.moves.values() if move.bird == key and move.pen == to), None
        )
        return Ask(key, self.homes[key], self._now.get(key), to, reason, _mean(with_hens), planned, with_hens)

    def _deviations(self, families: tuple[Family, ...], asks: tuple[Ask, ...]) -> Iterable[Deviation]:
        for family in families:
            yield from self._of_cocks(family)
            strayed: dict[PenId, list[BirdId]] = {}
            for hen in family.hens:
                home = self.homes[hen].pen
                if home is not None and home != family.pen and home in self.pens:
                    strayed.setdefault(home, []).append(hen)
            for home, hens in strayed.items():
                yield Deviation(Fault.STRAYED, family.pen, tuple(hens), home)
            if not family.hens:
                yield Deviation(Fault.NO_HENS, family.pen)
            sons = [ask for ask in asks if ask.to == family.pen and ask.reason is Reason.COCKEREL_MOVES_ON]
            if self._season > self._first and not sons:
                yield Deviation(Fault.NO_SON, family.pen, other=family.before)
        lost = [bird for bird in self._birds if self._is_young(bird) and self.homes[bird.id].pen is None]
        if lost:
            yield Deviation(Fault.HOME_NOT_KNOWN, None, _named(lost))

    def _of_cocks(self, family: Family) -> Iterable[Deviation]:
        if not family.cocks:
            yield Deviation(Fault.NO_COCK, family.pen)
        if len(family.cocks) > 1:
            yield Deviation(Fault.SEVERAL_COCKS, family.pen, family.cocks)
        for cock in family.cocks:
            home = self.homes[cock].pen
            if home == family.pen:
                yield Deviation(Fault.OWN_LINE, family.pen, (cock,))
                continue
            if home is not None and home != family.before and home in self.pens:
                yield Deviation(Fault.OTHER_LINE, family.pen, (cock,), home)
            daughters = tuple(hen for hen in family.hens if self._snapshot.bird(hen).sire == cock)
            if daughters:
                yield Deviation(Fault.WITH_DAUGHTERS, family.pen, (cock, *daughters))

    def _called(self, bird: BirdId) -> str:
        return self._snapshot.bird(bird).called


def _mean(with_hens: Sequence[tuple[BirdId, float]]) -> float | None:
    """The mean kinship with some hens; None without any."""
    return sum(share for _hen, share in with_hens) / len(with_hens) if with_hens else None


def _named(birds: Iterable[Bird]) -> tuple[BirdId, ...]:
    """Birds in the order of their marks and names."""
    return tuple(bird.id for bird in sorted(birds, key=lambda bird: (bird.mark or bird.name).casefold()))
