"""Who is apart, why and where, and when each is to be looked at."""

from collections.abc import Callable

from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from studbook.book.husbandry.rows import Apart
from studbook.book.husbandry.wording import apart_word
from studbook.book.records import Snapshot
from studbook.desk.theme import Role, space
from studbook.desk.widgets.bird_line import BirdLink
from studbook.desk.widgets.text import label
from studbook.desk.wording import day_text
from studbook.words import _


def now_apart(snapshot: Snapshot) -> tuple[Apart, ...]:
    """The birds of the flock that are apart, the longest first."""
    found = (
        apart
        for apart in snapshot.husbandry.aparts.values()
        if apart.until is None and snapshot.has(apart.bird) and snapshot.bird(apart.bird).is_living
    )
    return tuple(sorted(found, key=lambda apart: apart.since))


def apart_line(apart: Apart, snapshot: Snapshot, asked: Callable[[str], object]) -> QWidget:
    """One bird apart, with the reason, the place and the days beneath."""
    made = QWidget()
    column = QVBoxLayout(made)
    column.setContentsMargins(0, 0, 0, space(0.5))
    column.setSpacing(0)
    row = QHBoxLayout()
    bird = BirdLink(snapshot.bird(apart.bird))
    bird.asked.connect(asked)
    row.addWidget(bird)
    row.addStretch(1)
    column.addLayout(row)
    text = _("{reason}, since {day}").format(reason=apart_word(apart.reason), day=day_text(apart.since))
    if apart.place:
        text = _("{text}, {place}").format(text=text, place=apart.place)
    if apart.review is not None:
        text = _("{text}; look again {day}").format(text=text, day=day_text(apart.review))
    said = label(text, Role.SMALL, wraps=True)
    said.setIndent(space(0.5))
    column.addWidget(said)
    return made
