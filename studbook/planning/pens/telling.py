"""The figures of a pen in short lines, for the board on the screen and on paper."""

from collections.abc import Sequence
from datetime import date

from studbook.book.husbandry.rows import Condition, ConditionKind, Move
from studbook.book.husbandry.wording import condition_word
from studbook.planning.pens.board import PenOn, Room
from studbook.planning.pens.naming import When, iso
from studbook.planning.sentences import BirdPart, NumberPart, Sentence, SharePart, compose
from studbook.words import _, plural


def figure_lines(pen: PenOn, day: date, when: When = iso) -> tuple[Sentence, ...]:
    """How many are in a pen, the hens of a cock, F of the chicks, room left, clear date and since when."""
    found = (
        _company(pen),
        _chicks(pen),
        room_words(pen.room),
        _clear(pen, day, when),
        _since(pen, when),
    )
    return tuple(line for line in found if line)


def _company(pen: PenOn) -> Sentence:
    if not pen.occupants:
        return (_("empty"),)
    counts = (
        (len(pen.cocks), plural("{count} cock", "{count} cocks", len(pen.cocks))),
        (len(pen.hens), plural("{count} hen", "{count} hens", len(pen.hens))),
        (len(pen.young), plural("{count} young", "{count} young", len(pen.young))),
    )
    words = ", ".join(text.format(count=count) for count, text in counts if count)
    each = pen.hens_per_cock
    if each is None or len(pen.cocks) == 1:
        return (words,)
    return compose(_("{birds}: {number} hens a cock"), birds=words, number=NumberPart(each))


def _chicks(pen: PenOn) -> Sentence:
    mean = pen.mean_expected
    if mean is None:
        return ()
    worst = max(hen.worst or 0.0 for hen in pen.hens)
    if len(pen.cocks) * len(pen.hens) == 1:
        return compose(_("F of the chicks {share}"), share=SharePart(mean))
    text = _("F of the chicks {share}, at most {worst}")
    return compose(text, share=SharePart(mean), worst=SharePart(worst))


def room_words(room: Room) -> Sentence:
    """What room is left: "room for 2 large fowl or 3 bantams"; empty where no capacity was said."""
    if room.is_over:
        over = -min(room.large or 0, room.bantams or 0)
        return (plural("{count} too many", "{count} too many", over).format(count=over),)
    if room.large == 0 or (room.large is None and room.bantams == 0):
        return (_("full"),)
    if room.large is None and room.bantams is None:
        return ()
    if room.bantams is None:
        text = plural("room for {count} more", "room for {count} more", room.large or 0)
        return (text.format(count=room.large),)
    if room.large is None:
        text = plural("room for {count} bantam", "room for {count} bantams", room.bantams)
        return (text.format(count=room.bantams),)
    text = plural(
        "room for {large} large or {count} bantam", "room for {large} large or {count} bantams", room.bantams
    )
    return (text.format(large=room.large, count=room.bantams),)


def _clear(pen: PenOn, day: date, when: When) -> Sentence:
    if not pen.hens:
        return ()
    if pen.clear is not None and pen.clear > day:
        return (_("clear from {day}").format(day=when(pen.clear)),)
    if pen.covered is not None and pen.covered > day:
        return (_("covered from {day}").format(day=when(pen.covered)),)
    if pen.clear is not None:
        return (_("clear since {day}").format(day=when(pen.clear)),)
    return ()


def _since(pen: PenOn, when: When) -> Sentence:
    return (_("unchanged since {day}").format(day=when(pen.since)),) if pen.since is not None else ()


def move_words(move: Move, name_of_pen: str, when: When = iso) -> Sentence:
    """A planned move: "20 Feb: Avens goes to Lane"."""
    if move.pen is None:
        text = _("{day}: {bird} leaves its pen")
        return compose(text, day=when(move.on), bird=BirdPart(move.bird))
    text = _("{day}: {bird} goes to {pen}")
    return compose(text, day=when(move.on), bird=BirdPart(move.bird), pen=name_of_pen)


def coming_words(move: Move, when: When = iso) -> Sentence:
    """A planned move as its new pen tells it: "20 Feb: Avens comes"."""
    return compose(_("{day}: {bird} comes"), day=when(move.on), bird=BirdPart(move.bird))


def condition_words(conditions: Sequence[Condition], when: When = iso) -> str:
    """What is noted of a hen, in a few words: "broody since 2 Feb, eggs cream"."""
    said = []
    for condition in conditions:
        if condition.kind is ConditionKind.EGG_COLOUR:
            said.append(_("eggs {colour}").format(colour=condition.text))
        else:
            text = _("{condition} since {day}")
            said.append(text.format(condition=condition_word(condition.kind), day=when(condition.since)))
    return ", ".join(said)
