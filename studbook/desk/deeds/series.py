"""Mark series: the next code after another, the codes already worn, and what this year's series will be."""

import re
from collections.abc import Collection

from studbook.book.records import MarkKind, Snapshot
from studbook.book.rules import mark_key
from studbook.words import _

_LAST_NUMBER = re.compile(r"(\d+)(\D*)\Z")
_YEARLY = re.compile(r"(?P<start>\D*)(?P<year>\d\d)(?P<middle>\D+)(?P<number>\d+)\Z")


def next_code(code: str) -> str:
    """The code after `code`: its last number grows by one and keeps its zeros ("B26-09", "B26-10").

    Raises
    ------
    ValueError
        If the code holds no number.
    """
    found = _LAST_NUMBER.search(code)
    if found is None:
        raise ValueError(
            _("{code} holds no number to count on from: begin with one such as {example}.").format(
                code=code or _("The first mark"), example="B26-01"
            )
        )
    number, rest = found.groups()
    return f"{code[: found.start()]}{int(number) + 1:0{len(number)}d}{rest}"


def mark_series(first: str, count: int, worn: Collection[str]) -> tuple[str, ...]:
    """`count` codes from `first` on, without those that are `worn` (as `mark_key` writes them).

    Raises
    ------
    ValueError
        If the first code holds no number and more than one is needed or it is worn.
    """
    codes: list[str] = []
    code = first.strip()
    while len(codes) < count:
        if mark_key(code) not in worn:
            codes.append(code)
        if len(codes) < count:
            code = next_code(code)
    return tuple(codes)


def worn_codes(snapshot: Snapshot) -> frozenset[str]:
    """The own marks that living birds wear, as `mark_key` writes them."""
    return frozenset(
        mark_key(mark.code)
        for bird in snapshot.living
        for mark in bird.marks
        if mark.is_worn and mark.kind.is_own
    )


def used_codes(snapshot: Snapshot) -> frozenset[str]:
    """Every own mark the book has ever seen, as `mark_key` writes it."""
    return frozenset(
        mark_key(mark.code)
        for bird in (*snapshot.birds, *snapshot.struck)
        for mark in bird.marks
        if mark.kind.is_own
    )


def proposed_code(snapshot: Snapshot, year: int) -> str:
    """The next code of this year's rings, or the first one in the manner of the last year's; else empty.

    The manner is two figures of the year and a running number: ``B26-01``.
    """
    best: tuple[int, int] | None = None
    found: re.Match[str] | None = None
    for bird in snapshot.birds:
        for mark in bird.marks:
            match = _YEARLY.fullmatch(mark.code) if mark.kind is MarkKind.RING else None
            if match is None or int(match["year"]) > year % 100:
                continue
            place = int(match["year"]), int(match["number"])
            if best is None or place > best:
                best, found = place, match
    if found is None:
        return ""
    if int(found["year"]) == year % 100:
        return next_code(found.string)
    return f"{found['start']}{year % 100:02d}{found['middle']}{1:0{len(found['number'])}d}"
