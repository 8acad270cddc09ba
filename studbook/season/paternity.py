"""Whose egg: the candidate sires of a hen's egg from her meetings with cocks, and from when a hen is clear.

What each cock has left with the hen is a weight between 0 and 1; the shares are the weights of all her
cocks divided by their sum.

* It grows in equal daily steps from the *earliest* day after their first meeting to 1 on the day the hen
  is *covered*, and stays there while he is with her. So two cocks in one pen end up equal.
* After he has gone it halves every `halving_days` (an even loss of stored sperm, in which the last cock
  comes to the fore only because he came last: Lessells & Birkhead 1990, Behavioral Ecology and
  Sociobiology 27; Birkhead, Wishart & Biggins 1995, Proceedings of the Royal Society B 261; both from
  memory). With the figures for fowl four fifths of the eggs are the later cock's a week after an exchange,
  and sixteen of seventeen after two, as the published advice to wait two weeks has it.
* From the clear date on it counts for nothing beside a later cock; alone, it counts until *lasting*.

An egg asked about is taken to be fertile: a cock who is alone has all of it, however long he has been gone.
A mating by visit or insemination follows the same rule, its first and last day being the same.
"""

from collections.abc import Collection, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from enum import Enum

from studbook.season.practice import Practice

Cock = Hashable
Hen = Hashable


class MeetingKind(Enum):
    """How a cock and a hen came together."""

    PEN = "pen"
    VISIT = "visit"
    INSEMINATION = "insemination"
    OUTSIDE = "outside"


@dataclass(frozen=True, slots=True)
class Meeting:
    """A cock with a hen over some days, both ends included.

    Attributes
    ----------
    cock
        Who; ``None`` for an unknown cock, such as that of the yard a hen was bought or borrowed from.
    first
        The first day; ``None`` if long before.
    last
        The last day, the day of parting; ``None`` while they are together.
    fertile_from
        The day a young cock reaches the age of fertility; days before it do not count.
    """

    cock: Cock | None
    first: date | None
    last: date | None
    kind: MeetingKind = MeetingKind.PEN
    fertile_from: date | None = None

    def __post_init__(self) -> None:
        if self.first and self.last and self.last < self.first:
            raise ValueError(f"a meeting cannot end on {self.last} and begin on {self.first}")

    @property
    def counts_from(self) -> date | None:
        """The first day that counts; ``None`` if long before."""
        if self.fertile_from and (self.first is None or self.fertile_from > self.first):
            return self.fertile_from
        return self.first

    @property
    def was_fertile(self) -> bool:
        """False if it was over before the cock was of age."""
        start = self.counts_from
        return start is None or self.last is None or start <= self.last


def outside(until: date) -> Meeting:
    """An unknown cock of the yard from which a hen came on the day `until`."""
    return Meeting(None, None, until, MeetingKind.OUTSIDE)


class Verdict(Enum):
    """What can be said of an egg's sire."""

    CERTAIN = "certain"
    SEVERAL = "several"
    OUTSIDE_POSSIBLE = "outside possible"
    NONE = "none"


class ReasonKind(Enum):
    """Why a cock counts or not, or what a share rests on; `Reason.day` is the day named here."""

    WITH_HER = "with her"  # since this day
    NOT_YET_COVERED = "not yet covered"  # with her; the pen is covered from this day
    GONE_LATELY = "gone lately"  # he left on this day
    GONE_LONG = "gone long"  # he left on this day, longer ago than eggs last as a rule
    TOO_SOON = "too soon"  # his first egg can come on this day
    TOO_LATE = "too late"  # no egg can be his from this day
    CLEARED = "cleared"  # her clear date
    TOO_YOUNG = "too young"  # of age on this day
    NOT_YET_MET = "not yet met"  # they met on this day
    NO_COCK = "no cock"  # she met none at all
    EQUAL_ASSUMED = "equal assumed"  # cocks in one pen share alike
    LATER_GAINS = "later gains"  # the shares follow the curve above
    SOME_DAYS_ONLY = "some days only"  # the egg may be of a day on which no cock counts
    MEAN_OF_DAYS = "mean of days"  # the laying day is not known exactly


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason, with the cock (``None``: unknown or all) and the day it is about."""

    kind: ReasonKind
    cock: Cock | None = None
    day: date | None = None


@dataclass(frozen=True, slots=True)
class Share:
    """One candidate sire (``None``: an unknown outside cock), his weight from 0 to 1, and why."""

    cock: Cock | None
    weight: float
    reason: Reason


@dataclass(frozen=True, slots=True)
class Sires:
    """The candidate sires of an egg, the likeliest first; their weights sum to 1 unless there is none.

    Attributes
    ----------
    reasons
        Why other cocks of the season do not count, and what the weights assume.
    """

    shares: tuple[Share, ...]
    reasons: tuple[Reason, ...]

    @property
    def verdict(self) -> Verdict:
        """What can be said in one word."""
        if not self.shares:
            return Verdict.NONE
        if any(share.cock is None for share in self.shares):
            return Verdict.OUTSIDE_POSSIBLE
        return Verdict.CERTAIN if len(self.shares) == 1 else Verdict.SEVERAL


def sires_of_egg(
    meetings: Sequence[Meeting], laid: date, practice: Practice, laid_last: date | None = None
) -> Sires:
    """The candidate sires of an egg of one hen, laid on `laid` or on some day from `laid` to `laid_last`.

    For a span of days the weights are the mean over those days on which any cock counts.

    Raises
    ------
    ValueError
        If `laid_last` is before `laid`.
    """
    if laid_last is None or laid_last == laid:
        return _of_day(meetings, laid, practice)
    if laid_last < laid:
        raise ValueError("the last laying day is before the first")
    days = [
        _of_day(meetings, laid + timedelta(after), practice) for after in range((laid_last - laid).days + 1)
    ]
    counting = [day for day in days if day.shares]
    weights: dict[Cock | None, float] = {}
    why: dict[Cock | None, Reason] = {}
    for day in counting:
        for share in day.shares:
            weights[share.cock] = weights.get(share.cock, 0.0) + share.weight / len(counting)
            why[share.cock] = share.reason
    excluded = [reason for day in days for reason in day.reasons if reason.cock not in weights]
    reasons = list(dict.fromkeys(excluded))
    if counting:
        reasons.append(Reason(ReasonKind.MEAN_OF_DAYS, None, laid_last))
    if counting and len(counting) < len(days):
        reasons.append(Reason(ReasonKind.SOME_DAYS_ONLY))
    assumed = (reason for day in days for reason in day.reasons if reason.kind in _ASSUMPTIONS)
    return Sires(_likeliest_first(weights, why), tuple(dict.fromkeys((*reasons, *assumed))))


# Cocks of other years are named only where nobody else is.
_FAR_OFF = (ReasonKind.TOO_LATE, ReasonKind.NOT_YET_MET)
_ASSUMPTIONS = (ReasonKind.EQUAL_ASSUMED, ReasonKind.LATER_GAINS)


def _likeliest_first(
    weights: Mapping[Cock | None, float], why: Mapping[Cock | None, Reason]
) -> tuple[Share, ...]:
    total = sum(weights.values())
    shares = (Share(cock, weight / total, why[cock]) for cock, weight in weights.items())
    return tuple(sorted(shares, key=lambda share: -share.weight))


def _of_day(meetings: Sequence[Meeting], laid: date, practice: Practice) -> Sires:
    """The candidate sires of an egg laid on one day."""
    weights: dict[Cock | None, float] = {}
    latest: dict[Cock | None, Meeting] = {}
    excluded: dict[Cock | None, Reason] = {}
    for meeting in meetings:
        refused = _why_not(meeting, laid, practice)
        if refused:
            excluded[meeting.cock] = refused
            continue
        left = _left_with_her(meeting, laid, practice)
        weights[meeting.cock] = min(1.0, weights.get(meeting.cock, 0.0) + left)
        known = latest.get(meeting.cock)
        if known is None or _parted(meeting, laid) >= _parted(known, laid):
            latest[meeting.cock] = meeting
    for cock in _cleared(latest, laid, practice):
        day = _parted(latest.pop(cock), laid) + timedelta(practice.clear_days)
        excluded[cock] = Reason(ReasonKind.CLEARED, cock, day)
        del weights[cock]
    reasons = [
        reason
        for cock, reason in excluded.items()
        if cock not in weights and not (weights and reason.kind in _FAR_OFF)
    ]
    if not meetings:
        reasons.append(Reason(ReasonKind.NO_COCK))
    why = {cock: _why(meeting, laid, practice) for cock, meeting in latest.items()}
    with_her = [cock for cock, meeting in latest.items() if _parted(meeting, laid) == laid]
    if len(with_her) > 1:
        reasons.append(Reason(ReasonKind.EQUAL_ASSUMED))
    if len(weights) > 1 and any(weight < 1 for weight in weights.values()):
        reasons.append(Reason(ReasonKind.LATER_GAINS))
    return Sires(_likeliest_first(weights, why), tuple(reasons))


def _parted(meeting: Meeting, laid: date) -> date:
    """The last day together up to the day of laying."""
    return laid if meeting.last is None else min(meeting.last, laid)


def _why_not(meeting: Meeting, laid: date, practice: Practice) -> Reason | None:
    """Why no egg of this day can come of the meeting; ``None`` if one can."""
    start = meeting.counts_from
    if not meeting.was_fertile:
        return Reason(ReasonKind.TOO_YOUNG, meeting.cock, meeting.fertile_from)
    if start is not None and start > laid:
        young = meeting.first is None or meeting.first <= laid
        return Reason(ReasonKind.TOO_YOUNG if young else ReasonKind.NOT_YET_MET, meeting.cock, start)
    if start is not None and laid < start + timedelta(practice.earliest_days):
        return Reason(ReasonKind.TOO_SOON, meeting.cock, start + timedelta(practice.earliest_days))
    if (laid - _parted(meeting, laid)).days >= practice.lasting_days:
        end = _parted(meeting, laid) + timedelta(practice.lasting_days)
        return Reason(ReasonKind.TOO_LATE, meeting.cock, end)
    return None


def _left_with_her(meeting: Meeting, laid: date, practice: Practice) -> float:
    """The weight of one meeting on the day of laying."""
    start = meeting.counts_from
    steps = practice.covered_days - practice.earliest_days + 1
    grown = 1.0 if start is None else min(1.0, ((laid - start).days - practice.earliest_days + 1) / steps)
    gone_days = (laid - _parted(meeting, laid)).days
    return float(grown * 0.5 ** (gone_days / practice.halving_days))


def _cleared(
    latest: Mapping[Cock | None, Meeting], laid: date, practice: Practice
) -> tuple[Cock | None, ...]:
    """The cocks whose clear date has come, if a later one is there to take their place."""
    gone = {
        cock
        for cock, meeting in latest.items()
        if (laid - _parted(meeting, laid)).days >= practice.clear_days
    }
    return tuple(gone) if len(gone) < len(latest) else ()


def _why(meeting: Meeting, laid: date, practice: Practice) -> Reason:
    """Why a cock counts."""
    gone_days = (laid - _parted(meeting, laid)).days
    if gone_days >= practice.usual_lasting_days:
        return Reason(ReasonKind.GONE_LONG, meeting.cock, meeting.last)
    if gone_days > 0:
        return Reason(ReasonKind.GONE_LATELY, meeting.cock, meeting.last)
    start = meeting.counts_from
    if start is not None and laid < start + timedelta(practice.covered_days):
        return Reason(ReasonKind.NOT_YET_COVERED, meeting.cock, start + timedelta(practice.covered_days))
    return Reason(ReasonKind.WITH_HER, meeting.cock, start)


class NotLaying(Enum):
    """Why an egg cannot be a hen's, though she was there."""

    BROODY = "broody"
    MOULTING = "moulting"
    EGG_COLOUR = "egg colour"
    TOO_YOUNG = "too young"
    NOT_THERE = "not there"
    TRAPPED_ELSEWHERE = "trapped elsewhere"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class HenExposure:
    """A hen of whom an egg may be: her meetings, why it cannot be hers, and how many eggs she lays beside others."""

    hen: Hen | None
    meetings: tuple[Meeting, ...]
    not_laying: NotLaying | None = None
    weight: float = 1.0


@dataclass(frozen=True, slots=True)
class CandidatePair:
    """A cock (``None``: an unknown outside one) with his hen, and their weight from 0 to 1."""

    sire: Cock | None
    dam: Hen | None
    weight: float


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A hen who does not count: she was not laying, or no cock counts for her (then `sires` tells why)."""

    hen: Hen | None
    not_laying: NotLaying | None
    sires: Sires | None = None


@dataclass(frozen=True, slots=True)
class Candidates:
    """The candidate pairs of an egg, the likeliest first; their weights sum to 1 unless there is none.

    Attributes
    ----------
    by_hen
        What was found for each hen that counts, in the order given.
    left_out
        The hens that do not count.
    """

    pairs: tuple[CandidatePair, ...]
    by_hen: tuple[tuple[Hen | None, Sires], ...] = ()
    left_out: tuple[LeftOut, ...] = ()

    @property
    def is_certain(self) -> bool:
        """True if one known cock and one hen are left."""
        return len(self.pairs) == 1 and self.pairs[0].sire is not None and self.pairs[0].dam is not None


def candidate_pairs(
    hens: Sequence[HenExposure], laid: date, practice: Practice, laid_last: date | None = None
) -> Candidates:
    """The pairs an egg of one of `hens` may come from: each hen with her own cocks, never crossed.

    The hens share in proportion to their weights (equal unless told); a hen counts once, whatever the number
    of her cocks.
    """
    by_hen: list[tuple[HenExposure, Sires]] = []
    left_out: list[LeftOut] = []
    # hens that were always together met the same cocks on the same days
    found: dict[tuple[Meeting, ...], Sires] = {}
    for exposure in hens:
        if exposure.not_laying or exposure.weight <= 0:
            left_out.append(LeftOut(exposure.hen, exposure.not_laying or NotLaying.OTHER))
            continue
        if exposure.meetings not in found:
            found[exposure.meetings] = sires_of_egg(exposure.meetings, laid, practice, laid_last)
        sires = found[exposure.meetings]
        if sires.shares:
            by_hen.append((exposure, sires))
        else:
            left_out.append(LeftOut(exposure.hen, None, sires))
    total = sum(exposure.weight for exposure, _sires in by_hen)
    pairs = (
        CandidatePair(share.cock, exposure.hen, share.weight * exposure.weight / total)
        for exposure, sires in by_hen
        for share in sires.shares
    )
    return Candidates(
        _pooled(pairs), tuple((exposure.hen, sires) for exposure, sires in by_hen), tuple(left_out)
    )


def mixed(lots: Sequence[tuple[Candidates, float]]) -> Candidates:
    """The candidate pairs of an egg from eggs mixed, each lot with the number of its eggs.

    Lots of which nobody is a candidate count for nothing.
    """
    known = [(candidates, eggs) for candidates, eggs in lots if candidates.pairs and eggs > 0]
    total = sum(eggs for _candidates, eggs in known)
    pairs = (
        replace(pair, weight=pair.weight * eggs / total)
        for candidates, eggs in known
        for pair in candidates.pairs
    )
    return Candidates(
        _pooled(pairs),
        tuple(found for candidates, _eggs in known for found in candidates.by_hen),
        tuple(left for candidates, _eggs in lots for left in candidates.left_out),
    )


def _pooled(pairs: Iterable[CandidatePair]) -> tuple[CandidatePair, ...]:
    """Each pair once, the likeliest first."""
    weights: dict[tuple[Cock | None, Hen | None], float] = {}
    for pair in pairs:
        weights[pair.sire, pair.dam] = weights.get((pair.sire, pair.dam), 0.0) + pair.weight
    made = (CandidatePair(sire, dam, weight) for (sire, dam), weight in weights.items())
    return tuple(sorted(made, key=lambda pair: -pair.weight))


@dataclass(frozen=True, slots=True)
class HenExchange:
    """What an exchange of cocks means for one hen.

    Attributes
    ----------
    may_be_his_from, covered_from
        From which day an egg may be the new cock's, and from which her eggs are reliably fertile by him.
    earlier
        The cocks whose eggs may still come (``None``: an unknown outside one), the latest gone first.
    clear_from
        The day from which eggs count as the new cock's alone; ``None`` if she had no earlier cock.
    earlier_until
        The last day on which an egg may be an earlier cock's at all; ``None`` as above.
    """

    hen: Hen
    may_be_his_from: date
    covered_from: date
    earlier: tuple[Cock | None, ...]
    clear_from: date | None
    earlier_until: date | None


@dataclass(frozen=True, slots=True)
class Exchange:
    """An exchange of cocks in a pen, hen by hen; the pen is clear and covered when the last of its hens is."""

    on: date
    new_cock: Cock
    hens: tuple[HenExchange, ...]

    @property
    def covered_from(self) -> date | None:
        """The day from which every hen is covered; ``None`` without hens."""
        return max((hen.covered_from for hen in self.hens), default=None)

    @property
    def clear_from(self) -> date | None:
        """The day from which every egg of the pen is the new cock's; ``None`` if no hen had an earlier cock."""
        return max((hen.clear_from for hen in self.hens if hen.clear_from), default=None)

    @property
    def certain_from(self) -> date | None:
        """The day from which every hen is both clear and covered; ``None`` without hens."""
        return max((day for day in (self.covered_from, self.clear_from) if day), default=None)


def exchange(
    hens: Mapping[Hen, Sequence[Meeting]],
    new_cock: Cock,
    on: date,
    practice: Practice,
    fertile_from: date | None = None,
) -> Exchange:
    """What follows if `new_cock` joins these hens on the day `on` and every cock with them then leaves.

    `fertile_from` is the day the new cock is of age, if that is later.
    """
    start = max(on, fertile_from or on)
    rows = []
    for hen, meetings in hens.items():
        earlier = _earlier(_ended(meetings, on), start, practice, (new_cock,))
        rows.append(
            HenExchange(
                hen,
                start + timedelta(practice.earliest_days),
                start + timedelta(practice.covered_days),
                tuple(earlier),
                _after(earlier, practice.clear_days),
                _after(earlier, practice.lasting_days - 1),
            )
        )
    return Exchange(on, new_cock, tuple(rows))


def clear_date(
    meetings: Sequence[Meeting],
    practice: Practice,
    *,
    kept: Collection[Cock] = (),
    strict: bool = False,
) -> date | None:
    """The day from which a hen's eggs are not an earlier cock's, counted from her parting with the last of them.

    Earlier are all cocks she has parted from but those of `kept`, and but those who are with her again.
    ``None`` if there is no earlier cock. `strict` leaves no doubt where the usual figure leaves a little.
    """
    together = {meeting.cock for meeting in meetings if meeting.last is None}
    parted = _earlier(meetings, None, practice, {*together, *kept})
    return _after(parted, practice.strict_clear_days if strict else practice.clear_days)


def pen_clear_date(
    hens: Iterable[Sequence[Meeting]],
    practice: Practice,
    *,
    kept: Collection[Cock] = (),
    strict: bool = False,
) -> date | None:
    """The clear date of a pen: that of the last of its hens; ``None`` if none had an earlier cock."""
    days = (clear_date(meetings, practice, kept=kept, strict=strict) for meetings in hens)
    return max((day for day in days if day), default=None)


def _ended(meetings: Sequence[Meeting], on: date) -> list[Meeting]:
    """The meetings begun by the day `on`, with the open ones ended on it."""
    begun = [meeting for meeting in meetings if meeting.first is None or meeting.first <= on]
    return [replace(meeting, last=min(meeting.last or on, on)) for meeting in begun]


def _earlier(
    meetings: Iterable[Meeting], on: date | None, practice: Practice, kept: Collection[Cock | None]
) -> dict[Cock | None, date]:
    """When she parted from each other cock of whom eggs may come on the day `on`, the latest first."""
    parted: dict[Cock | None, date] = {}
    for meeting in meetings:
        if meeting.last is None or meeting.cock in kept or not meeting.was_fertile:
            continue
        if on is None or (on - meeting.last).days < practice.lasting_days:
            parted[meeting.cock] = max(parted.get(meeting.cock, meeting.last), meeting.last)
    return dict(sorted(parted.items(), key=lambda item: item[1], reverse=True))


def _after(parted: Mapping[Cock | None, date], days: int) -> date | None:
    """So many days after the last parting; ``None`` without one."""
    return max(parted.values()) + timedelta(days) if parted else None
