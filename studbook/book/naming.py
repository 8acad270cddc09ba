"""Finding the one bird a text means: its current mark, else its unique name."""

from studbook.book.errors import StudbookError
from studbook.book.records import Bird, BirdId, Snapshot
from studbook.book.rules import mark_key
from studbook.words import _


class NoSuchBird(StudbookError):  # noqa: N818 - says what is the matter
    """No bird, or more than one, is meant by a text: the sentence says which and what to write instead."""


def find_bird(snapshot: Snapshot, text: str) -> BirdId:
    """The bird with the current mark `text`, else the only one of that name, else the one with that id.

    A mark worn by a living bird goes before the same mark on one that has left.

    Raises
    ------
    NoSuchBird
        If none or several are meant.
    """
    key = mark_key(text)
    wearers = [
        bird
        for bird in snapshot.birds
        if any(mark.is_worn and mark_key(mark.code) == key for mark in bird.marks)
    ]
    named = [bird for bird in snapshot.birds if mark_key(bird.name) == key] if key else []
    for found in ([bird for bird in wearers if bird.is_living], wearers, named):
        if len(found) == 1:
            return found[0].id
        if len(found) > 1:
            raise _several(text, found)
    if snapshot.has(BirdId(text)):
        return BirdId(text)
    message = _("No bird of the book has the mark or name {text}: check how it is written.")
    raise NoSuchBird(message.format(text=text))


def _several(text: str, birds: list[Bird]) -> NoSuchBird:
    which = ", ".join(
        " ".join(part for part in (bird.mark, bird.name, str(bird.hatched)) if part) for bird in birds[:5]
    )
    message = _(
        "{text} is the mark or name of {count} birds ({birds}): write a mark or an id that only one has."
    )
    return NoSuchBird(message.format(text=text, count=len(birds), birds=which))
