"""Marks that two living birds claim, and what only follows from such a slip."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from studbook.book.importing.columns import Column
from studbook.book.importing.linking import Unknown, some_birds
from studbook.book.importing.table import LineProblem
from studbook.book.records import Bird, BirdId, Sex
from studbook.book.rules import mark_key
from studbook.words import _

_NUMBERED = re.compile(r"(.*?)(\d+)(\D*)", re.ASCII)


@dataclass(frozen=True, slots=True)
class Clash:
    """One own mark on several living birds, of which at least one is of the list."""

    key: str
    code: str
    listed: tuple[Bird, ...]
    in_book: tuple[Bird, ...]


def find_clashes(birds: Mapping[BirdId, Bird], lines: Mapping[BirdId, int]) -> tuple[Clash, ...]:
    """The clashes among `birds`, of which those with a line are of the list."""
    wearers: dict[str, dict[BirdId, str]] = {}
    for bird in birds.values():
        if bird.is_living:
            for mark in bird.marks:
                if mark.is_worn and mark.kind.is_own:
                    wearers.setdefault(mark_key(mark.code), {})[bird.id] = mark.code
    return tuple(
        Clash(
            key,
            next(code for bird, code in codes.items() if bird in lines),
            tuple(birds[bird] for bird in sorted(codes.keys() & lines.keys(), key=lambda bird: lines[bird])),
            tuple(birds[bird] for bird in codes if bird not in lines),
        )
        for key, codes in wearers.items()
        if len(codes) > 1 and not codes.keys().isdisjoint(lines)
    )


def clash_problems(
    clashes: Iterable[Clash],
    unknown: Sequence[Unknown],
    lines: Mapping[BirdId, int],
    codes: Iterable[str],
) -> tuple[list[LineProblem], list[Unknown]]:
    """One sentence for each clash, and the unknown parents that do not follow from one.

    Where one bird was given another's mark, its chicks name a mark that is on no line. Such a mark is named
    in the sentence about the clash, not in one of its own: it fills a gap in a series of the list, and one of
    the birds in the clash can be the parent meant. `codes` are all the marks of the list.
    """
    series = _Series(codes)
    problems: list[LineProblem] = []
    left = list(unknown)
    for clash in clashes:
        explained: list[Unknown] = []
        for found in left:
            is_room = len(explained) < len(clash.listed) - 1
            if is_room and series.has_place_for(found.written) and _may_be_meant(found, clash):
                explained.append(found)
        left = [found for found in left if found not in explained]
        bird = clash.listed[-1]
        problems.append(LineProblem(lines[bird.id], Column.MARK.value, _sentence(clash, explained, lines)))
    return problems, left


def _may_be_meant(found: Unknown, clash: Clash) -> bool:
    """True when one of the clashing birds can be the parent written: of its sex, and not younger."""
    wrong = Sex.HEN if found.side is Column.SIRE else Sex.COCK
    return any(
        bird.sex is not wrong
        and not any(chick.hatched.is_certainly_before(bird.hatched) for chick in found.chicks)
        for bird in clash.listed
    )


class _Series:
    """The numbers a list's marks run through, by what stands around the number: "W17-05" is 5 of "W17-"."""

    def __init__(self, codes: Iterable[str]) -> None:
        self._numbers: dict[tuple[str, str], list[int]] = {}
        for code in codes:
            if found := _NUMBERED.fullmatch(code):
                self._numbers.setdefault((found[1], found[3]), []).append(int(found[2]))

    def has_place_for(self, code: str) -> bool:
        """True when `code` lies between the marks of a series, or just beyond its ends."""
        found = _NUMBERED.fullmatch(code)
        numbers = self._numbers.get((found[1], found[3]), []) if found else []
        return bool(found and numbers and min(numbers) - 1 <= int(found[2]) <= max(numbers) + 1)


def _sentence(clash: Clash, explained: Sequence[Unknown], lines: Mapping[BirdId, int]) -> str:
    listed = _(" and ").join(_("line {line}").format(line=lines[bird.id]) for bird in clash.listed)
    if clash.in_book:
        others = ", ".join(bird.name or _("one without a name") for bird in clash.in_book)
        message = _(
            "{mark} ({lines}) is worn by a living bird of the book ({others}): give the id of that bird to "
            "update it, or correct the mark."
        )
        return message.format(mark=clash.code, lines=listed, others=others)
    if not explained:
        message = _("{mark} is the mark of two living birds ({lines}): give each bird a mark of its own.")
        return message.format(mark=clash.code, lines=listed)
    missing = ", ".join(f"{found.written} ({some_birds(found.chicks)})" for found in explained)
    message = _(
        "{mark} is the mark of two living birds ({lines}), and no line has the mark of the parent {missing}: "
        "correct the mark of one of the birds."
    )
    return message.format(mark=clash.code, lines=listed, missing=missing)
