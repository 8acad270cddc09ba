"""The life line: everything dated about a bird, drawn along a time axis."""

from dataclasses import dataclass
from datetime import date, timedelta
from enum import IntEnum
from itertools import groupby

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from studbook.book.records import Bird, Snapshot, Status
from studbook.book.wording import status_word
from studbook.dates import PartialDate
from studbook.desk.theme import Type, font, length, look, space
from studbook.desk.widgets.chips import mark_text
from studbook.desk.wording import date_text
from studbook.words import _, plural


class Lane(IntEnum):
    """The lines of the picture, from the top."""

    LIFE = 0
    MARKS = 1
    CHICKS = 2
    NOTES = 3
    PAPERS = 4


@dataclass(frozen=True)
class Event:
    """Something that happened to a bird, on a day as far as it is known."""

    on: PartialDate
    lane: Lane
    text: str


def lane_word(lane: Lane) -> str:
    """What stands before a line."""
    return {
        Lane.LIFE: _("life"),
        Lane.MARKS: _("marks"),
        Lane.CHICKS: _("chicks"),
        Lane.NOTES: _("notes"),
        Lane.PAPERS: _("papers"),
    }[lane]


def life_of(snapshot: Snapshot, bird: Bird) -> tuple[Event, ...]:
    """The dated events of a bird, in time; what has no date is left out."""
    found = [Event(bird.hatched, Lane.LIFE, _("hatched"))]
    if bird.arrived is not None:
        origin = snapshot.origin(bird.origin)
        text = _("arrived from {yard}").format(yard=origin.name) if origin else _("arrived")
        found.append(Event(bird.arrived, Lane.LIFE, text))
    if bird.status is not Status.LIVING:
        taker = snapshot.contact(bird.taker)
        text = status_word(bird.status)
        if taker is not None:
            text = _("{status}, to {taker}").format(status=text, taker=taker.name)
        elif bird.cause:
            text = _("{status}: {cause}").format(status=text, cause=bird.cause)
        found.append(Event(bird.left, Lane.LIFE, text))
    for mark in bird.marks:
        found.append(Event(mark.since, Lane.MARKS, _("{mark} put on").format(mark=mark_text(mark))))
        if mark.until is not None:
            found.append(Event(mark.until, Lane.MARKS, _("{mark} taken off").format(mark=mark_text(mark))))
    chicks = [snapshot.bird(chick) for chick in snapshot.offspring.get(bird.id, ())]
    dated = sorted((chick for chick in chicks if chick.hatched.is_known), key=lambda c: str(c.hatched))
    for hatched, hatch in groupby(dated, key=lambda chick: chick.hatched):
        count = len(list(hatch))
        text = plural("{count} chick hatched", "{count} chicks hatched", count).format(count=count)
        found.append(Event(hatched, Lane.CHICKS, text))
    for note in snapshot.notes:
        if note.bird == bird.id:
            found.append(Event(note.on, Lane.NOTES, note.text))
    for photo in snapshot.photos:
        if photo.bird == bird.id:
            found.append(Event(photo.taken, Lane.NOTES, photo.caption or _("photo taken")))
    for certificate in snapshot.certificates:
        if certificate.bird == bird.id:
            text = _("certificate {number}").format(number=certificate.number)
            found.append(Event(PartialDate.of(certificate.issued), Lane.PAPERS, text))
    return tuple(sorted((event for event in found if event.on.is_known), key=lambda event: event.on.earliest))


class LifeLine(QWidget):
    """Draws the events; the arrow keys or the pointer go from one to the next and say what it was.

    Signals
    -------
    told
        The keyboard or pointer is on another event (its words, empty for none).
    """

    told = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("life_line")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._events: tuple[Event, ...] = ()
        self._ends: tuple[date, date] = (date.min, date.min)
        self._current = -1
        self._is_over = True

    @property
    def events(self) -> tuple[Event, ...]:
        """What is drawn, in time."""
        return self._events

    @property
    def words(self) -> str:
        """What it says about the event one is on."""
        if not 0 <= self._current < len(self._events):
            return ""
        event = self._events[self._current]
        return _("{date}: {event}").format(date=date_text(event.on), event=event.text)

    def show_life(self, events: tuple[Event, ...], today: date, *, goes_on: bool) -> None:
        """Draw these events; the line of a living bird goes on to today."""
        self._events = events
        self._current = -1
        self._is_over = not goes_on
        if events:
            first = events[0].on.earliest
            last = max(min(event.on.latest, today) for event in events)
            last = today if goes_on else max(last, first)
            self._ends = (first, max(last, first + timedelta(days=30)))
        spoken = [_("{date}: {event}").format(date=date_text(e.on), event=e.text) for e in events]
        self.setAccessibleName(_("Life line"))
        self.setAccessibleDescription("; ".join(spoken))
        self.updateGeometry()
        self.update()

    def _lanes(self) -> list[Lane]:
        return sorted({Lane.LIFE, *(event.lane for event in self._events)})

    def _left(self) -> float:
        metrics = QFontMetricsF(font(Type.SMALL))
        return max(metrics.horizontalAdvance(lane_word(lane)) for lane in Lane) + space(2)

    def _x(self, day: date) -> float:
        first, last = self._ends
        share = (day - first).days / max((last - first).days, 1)
        return self._left() + min(max(share, 0), 1) * (self.width() - self._left() - space(1.5))

    def _y(self, lane: Lane) -> float:
        return self._lanes().index(lane) * length(24) + length(12)

    def _place(self, event: Event) -> QPointF:
        return QPointF(self._x(_middle(event.on)), self._y(event.lane))

    def _go(self, number: int) -> None:
        if number != self._current:
            self._current = number
            self.told.emit(self.words)
            self.update()

    def sizeHint(self) -> QSize:
        return QSize(length(320), len(self._lanes()) * length(24) + length(26))

    def minimumSizeHint(self) -> QSize:
        return QSize(length(160), self.sizeHint().height())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        last = len(self._events) - 1
        steps = {
            Qt.Key.Key_Right: min(self._current + 1, last),
            Qt.Key.Key_Left: max(self._current - 1, 0),
            Qt.Key.Key_Home: 0,
            Qt.Key.Key_End: last,
        }
        if event.key() in steps and self._events:
            self._go(steps[Qt.Key(event.key())])
        else:
            super().keyPressEvent(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        near = [
            ((self._place(each) - event.position()).manhattanLength(), number)
            for number, each in enumerate(self._events)
        ]
        distance, number = min(near, default=(length(99), -1))
        self._go(number if distance <= length(14) else -1)

    def leaveEvent(self, event: object) -> None:
        if not self.hasFocus():
            self._go(-1)

    def focusOutEvent(self, event: object) -> None:
        self._go(-1)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(font(Type.SMALL))
        colours = look()
        if not self._events:
            return
        bottom = self._lanes()[-1]
        foot = self._y(bottom) + length(12)
        self._paint_years(painter, foot)
        for lane in self._lanes():
            y = self._y(lane)
            painter.setPen(colours.faint)
            words = QRectF(0, y - length(12), self._left() - space(1), length(24))
            painter.drawText(
                words, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, lane_word(lane)
            )
        start, end = self._x(self._ends[0]), self._x(self._ends[1])
        painter.setPen(QPen(colours.moss if not self._is_over else colours.faint, 2))
        painter.drawLine(QPointF(start, self._y(Lane.LIFE)), QPointF(end, self._y(Lane.LIFE)))
        for number, each in enumerate(self._events):
            self._paint_event(painter, each, chosen=number == self._current)
        if self.hasFocus():
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(colours.comb, 1))
            painter.drawRoundedRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5), 4, 4)

    def _paint_years(self, painter: QPainter, foot: float) -> None:
        """Hairlines at the turns of the years, as many as there is room to name."""
        first, last = self._ends
        metrics = QFontMetricsF(painter.font())
        wide = metrics.horizontalAdvance("2026") + space(1.5)
        taken = -wide
        for year in range(first.year, last.year + 1):
            x = self._x(max(date(year, 1, 1), first))
            painter.setPen(QPen(look().hair, 1))
            if date(year, 1, 1) >= first:
                painter.drawLine(QPointF(x, 0), QPointF(x, foot))
            if x >= taken + wide and x + wide <= self.width() + space(1.5):
                painter.setPen(look().faint)
                painter.drawText(QPointF(x, foot + length(13)), str(year))
                taken = x

    def _paint_event(self, painter: QPainter, event: Event, *, chosen: bool) -> None:
        colours = look()
        place = self._place(event)
        side = length(9 if not chosen else 12)
        dot = QRectF(place.x() - side / 2, place.y() - side / 2, side, side)
        colour = {Lane.LIFE: colours.ink, Lane.CHICKS: colours.straw, Lane.PAPERS: colours.slate}.get(
            event.lane, colours.faint
        )
        first, last = self._x(event.on.earliest), self._x(min(event.on.latest, self._ends[1]))
        if last - first > side:
            pen = QPen(colour, 1, Qt.PenStyle.DotLine)
            painter.setPen(pen)
            painter.drawLine(QPointF(first, place.y()), QPointF(last, place.y()))
        painter.setPen(QPen(colours.paper if not chosen else colours.comb, 1.5))
        painter.setBrush(colour)
        painter.drawEllipse(dot)


def _middle(when: PartialDate) -> date:
    """The day an inexact date is drawn at."""
    return when.earliest + (when.latest - when.earliest) / 2
