"""Sentences that stay translatable and whole, yet know the birds and figures in them.

A sentence is a tuple of parts, so that the window can make each bird a link and the command line
can print it plainly.
"""

from collections.abc import Callable
from dataclasses import dataclass
from string import Formatter

from studbook.book.records import BirdId
from studbook.words import _


@dataclass(frozen=True, slots=True)
class BirdPart:
    """A bird in a sentence."""

    bird: BirdId


@dataclass(frozen=True, slots=True)
class SharePart:
    """A share from 0 to 1 in a sentence; the pair it is the expected F of, if it is one."""

    share: float
    pair: tuple[BirdId, BirdId] | None = None
    decimals: int = 1


@dataclass(frozen=True, slots=True)
class NumberPart:
    """A plain number in a sentence."""

    number: float
    decimals: int = 1


Part = str | BirdPart | SharePart | NumberPart
Sentence = tuple[Part, ...]


def compose(text: str, **parts: Part | Sentence) -> Sentence:
    """`text`, already in the user's language, with its ``{names}`` filled by parts or sentences.

    >>> compose("{who} is fine.", who=BirdPart(BirdId("b1")))
    (BirdPart(bird='b1'), ' is fine.')
    """
    made: list[Part] = []
    for literal, name, _spec, _conversion in Formatter().parse(text):
        if literal:
            made.append(literal)
        if name is not None:
            part = parts[name]
            made.extend(part if isinstance(part, tuple) else (part,))
    return tuple(made)


def plain(sentence: Sentence, called: Callable[[BirdId], str], number: Callable[[float, int], str]) -> str:
    """The sentence as one text; `called` writes the birds, `number` a number with so many decimals."""
    return "".join(_plain(part, called, number) for part in sentence)


def _plain(part: Part, called: Callable[[BirdId], str], number: Callable[[float, int], str]) -> str:
    match part:
        case BirdPart(bird):
            return called(bird)
        case SharePart(share, _pair, decimals):
            return _("{number} %").format(number=number(share * 100, decimals))
        case NumberPart(value, decimals):
            return number(value, decimals)
    return part
