"""The order of a snapshot: parents before offspring, else by hatch date and time of entry."""

import heapq
from collections.abc import Iterable, Mapping

from studbook.book.records import Bird, BirdId


def parents_first(birds: Mapping[BirdId, Bird]) -> tuple[Bird, ...]:
    """`birds` with every parent before its offspring; among the ready ones the earliest hatched first.

    Raises
    ------
    ValueError
        If some bird is its own ancestor.
    """
    place = {bird_id: number for number, bird_id in enumerate(birds)}
    waiting: dict[BirdId, int] = {}
    chicks: dict[BirdId, list[BirdId]] = {}
    for bird in birds.values():
        parents = {parent for parent in parents_of(bird) if parent in birds}
        waiting[bird.id] = len(parents)
        for parent in parents:
            chicks.setdefault(parent, []).append(bird.id)

    def rank(bird_id: BirdId) -> tuple[int, int, BirdId]:
        return (birds[bird_id].hatched.earliest.toordinal(), place[bird_id], bird_id)

    ready = [rank(bird_id) for bird_id, count in waiting.items() if not count]
    heapq.heapify(ready)
    ordered: list[Bird] = []
    while ready:
        bird_id = heapq.heappop(ready)[2]
        ordered.append(birds[bird_id])
        for chick in chicks.get(bird_id, ()):
            waiting[chick] -= 1
            if not waiting[chick]:
                heapq.heappush(ready, rank(chick))
    if len(ordered) < len(birds):
        raise ValueError("some bird is its own ancestor")
    return tuple(ordered)


def parents_of(bird: Bird) -> Iterable[BirdId]:
    """Every candidate parent of a bird, possibly more than once."""
    for pair in bird.pairs:
        if pair.sire is not None:
            yield pair.sire
        if pair.dam is not None:
            yield pair.dam
