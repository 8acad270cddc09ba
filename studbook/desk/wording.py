"""How facts are written on screen: dates, figures and the trade's words, in the user's locale."""

import re
from datetime import date, datetime

from PySide6.QtCore import QDate, QDateTime, QLocale

from studbook.book.records import Bird, BirdId, Entry, EntryKind, Snapshot
from studbook.book.wording import mark_kind_word, sex_word, status_word
from studbook.dates import PartialDate, Precision
from studbook.planning.sentences import Sentence, plain
from studbook.words import _, plural

MISSING = "–"
"""What stands where nothing is known."""


def _day_pattern() -> str:
    """The locale's long date with a short month and without the weekday: ``d MMM yyyy``."""
    long = QLocale().dateFormat(QLocale.FormatType.LongFormat)
    return re.sub(r"[\s,.]*dddd?[\s,.]*", "", long).replace("MMMM", "MMM") or "d MMM yyyy"


def _month_pattern() -> str:
    """The same without the day: ``MMM yyyy``."""
    return re.sub(r"^'[^']*'\s*", "", re.sub(r"d+[,.日]?\s*", "", _day_pattern())).strip()


def day_text(day: date) -> str:
    """A calendar day as the locale writes it, with the month as a word."""
    return QLocale().toString(QDate(day.year, day.month, day.day), _day_pattern())


def date_text(when: PartialDate) -> str:
    """A date with its precision: "4 Apr 2026", "Apr 2026", "about May 2019"; empty when unknown."""
    if when.year is None:
        return ""
    match when.precision:
        case Precision.DAY:
            written = day_text(date(when.year, when.month or 1, when.day or 1))
        case Precision.MONTH:
            written = QLocale().toString(QDate(when.year, when.month or 1, 1), _month_pattern())
        case _:
            written = str(when.year)
    return _("about {date}").format(date=written) if when.about else written


def moment_text(moment: datetime) -> str:
    """A moment of the journal in local time."""
    local = moment.astimezone()
    clock = QDateTime.fromSecsSinceEpoch(int(local.timestamp())).time()
    return f"{day_text(local.date())}, {QLocale().toString(clock, QLocale.FormatType.ShortFormat)}"


def percent_text(share: float, decimals: int = 1) -> str:
    """A share in per cent: 0.125 as "12.5 %"."""
    return _("{number} %").format(number=QLocale().toString(share * 100, "f", decimals))


_SAME_FOR_MANY = frozenset({"fowl", "guinea fowl", "quail"})


def several(word: str, number: int) -> str:
    """The word for a bird in the number that fits: "hen" or "hens", "goose" or "geese"."""
    head, of, rest = word.partition(" of ")
    if word in _SAME_FOR_MANY:
        many = word
    elif head.endswith("goose"):
        many = head.removesuffix("goose") + "geese" + of + rest
    else:
        many = f"{head}s{of}{rest}"
    return plural(word, many, number)


def number_text(number: int) -> str:
    """A whole number with the locale's grouping."""
    return QLocale().toString(number)


def entry_label(entry: Entry) -> str:
    """A journal entry as a line of its own, with a capital."""
    said = {
        EntryKind.CHANGE: "{change}",
        EntryKind.UNDO: _("Taken back: {change}"),
        EntryKind.REDO: _("Done again: {change}"),
    }[entry.kind].format(change=entry.label)
    return said[:1].upper() + said[1:]


def entry_text(entry: Entry) -> str:
    """A journal entry as the message strip says it, with what to look at."""
    said = {
        EntryKind.CHANGE: _("Saved: {change}."),
        EntryKind.UNDO: _("Taken back: {change}."),
        EntryKind.REDO: _("Done again: {change}."),
    }[entry.kind].format(change=entry.label)
    return " ".join([said, *(warning.message for warning in entry.warnings)])


def bird_text(bird: Bird) -> str:
    """Mark and name of a bird, as far as it has them."""
    return " ".join(part for part in (bird.mark, bird.name) if part) or bird.called


def spoken(bird: Bird) -> str:
    """What a screen reader says for the shape, chip and name of a bird."""
    parts = [sex_word(bird.sex), bird_text(bird)]
    mark = bird.shown_mark
    if mark is not None and mark.colour:
        parts.append(_("{colour} {mark}").format(colour=mark.colour, mark=mark_kind_word(mark.kind)))
    if bird.placeholder:
        parts.append(_("placeholder"))
    elif not bird.is_living:
        parts.append(status_word(bird.status))
    return ", ".join(parts)


def sentence_text(sentence: Sentence, snapshot: Snapshot) -> str:
    """A sentence as one plain text in the user's locale."""

    def called(bird: BirdId) -> str:
        return bird_text(snapshot.bird(bird))

    return plain(sentence, called, lambda number, places: QLocale().toString(number, "f", places))
