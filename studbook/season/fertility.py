"""Fertility trials of cocks: how many eggs, from which day they count, what a result shows and what it does not.

Eggs of one hen stand or fall together, so results are kept hen by hen; the limits take eggs as independent
and are too narrow where hens differ. Fertility seen by candling is apparent fertility: an embryo that died
in its first hours looks clear. A poor result early in the year asks for a second test, it condemns nobody.
"""

import math
from collections import defaultdict
from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import Enum
from itertools import count

from studbook.season.binomial import (
    Interval,
    chance_of_at_least,
    interval,
    lower_limit,
    probability_greater,
    upper_limit,
)
from studbook.season.paternity import Cock, Meeting
from studbook.season.practice import Practice

MOST_EGGS = 2000


@dataclass(frozen=True, slots=True)
class TrialPlan:
    """How many eggs show at least `share` fertile with `confidence`, if at most `clear_allowed` are clear.

    Attributes
    ----------
    good_share, good_passes
        A cock of this true fertility passes the trial with this chance; he fails it with the rest.
    """

    share: float
    confidence: float
    eggs: int
    clear_allowed: int
    good_share: float
    good_passes: float


def eggs_needed(share: float, confidence: float = 0.95, clear_allowed: int = 0) -> int:
    """The fewest eggs of which all but `clear_allowed` fertile show at least `share` with `confidence`.

    A cock of exactly `share` would pass with a chance of at most 1 - `confidence`.

    Raises
    ------
    ValueError
        If share or confidence is not between 0 and 1, or more than 2,000 eggs would be needed.

    Examples
    --------
    >>> eggs_needed(0.85)
    19
    """
    if not 0 < share < 1 or not 0 < confidence < 1 or clear_allowed < 0:
        raise ValueError("share and confidence lie between 0 and 1, and no fewer than 0 eggs are clear")
    low, high = clear_allowed, MOST_EGGS
    if chance_to_pass(share, high, clear_allowed) > 1 - confidence:
        raise ValueError(f"more than {MOST_EGGS} eggs would be needed")
    while high - low > 1:
        middle = (low + high) // 2
        if chance_to_pass(share, middle, clear_allowed) <= 1 - confidence:
            high = middle
        else:
            low = middle
    return high


def chance_to_pass(true_share: float, eggs: int, clear_allowed: int = 0) -> float:
    """The chance that a cock of this true fertility has at most `clear_allowed` clear of `eggs` eggs.

    Examples
    --------
    >>> round(chance_to_pass(0.95, 19), 4)
    0.3774
    """
    return chance_of_at_least(eggs - clear_allowed, eggs, true_share)


def trial_plans(
    share: float = 0.85, confidence: float = 0.95, most_clear: int = 2, good_share: float = 0.95
) -> tuple[TrialPlan, ...]:
    """The plans for none, one, … `most_clear` clear eggs allowed; `ValueError` as in `eggs_needed`."""
    plans = []
    for clear_allowed in range(most_clear + 1):
        eggs = eggs_needed(share, confidence, clear_allowed)
        passes = chance_to_pass(good_share, eggs, clear_allowed)
        plans.append(TrialPlan(share, confidence, eggs, clear_allowed, good_share, passes))
    return tuple(plans)


def days_of_laying(eggs: int, hens: int, eggs_per_hen_day: float) -> int:
    """How many days of collecting give so many eggs, to be expected at this rate.

    Raises
    ------
    ValueError
        If there are no hens or they do not lay.
    """
    if hens < 1 or eggs_per_hen_day <= 0:
        raise ValueError("without laying hens there are no eggs")
    return math.ceil(eggs / (hens * eggs_per_hen_day) - 1e-9)


@dataclass(frozen=True, slots=True)
class Counting:
    """From which day a hen's eggs count in a trial of a cock.

    Attributes
    ----------
    possible_from, covered_from
        An egg may be his from the one day and should be fertile by him from the other; ``None`` if the two
        have not met.
    clear_from
        Her clear date of the cocks before him, strictly; ``None`` if there was none.
    counts_from
        The later of covered and clear; ``None`` if never, as things stand.
    until
        The last day that counts: the day he left, or the day before another cock's eggs may come. ``None``
        while it goes on.
    others
        Cocks with her during the trial (``None``: unknown), by whom its eggs may be.
    """

    possible_from: date | None
    covered_from: date | None
    clear_from: date | None
    counts_from: date | None
    until: date | None
    others: tuple[Cock | None, ...]

    def counts(self, laid: date) -> bool:
        """True if an egg laid on this day tells of the cock alone."""
        if self.counts_from is None or laid < self.counts_from:
            return False
        return self.until is None or laid <= self.until


def counting(meetings: Sequence[Meeting], cock: Cock, practice: Practice) -> Counting:
    """From which day until when this hen's eggs tell of `cock` alone, going by his latest meeting with her.

    A cock with her since before counts as the earlier one; she is clear of him `strict_clear_days` after they
    parted. Another who joins later ends the count.
    """
    his = [
        meeting
        for meeting in meetings
        if meeting.cock == cock and meeting.was_fertile and meeting.counts_from is not None
    ]
    if not his:
        return Counting(None, None, None, None, None, ())
    trial = max(his, key=lambda meeting: meeting.counts_from or date.min)
    start = trial.counts_from or date.min
    rivals = [meeting for meeting in meetings if meeting.cock != cock and meeting.was_fertile]
    together = [
        rival
        for rival in rivals
        if (rival.last is None or rival.last > start)
        and (trial.last is None or rival.counts_from is None or rival.counts_from <= trial.last)
    ]
    before = [rival for rival in rivals if rival.counts_from is None or rival.counts_from <= start]
    after = [rival.counts_from for rival in rivals if rival.counts_from and rival.counts_from > start]
    clear = [rival.last + timedelta(practice.strict_clear_days) for rival in before if rival.last]
    covered = start + timedelta(practice.covered_days)
    ends = [day + timedelta(practice.earliest_days - 1) for day in after]
    if trial.last is not None:
        ends.append(trial.last)
    until = min(ends, default=None)
    from_day: date | None = max([covered, *clear])
    if any(rival.last is None for rival in before) or (until is not None and from_day and from_day > until):
        from_day = None
    return Counting(
        start + timedelta(practice.earliest_days),
        covered,
        max(clear, default=None),
        from_day,
        until,
        tuple(dict.fromkeys(rival.cock for rival in together)),
    )


@dataclass(frozen=True, slots=True)
class HenCount:
    """Eggs of one hen (``None``: not known whose) whose state was seen, and how many of them were fertile."""

    hen: Hashable | None
    fertile: int
    seen: int

    def __post_init__(self) -> None:
        if not 0 <= self.fertile <= self.seen:
            raise ValueError(f"{self.fertile} fertile of {self.seen} seen is not possible")


class TrialVerdict(Enum):
    """What the result of a trial shows."""

    SHOWN_GOOD = "shown good"
    NOT_SHOWN = "not shown"
    WEAK_TEST_AGAIN = "weak, test again"
    NOTHING_SEEN = "nothing seen"


class TrialReason(Enum):
    """What a result rests on and what stands against it."""

    LIMIT_REACHED = "limit reached"  # the lower limit reaches the share asked for
    TOO_FEW_EGGS = "too few eggs"  # even all fertile would not have shown it
    BELOW_LIMIT = "below limit"  # enough eggs, too many of them clear
    POOR = "poor"  # the share asked for is all but ruled out
    EARLY_IN_YEAR = "early in year"  # short days: cocks and hens may not be ready
    FEW_HENS = "few hens"  # fewer hens than advised: the result may be theirs
    HENS_DIFFER = "hens differ"  # more than chance allows: the hens have a part in it
    HENS_NOT_KNOWN = "hens not known"  # nothing can be said of the hens' part
    EGGS_LEFT_OUT = "eggs left out"  # eggs that may be another cock's were not counted
    APPARENT_FERTILITY = "apparent fertility"  # early dead may look clear


@dataclass(frozen=True, slots=True)
class TrialResult:
    """A trial's result.

    Attributes
    ----------
    whole
        Fertile eggs of all seen, with the exact two-sided interval.
    lower_limit, upper_limit
        The one-sided limits at `confidence`.
    by_hen
        Each hen's share with its interval.
    heterogeneity
        The chance of hens differing at least so much if they were alike; ``None`` with fewer than two hens.
    """

    verdict: TrialVerdict
    reasons: tuple[TrialReason, ...]
    share: float
    confidence: float
    whole: Interval
    lower_limit: float
    upper_limit: float
    by_hen: tuple[tuple[Hashable | None, Interval], ...]
    heterogeneity: float | None


def judge(
    counts: Sequence[HenCount],
    practice: Practice,
    *,
    share: float = 0.85,
    confidence: float = 0.95,
    set_on: date | None = None,
    southern: bool = False,
    left_out: int = 0,
) -> TrialResult:
    """What the eggs of a trial show about a cock.

    `set_on` is the day the eggs were set (short days are those of the northern winter unless `southern`);
    `left_out` the eggs that did not count because they may be another cock's.

    Raises
    ------
    ValueError
        If share or confidence is not between 0 and 1.
    """
    fertile = sum(hen.fertile for hen in counts)
    seen = sum(hen.seen for hen in counts)
    lower, upper = lower_limit(fertile, seen, confidence), upper_limit(fertile, seen, confidence)
    known = [hen for hen in counts if hen.hen is not None and hen.seen]
    unlike = heterogeneity(known)
    early = set_on is not None and short_days(set_on, southern=southern)
    reasons = []
    if seen == 0:
        verdict = TrialVerdict.NOTHING_SEEN
    elif lower >= share:
        verdict = TrialVerdict.SHOWN_GOOD
        reasons.append(TrialReason.LIMIT_REACHED)
    elif upper < share:
        verdict = TrialVerdict.WEAK_TEST_AGAIN
        reasons.append(TrialReason.POOR)
    else:
        verdict = TrialVerdict.NOT_SHOWN
        few = seen < eggs_needed(share, confidence)
        reasons.append(TrialReason.TOO_FEW_EGGS if few else TrialReason.BELOW_LIMIT)
        if early and fertile < share * seen:
            verdict = TrialVerdict.WEAK_TEST_AGAIN
    if seen and early and verdict is not TrialVerdict.SHOWN_GOOD:
        reasons.append(TrialReason.EARLY_IN_YEAR)
    if any(hen.hen is None and hen.seen for hen in counts):
        reasons.append(TrialReason.HENS_NOT_KNOWN)
    elif seen and len({hen.hen for hen in known}) < practice.trial_hens:
        reasons.append(TrialReason.FEW_HENS)
    if unlike is not None and unlike < 1 - confidence:
        reasons.append(TrialReason.HENS_DIFFER)
    if left_out:
        reasons.append(TrialReason.EGGS_LEFT_OUT)
    if fertile < seen:
        reasons.append(TrialReason.APPARENT_FERTILITY)
    return TrialResult(
        verdict,
        tuple(reasons),
        share,
        confidence,
        interval(fertile, seen, confidence),
        lower,
        upper,
        tuple((hen.hen, interval(hen.fertile, hen.seen, confidence)) for hen in counts),
        unlike,
    )


_NORTHERN_SHORT_DAYS = (11, 12, 1, 2)


def short_days(day: date, *, southern: bool = False) -> bool:
    """True from November to February, half a year later in the south: fertility may still be coming."""
    month = (day.month + 5) % 12 + 1 if southern else day.month
    return month in _NORTHERN_SHORT_DAYS


def heterogeneity(counts: Sequence[HenCount]) -> float | None:
    """The chance that hens differ at least as much as these if they were alike; ``None`` with fewer than two.

    Pearson's chi-squared of the table of hens, referred to its exact distribution given the number of fertile
    eggs (the multiple hypergeometric): no approximation for small numbers. Where that takes too long (many
    hens with unlike numbers of eggs) 20,000 repeatable draws from the same distribution stand in for it.
    Hens named twice are added up.

    References
    ----------
    Freeman & Halton 1951, Biometrika 38:141-149 (exact treatment of such tables).
    """
    by_hen: dict[Hashable | None, tuple[int, int]] = {}
    for hen in counts:
        fertile, seen = by_hen.get(hen.hen, (0, 0))
        by_hen[hen.hen] = (fertile + hen.fertile, seen + hen.seen)
    hens = [(fertile, seen) for fertile, seen in by_hen.values() if seen]
    if len(hens) < 2:
        return None
    if sum(fertile for fertile, _seen in hens) * 2 > sum(seen for _fertile, seen in hens):
        # The test is the same for the clear eggs, and of them there are fewer.
        hens = [(seen - fertile, seen) for fertile, seen in hens]
    common = math.lcm(*(seen for _counted, seen in hens))
    counted_total = sum(counted for counted, _seen in hens)
    # Given both margins, chi-squared grows with this sum alone, which stays a whole number.
    observed = sum(counted * counted * common // seen for counted, seen in hens)
    ways: dict[tuple[int, int], int] = {(0, 0): 1}
    left = sum(seen for _counted, seen in hens)
    for _counted, seen in hens:
        left -= seen
        steps = [(k, k * k * common // seen, math.comb(seen, k)) for k in range(seen + 1)]
        further: defaultdict[tuple[int, int], int] = defaultdict(int)
        for (total, spread), number in ways.items():
            most = min(seen, counted_total - total)
            for k, more, choices in steps[max(0, counted_total - total - left) : most + 1]:
                further[total + k, min(observed, spread + more)] += number * choices
        ways = further
        if len(ways) > _MOST_STATES:
            return _by_draws(hens, observed / common)
    return sum(number for (_total, spread), number in ways.items() if spread >= observed) / sum(ways.values())


_MOST_STATES = 3000
_DRAWS = 20_000


def _by_draws(hens: Sequence[tuple[int, int]], observed: float) -> float:
    """The chance of a spread of `observed` or more, from draws; the table itself counts as one of them."""
    import numpy as np

    seen = np.array([seen for _counted, seen in hens])
    drawn = np.random.default_rng(1951).multivariate_hypergeometric(
        seen, sum(counted for counted, _seen in hens), _DRAWS, method="marginals"
    )
    spread = (drawn * drawn / seen).sum(axis=1)
    return float((np.count_nonzero(spread >= observed - 1e-9) + 1) / (_DRAWS + 1))


@dataclass(frozen=True, slots=True)
class Prior:
    """What is believed before: as if so many fertile and so many clear eggs less one had been seen; (1, 1) is even."""

    fertile: int = 1
    clear: int = 1

    def __post_init__(self) -> None:
        if self.fertile < 1 or self.clear < 1:
            raise ValueError("a prior is given by two whole numbers from 1")


EVEN = Prior()


def probability_better(k1: int, n1: int, k2: int, n2: int, prior: Prior = EVEN) -> float:
    """The chance that a cock with `k1` of `n1` fertile is truly better than one with `k2` of `n2`.

    Exact, with the same beta prior for both: every fertility from 0 to 1 equally likely, unless told.

    Raises
    ------
    ValueError
        If a count is not possible.

    Examples
    --------
    >>> round(probability_better(1, 1, 0, 1), 4)
    0.8333
    """
    for k, n in ((k1, n1), (k2, n2)):
        if not 0 <= k <= n:
            raise ValueError(f"{k} of {n} is not possible")
    first = (prior.fertile + k1, prior.clear + n1 - k1)
    second = (prior.fertile + k2, prior.clear + n2 - k2)
    return probability_greater(first, second)


def first_day_with(eggs_by_day: Sequence[tuple[date, int]], wanted: int) -> date | None:
    """The day on which `wanted` counting eggs had been gathered; ``None`` if there are not yet so many."""
    gathered = 0
    for day, number in sorted(eggs_by_day):
        gathered += number
        if gathered >= wanted:
            return day
    return None


@dataclass(frozen=True, slots=True)
class TrialDates:
    """The days of a planned trial: eggs count from, the last is laid, they are set, candled."""

    starts: date
    counts_from: date
    laid_by: date
    set_on: date
    candled_on: date


def trial_dates(
    starts: date, hens: Sequence[Counting], eggs: int, eggs_per_hen_day: float, candling_day: int
) -> TrialDates:
    """The days of a trial begun on `starts` with hens who count from those days, at this rate of laying.

    The eggs are set the day after the last is laid and candled `candling_day` days later.

    Raises
    ------
    ValueError
        If no hen will count, or they do not lay.
    """
    ready = [hen.counts_from for hen in hens if hen.counts_from is not None]
    if not ready or eggs_per_hen_day <= 0:
        raise ValueError("no hen's eggs will count")
    expected = 0.0
    for after in count():
        day = min(ready) + timedelta(after)
        expected += eggs_per_hen_day * sum(day >= first for first in ready)
        if expected >= eggs - 1e-9:
            break
    return TrialDates(starts, min(ready), day, day + timedelta(1), day + timedelta(1 + candling_day))
