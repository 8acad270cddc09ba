"""The best cocks and hens to keep: the set whose chicks are related the least, with a proven lower bound.

Of the kept birds each cock gives 1/(2N) and each hen 1/(2M) of the next generation's genes; that is the vector c.
The mean kinship of the next generation is c′Kc, and the best set of N cocks and M hens makes it smallest. It is found
by branch and bound. Every bound is the height of a plane that touches the figure, made convex, from below: it holds
wherever the plane touches, so rounding and an unfinished descent make it weaker, never wrong.

References
----------
Meuwissen 1997, Journal of Animal Science 75:934-940 (c′Kc as what is to be kept small). Billionnet & Elloumi 2007,
Mathematical Programming 109:55-68 (moving the diagonal of a binary quadratic problem to make it convex and tight).
Beck & Teboulle 2009, SIAM Journal on Imaging Sciences 2:183-202 (the accelerated descent).
"""

import heapq
from collections.abc import Callable
from dataclasses import dataclass
from itertools import count
from time import perf_counter

import numpy as np
from numpy.typing import NDArray

from studbook.genetics.breeding_stock import SAME, Stock, next_kinship, swap_changes
from studbook.genetics.convex_figure import MOST_TIGHTENED, Convex, convexified

# Parts looked at together, and the steps down in each; with many birds more steps.
_BATCH = 256
_DESCENT = 3
_MOST_DESCENT = 24
_BIRDS_PER_STEP = 16
# Steps down before the first split, and how near, as a share, is near enough there.
_ROOT_DESCENT = 160
_NEAR = 1e-6
# Rounds of making the first bound higher, and the part of the time they may take.
_ROUNDS = 3
_TIGHTENING = 0.4
# Numbers kept of parts not looked at yet, of 6 bytes each.
_MOST_NODES_NUMBERS = 20_000_000
# Sets from chance to begin with, fewer when there are more than so many birds.
_STARTS = 24
_MANY = 200
# Steps to shift a relaxed set to the right numbers.
_SHIFTS = 40


@dataclass(frozen=True, eq=False)
class BestSet:
    """The best set found.

    Attributes
    ----------
    chosen
        (n,) the birds kept.
    kinship
        c′Kc: the mean kinship of the next generation.
    bound
        No set has less than this.
    is_proven
        True when no set is better by more than `SAME`.
    examined
        How many parts of the choice were looked at.
    others
        The next best sets, (n,) each with its figure; of birds that are alike only the first are told.
    others_proven
        True when no set better than the last of the `others` is missing.
    """

    chosen: NDArray[np.bool_]
    kinship: float
    bound: float
    is_proven: bool
    examined: int
    others: tuple[tuple[NDArray[np.bool_], float], ...] = ()
    others_proven: bool = False

    @property
    def gap(self) -> float:
        """How much better another set could be at most, as a share of the figure."""
        return max(0.0, (self.kinship - self.bound) / self.kinship) if self.kinship > 0 else 0.0


def best_set(
    among: Stock,
    *,
    seconds: float = 10.0,
    is_stopped: Callable[[], bool] | None = None,
    told: Callable[[float, float], None] | None = None,
    others: int = 0,
    seed: int = 1,
) -> BestSet:
    """The best set of a stock, or the best found in so many seconds or until it `is_stopped`.

    `told` hears the figure of the best set so far and the lower bound; an exception it raises ends the work. Once the
    best set is proven, so many `others` are looked for that come next, within the same time.
    """
    until = perf_counter() + seconds
    search = _Search(among, until, is_stopped or (lambda: False), told, np.random.default_rng(seed))
    return search.run(others)


class _Search:
    """One branch and bound over the birds that may stay."""

    def __init__(
        self,
        among: Stock,
        until: float,
        is_stopped: Callable[[], bool],
        told: Callable[[float, float], None] | None,
        rng: np.random.Generator,
    ) -> None:
        self._among = among
        self._until, self._is_stopped, self._told, self._rng = until, is_stopped, told, rng
        now = perf_counter()
        self._tighten_until = now + _TIGHTENING * (until - now)
        self._rows = np.flatnonzero(~among.must_go)
        part = np.ix_(self._rows, self._rows)
        self._cock = among.is_cock[self._rows]
        self._groups = [
            (np.flatnonzero(self._cock), among.cocks),
            (np.flatnonzero(~self._cock), among.hens),
        ]
        self._share = among.share[self._rows]
        self._kinship = among.kinship[part]
        self._quadratic = self._kinship * np.outer(self._share, self._share)
        self._stay = among.must_stay[self._rows]
        self._twins = _twins(self._kinship, self._cock, self._stay)
        self._best = np.zeros(len(self._rows), dtype=bool)
        self._figure = np.inf
        self._examined = 0
        # while others are looked for: those found by what they are, the best kept, and the figure of the last
        self._wanted = 0
        self._found: dict[bytes, tuple[float, NDArray[np.bool_]]] = {}
        self._last = np.inf

    @property
    def _limit(self) -> float:
        """What has to be beaten: the best set, or the last of the others."""
        return self._last if self._wanted else self._figure

    def run(self, others: int) -> BestSet:
        """Search until nothing is left, the time is over or it is stopped."""
        self._begin()
        low = self._stay.astype(np.float64)[None, :]
        high = np.ones_like(low)
        low, high = self._close(low, high)
        start = self._uniform(low[0], high[0])[None, :]
        convex = convexified(self._quadratic, self._groups, start[0], self._is_tight_enough)
        sets, bound = self._descend(convex, low, high, start, _ROOT_DESCENT)
        for _round in range(_ROUNDS):
            if self._is_tight_enough() or len(self._rows) > MOST_TIGHTENED or bound[0] >= self._figure - SAME:
                break
            tighter = convexified(self._quadratic, self._groups, sets[0], self._is_tight_enough)
            tried, height = self._descend(tighter, low, high, sets, _ROOT_DESCENT)
            gained = height[0] - bound[0]
            if gained > 0:
                convex, sets, bound = tighter, tried, height
            if gained <= 10 * _NEAR * abs(bound[0]):
                break
        open_bound = min(self._figure, self._explore(convex, low, high, sets, bound))
        is_proven = open_bound >= self._figure - SAME
        best = self._whole(self._best)
        figure = next_kinship(self._among.kinship, self._among.is_cock, best)
        found: tuple[tuple[NDArray[np.bool_], float], ...] = ()
        is_complete = False
        if others and is_proven and not self._is_over():
            self._wanted = others + 1
            self._keep(self._best, self._figure)
            self._keep_neighbours()
            is_complete = self._explore(convex, low, high, sets, bound) >= self._last - SAME
            ranked = sorted(self._found.values(), key=lambda each: each[0])
            found = tuple((self._whole(chosen), value) for value, chosen in ranked[1:])
        return BestSet(
            best, figure, figure if is_proven else open_bound, is_proven, self._examined, found, is_complete
        )

    def _whole(self, chosen: NDArray[np.bool_]) -> NDArray[np.bool_]:
        """(n,) a set of the birds that may stay, as one of all birds."""
        made = np.zeros(len(self._among.is_cock), dtype=bool)
        made[self._rows[chosen]] = True
        return made

    def _keep(self, chosen: NDArray[np.bool_], figure: float) -> None:
        """Keep a set among the best, once for all the sets that are alike."""
        if figure >= self._last - SAME:
            return
        first = chosen.copy()
        for alike in self._twins:
            first[alike] = np.arange(len(alike)) < chosen[alike].sum()
        self._found.setdefault(first.tobytes(), (figure, first))
        if len(self._found) > self._wanted:
            del self._found[max(self._found, key=lambda each: self._found[each][0])]
        if len(self._found) == self._wanted:
            self._last = max(value for value, _chosen in self._found.values())

    def _keep_neighbours(self) -> None:
        """The sets one swap away: good ones to begin with."""
        changes = swap_changes(self._among, self._whole(self._best))[np.ix_(self._rows, self._rows)]
        for place in np.argsort(changes, axis=None)[: 10 * self._wanted].tolist():
            change = float(changes.flat[place])
            if np.isnan(change):
                break
            gone, come = divmod(place, len(self._rows))
            chosen = self._best.copy()
            chosen[gone], chosen[come] = False, True
            self._keep(chosen, self._figure + change)

    def _explore(
        self,
        convex: Convex,
        low: NDArray[np.float64],
        high: NDArray[np.float64],
        sets: NDArray[np.float64],
        bound: NDArray[np.float64],
    ) -> float:
        """Split and bound until nothing is left; the lowest bound of what was not looked at, infinite of nothing."""
        numbers = count()
        heap: list[tuple[float, int, NDArray[np.int8], NDArray[np.int8], NDArray[np.float32]]] = []
        most = max(1_000, _MOST_NODES_NUMBERS // len(self._rows))
        # measured: with few birds many quick looks prove more, with many birds fewer thorough ones
        steps = min(_MOST_DESCENT, max(_DESCENT, len(self._rows) // _BIRDS_PER_STEP))

        def push(
            low: NDArray[np.float64],
            high: NDArray[np.float64],
            sets: NDArray[np.float64],
            bound: NDArray[np.float64],
        ) -> None:
            for place in np.flatnonzero(bound < self._limit - SAME).tolist():
                node = (
                    low[place].astype(np.int8),
                    high[place].astype(np.int8),
                    sets[place].astype(np.float32),
                )
                heapq.heappush(heap, (float(bound[place]), next(numbers), *node))

        self._round(sets)
        push(low, high, sets, bound)
        # a search that outgrows the memory ends as one that outlasts the time
        while heap and len(heap) < most and heap[0][0] < self._limit - SAME and not self._is_over():
            taken = [heapq.heappop(heap) for _place in range(min(_BATCH, len(heap)))]
            taken = [node for node in taken if node[0] < self._limit - SAME]
            low = np.array([node[2] for node in taken], dtype=np.float64)
            high = np.array([node[3] for node in taken], dtype=np.float64)
            sets = np.array([node[4] for node in taken], dtype=np.float64)
            floor = np.array([node[0] for node in taken])
            low, high, sets, floor = self._branch(low, high, sets, floor)
            if not len(low):
                continue
            sets, bound = self._descend(convex, low, high, sets, steps)
            bound = np.maximum(bound, floor)
            self._examined += len(low)
            self._round(sets)
            # a part with one set in it has been looked at
            bound = np.where((low >= high).all(axis=1), np.inf, bound)
            low, high, bound = self._settle(convex, low, high, sets, bound)
            push(low, high, sets, bound)
            if self._told is not None:
                self._told(self._figure, min(self._figure, heap[0][0] if heap else self._figure))
        return min((node[0] for node in heap), default=np.inf)

    def _is_over(self) -> bool:
        return self._is_stopped() or perf_counter() > self._until

    def _is_tight_enough(self) -> bool:
        """True once what is left of the time belongs to the search."""
        return self._is_stopped() or perf_counter() > self._tighten_until

    def _begin(self) -> None:
        """Good sets to begin with: from the birds least related to the others, and from chance."""
        mean = self._kinship @ self._share
        for start in range(max(2, min(_STARTS, _STARTS * _MANY // len(mean)))):
            noise = self._rng.random(len(mean)) * (mean.std() if start == 1 else 10.0) if start else 0.0
            self._try(self._greedy(mean + noise))
            if self._is_tight_enough():
                break

    def _greedy(self, cost: NDArray[np.float64]) -> NDArray[np.bool_]:
        """The cheapest birds of each sex, those that must stay first."""
        chosen = np.zeros(len(cost), dtype=bool)
        for places, wanted in self._groups:
            order = np.argsort(np.where(self._stay[places], -np.inf, cost[places]), kind="stable")
            chosen[places[order[:wanted]]] = True
        return chosen

    def _try(self, chosen: NDArray[np.bool_]) -> None:
        """Swap birds of a set while that helps, and keep it if it is the best so far."""
        quadratic, own = self._quadratic, np.diag(self._quadratic)
        chosen = chosen.copy()
        pull = quadratic @ chosen
        while True:
            best_change, best_swap = -SAME / 10, None
            for places, _wanted in self._groups:
                out = places[chosen[places] & ~self._stay[places]]
                inward = places[~chosen[places]]
                if not len(out) or not len(inward):
                    continue
                change = (
                    2 * (pull[inward][None, :] - pull[out][:, None])
                    + own[out][:, None]
                    + own[inward][None, :]
                    - 2 * quadratic[np.ix_(out, inward)]
                )
                place = int(change.argmin())
                found = float(change.flat[place])
                if found < best_change:
                    best_change, best_swap = found, (out[place // len(inward)], inward[place % len(inward)])
            if best_swap is None:
                break
            gone, come = best_swap
            chosen[gone], chosen[come] = False, True
            pull += quadratic[come] - quadratic[gone]
        figure = float(chosen @ quadratic @ chosen)
        if figure < self._figure - 1e-15:
            self._figure, self._best = figure, chosen
        if self._wanted:
            self._keep(chosen, figure)

    def _round(self, sets: NDArray[np.float64]) -> None:
        """The sets nearest to some relaxed ones; the best of them is improved if it is good."""
        whole = np.zeros(sets.shape, dtype=bool)
        for places, wanted in self._groups:
            if wanted < len(places):
                nearest = np.argpartition(-sets[:, places], wanted - 1, axis=1)[:, :wanted]
                np.put_along_axis(whole, places[nearest], True, axis=1)
            else:
                whole[:, places] = True
        figures = ((whole @ self._quadratic) * whole).sum(axis=1)
        if self._wanted:
            for place in np.flatnonzero(figures < self._limit - SAME).tolist():
                self._keep(whole[place], float(figures[place]))
        best = int(figures.argmin())
        if figures[best] < self._figure + 0.01 * abs(self._figure):
            self._try(whole[best])

    def _uniform(self, low: NDArray[np.float64], high: NDArray[np.float64]) -> NDArray[np.float64]:
        """Every bird that is open taken alike."""
        made = low.copy()
        for places, wanted in self._groups:
            free = places[high[places] > low[places]]
            if len(free):
                made[free] = (wanted - low[places].sum()) / len(free)
        return made

    def _branch(
        self,
        low: NDArray[np.float64],
        high: NDArray[np.float64],
        sets: NDArray[np.float64],
        floor: NDArray[np.float64],
    ) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
        """Two parts of each: with and without the bird that is least decided."""
        doubt = np.where(high > low, np.minimum(sets, 1 - sets), -1.0)
        bird = doubt.argmax(axis=1)
        rows = np.arange(len(low))
        with_low, without_high = low.copy(), high.copy()
        with_low[rows, bird] = 1
        without_high[rows, bird] = 0
        both_low = np.concatenate([with_low, low])
        both_high = np.concatenate([high, without_high])
        both_low, both_high = self._close(both_low, both_high)
        kept = self._is_possible(both_low, both_high)
        return both_low[kept], both_high[kept], np.tile(sets, (2, 1))[kept], np.tile(floor, 2)[kept]

    def _close(
        self, low: NDArray[np.float64], high: NDArray[np.float64]
    ) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """What follows: of birds that are alike the first are kept first; a sex that is full or short is decided."""
        low, high = low.copy(), high.copy()
        for alike in self._twins:
            low[:, alike] = np.maximum.accumulate(low[:, alike[::-1]], axis=1)[:, ::-1]
            high[:, alike] = np.minimum.accumulate(high[:, alike], axis=1)
        for places, wanted in self._groups:
            full = low[:, places].sum(axis=1) >= wanted
            high[np.ix_(full, places)] = low[np.ix_(full, places)]
            short = high[:, places].sum(axis=1) <= wanted
            low[np.ix_(short, places)] = high[np.ix_(short, places)]
        return low, high

    def _is_possible(self, low: NDArray[np.float64], high: NDArray[np.float64]) -> NDArray[np.bool_]:
        possible = np.asarray((low <= high).all(axis=1))
        for places, wanted in self._groups:
            possible = (
                possible & (low[:, places].sum(axis=1) <= wanted) & (high[:, places].sum(axis=1) >= wanted)
            )
        return possible

    def _settle(
        self,
        convex: Convex,
        low: NDArray[np.float64],
        high: NDArray[np.float64],
        sets: NDArray[np.float64],
        bound: NDArray[np.float64],
    ) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
        """Decide birds that no better set can have, or be without; what is then impossible gets no bound."""
        slope = 2 * (sets @ convex.matrix) + convex.linear
        base = -((sets @ convex.matrix) * sets).sum(axis=1) - convex.constant
        total, last, following = self._cheapest(slope, low, high)
        height = base + total
        room = self._limit - SAME - height
        for number, (places, _wanted) in enumerate(self._groups):
            cost = slope[:, places]
            is_open = high[:, places] > low[:, places]
            too_dear = is_open & (cost - last[number][:, None] >= room[:, None])
            too_cheap = is_open & (following[number][:, None] - cost >= room[:, None])
            # a bird cannot be both: its cost would lie far above the last taken and far below the next
            high[:, places] = np.where(too_dear, 0.0, high[:, places])
            low[:, places] = np.where(too_cheap, 1.0, low[:, places])
        low, high = self._close(low, high)
        return low, high, np.where(self._is_possible(low, high), bound, np.inf)

    def _cheapest(
        self, slope: NDArray[np.float64], low: NDArray[np.float64], high: NDArray[np.float64]
    ) -> tuple[NDArray[np.float64], list[NDArray[np.float64]], list[NDArray[np.float64]]]:
        """(b,) the least cost of a set, and of each sex the dearest open bird in it and the cheapest left out."""
        total = (slope * low).sum(axis=1)
        last, following = [], []
        rows = np.arange(len(slope))
        for places, wanted in self._groups:
            is_open = high[:, places] > low[:, places]
            cost = np.sort(np.where(is_open, slope[:, places], np.inf), axis=1)
            wanting = (wanted - low[:, places].sum(axis=1)).astype(np.intp)
            before = np.concatenate(
                [np.zeros((len(cost), 1)), np.cumsum(np.where(np.isinf(cost), 0.0, cost), axis=1)], axis=1
            )
            total = total + before[rows, wanting]
            padded = np.concatenate(
                [np.full((len(cost), 1), -np.inf), cost, np.full((len(cost), 1), np.inf)], axis=1
            )
            last.append(padded[rows, wanting])
            following.append(padded[rows, wanting + 1])
        return total, last, following

    def _descend(
        self,
        convex: Convex,
        low: NDArray[np.float64],
        high: NDArray[np.float64],
        sets: NDArray[np.float64],
        steps: int,
    ) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Go down from `sets` towards the lowest relaxed sets, and the best bound met on the way (b,)."""
        here = self._onto(sets, low, high)
        ahead, momentum = here, 1.0
        best_bound = np.full(len(low), -np.inf)
        best_sets = here
        for step in range(steps):
            slope = 2 * (ahead @ convex.matrix) + convex.linear
            if step % 4 == 0 or step == steps - 1:
                height = -((ahead @ convex.matrix) * ahead).sum(axis=1) - convex.constant
                height = height + self._cheapest(slope, low, high)[0]
                better = height > best_bound
                best_sets = np.where(better[:, None], ahead, best_sets)
                best_bound = np.where(better, height, best_bound)
                if len(low) == 1 and convex.value(here)[0] - best_bound[0] < _NEAR * abs(best_bound[0]):
                    break
            there = self._onto(ahead - slope / convex.steepness, low, high)
            faster = (1 + np.sqrt(1 + 4 * momentum * momentum)) / 2
            ahead = there + (momentum - 1) / faster * (there - here)
            here, momentum = there, faster
        return best_sets, best_bound

    def _onto(
        self, sets: NDArray[np.float64], low: NDArray[np.float64], high: NDArray[np.float64]
    ) -> NDArray[np.float64]:
        """The nearest relaxed sets of the right numbers: each sex is shifted until its sum is right."""
        made = np.empty_like(sets)
        for places, wanted in self._groups:
            part, floor, roof = sets[:, places], low[:, places], high[:, places]
            shift = np.zeros((len(part), 1))
            under, over = (roof - part).max(axis=1, keepdims=True), (floor - part).min(axis=1, keepdims=True)
            for _step in range(_SHIFTS):
                moved = np.minimum(np.maximum(part + shift, floor), roof)
                short = wanted - moved.sum(axis=1, keepdims=True)
                off = np.abs(short)
                if off.max() < _NEAR:
                    break
                over = np.where(short > 0, shift, over)
                under = np.where(short < 0, shift, under)
                inside = ((moved > floor) & (moved < roof)).sum(axis=1, keepdims=True)
                newton = shift + short / np.maximum(inside, 1)
                # outside of what is known to hold the answer, halve
                good = (newton > over) & (newton < under) & (inside > 0)
                shift = np.where(off < _NEAR, shift, np.where(good, newton, (over + under) / 2))
            made[:, places] = moved
        return made


def _twins(
    kinship: NDArray[np.float64], is_cock: NDArray[np.bool_], stays: NDArray[np.bool_]
) -> list[NDArray[np.intp]]:
    """The groups of birds that may stand for each other: of one sex and alike to every other bird.

    Full sibs without offspring among the birds are. The first are kept first, which spares looking at every way to
    take some of them.
    """
    own, sums = np.diag(kinship), kinship.sum(axis=1)
    # twins have one sum; only birds of one sum are compared, or a large flock would take minutes
    near: dict[tuple[bool, float, float], list[int]] = {}
    for place in np.flatnonzero(~stays).tolist():
        near.setdefault((bool(is_cock[place]), round(own[place], 9), round(sums[place], 9)), []).append(place)
    found = []
    for left in near.values():
        while len(left) > 1:
            first, *others = left
            alike = [first]
            for other in others:
                apart = np.abs(kinship[first] - kinship[other])
                apart[[first, other]] = 0
                # the kinship within a group is one number, or the third would not stand for the first
                if apart.max() <= SAME and all(
                    abs(kinship[first, other] - kinship[first, each]) <= SAME for each in alike[1:]
                ):
                    alike.append(other)
            if len(alike) > 1:
                found.append(np.array(alike, dtype=np.intp))
            taken = set(alike)
            left = [place for place in others if place not in taken]
    return found
