"""How founders and living birds stand: who is about to be lost, who carries what few others carry."""

from collections.abc import Sequence

from studbook.planning.bloodlines.report import Fate, FounderKey, Standing

FEW = 3
"""A founder that no more living birds carry may be gone after one bad winter (common practice)."""

FADED = 0.5
"""A founder is fading when at fewer than this share of its genes' places one of them is still there."""

_SAME = 1e-9


def fate(key: FounderKey, carriers: int, kept: float) -> Fate:
    """How a founder stands that so many living birds carry; `kept` is its chance to be there still."""
    if key.is_unknown_parent:
        return Fate.UNKNOWN_PARENT
    if carriers <= 1:
        return Fate.ONE_BIRD if carriers else Fate.LOST
    if carriers <= FEW:
        return Fate.FEW_BIRDS
    return Fate.FADING if kept < FADED else Fate.SAFE


def ranks(figures: Sequence[float]) -> list[int]:
    """The rank of each figure, 1 for the lowest; equal figures share a rank."""
    place = {}
    last = None
    for number, figure in enumerate(sorted(figures), start=1):
        if last is None or figure - last > _SAME:
            rank = number
        place[figure] = rank
        last = figure
    return [place[figure] for figure in figures]


def standings(
    by_convention: Sequence[float], cautious: Sequence[float], asked: Sequence[float]
) -> list[Standing]:
    """The standing of each living bird by its mean kinship.

    The third with the lowest figures is rare, the third with the highest well covered. A bird that
    is rare by convention alone, and rises by more than the others do when unknown parents are
    counted as birds of the flock, only looks rare.
    """
    found = _by_thirds(asked)
    rises = [high - low for low, high in zip(by_convention, cautious, strict=True)]
    usual = sum(rises) / max(len(rises), 1)
    sides = zip(_by_thirds(by_convention), _by_thirds(cautious), rises, strict=True)
    for place, (conventional, careful, rise) in enumerate(sides):
        if conventional is Standing.RARE and careful is not Standing.RARE and rise > usual + _SAME:
            found[place] = Standing.LOOKS_RARE
    return found


def _by_thirds(figures: Sequence[float]) -> list[Standing]:
    third = len(figures) / 3
    lower, higher = ranks(figures), ranks([-figure for figure in figures])
    found = []
    for below, above in zip(lower, higher, strict=True):
        rare, covered = below <= third, above <= third
        if rare == covered:
            found.append(Standing.MIDDLING)
        else:
            found.append(Standing.RARE if rare else Standing.COVERED)
    return found
