"""The head of the page: picture, shape, chips, name, what it is and where it is."""

from datetime import date

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QImage, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from studbook.book.records import OURS, Bird, Snapshot, Status
from studbook.book.wording import status_word
from studbook.dates import Precision
from studbook.desk import icons
from studbook.desk.look import mix
from studbook.desk.rooms.birds.columns import sex_and_age
from studbook.desk.theme import Role, Type, font, length, look, space
from studbook.desk.widgets.chips import MarkChip
from studbook.desk.widgets.flow import Flow
from studbook.desk.widgets.shapes import paint_shape
from studbook.desk.widgets.text import label
from studbook.desk.wording import date_text, spoken
from studbook.words import _, plural


class PictureFrame(QWidget):
    """The picture of the bird, or the place for one.

    Signals
    -------
    asked
        Another picture, or the first, is wanted.
    """

    asked = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("picture")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self._image: QImage | None = None

    @property
    def image(self) -> QImage | None:
        """What is shown."""
        return self._image

    def show_image(self, image: QImage | None, spoken_text: str) -> None:
        """Show a picture, or the empty place."""
        self._image = image
        self.setAccessibleName(spoken_text)
        self.setToolTip(spoken_text)
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(length(132), length(132))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if event.button() is Qt.MouseButton.LeftButton:
            self.asked.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
            self.asked.emit()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        whole = QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5)
        if self._image is not None:
            side = min(self._image.width(), self._image.height())
            middle = QRectF(0, 0, side, side)
            # birds hold their heads high: a tall picture is cut below rather than above
            middle.moveLeft((self._image.width() - side) / 2)
            middle.moveTop((self._image.height() - side) / 3)
            painter.drawImage(whole, self._image, middle)
        else:
            painter.fillRect(whole, look().sheet)
            icon = QRectF(0, 0, length(34), length(34))
            icon.moveCenter(whole.center() - QRectF(0, 0, 0, length(14)).bottomLeft())
            icons.paint(painter, icon, "image", mix(look().sheet, look().faint, 0.7))
            painter.setPen(look().faint)
            painter.setFont(font(Type.SMALL))
            words = whole.adjusted(space(1), whole.height() / 2, -space(1), 0)
            flags = Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignTop | Qt.TextFlag.TextWordWrap
            painter.drawText(words, flags, _("add a photo"))
        painter.setPen(QPen(look().comb if self.hasFocus() else look().hair, 2 if self.hasFocus() else 1))
        painter.drawRect(whole)


class _Shape(QWidget):
    """The shape of the bird."""

    def __init__(self) -> None:
        super().__init__()
        self._bird: Bird | None = None
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def show_bird(self, bird: Bird) -> None:
        """Draw the shape of this bird."""
        self._bird = bird
        self.setAccessibleName(spoken(bird))
        self.setToolTip(spoken(bird))
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(length(22), length(22))

    def paintEvent(self, event: QPaintEvent) -> None:
        if self._bird is not None:
            paint_shape(QPainter(self), QRectF(self.rect()).adjusted(2, 2, -2, -2), self._bird, look().ink)


class Head(QWidget):
    """Who it is, in three lines beside its picture."""

    def __init__(self) -> None:
        super().__init__()
        self.picture = PictureFrame()
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(space(2))
        row.addWidget(self.picture, 0, Qt.AlignmentFlag.AlignTop)
        column = QVBoxLayout()
        column.setSpacing(space(0.75))
        self._name = label("", Role.TITLE, wraps=True)
        self._name.setObjectName("bird_name")
        self._shape = _Shape()
        self._chips = QWidget()
        self._chips_flow = Flow(self._chips, gap=1)
        self._what = label("", wraps=True)
        self._what.setObjectName("bird_is")
        self._where = label("", Role.FAINT, wraps=True)
        self._where.setObjectName("bird_where")
        column.addWidget(self._name)
        column.addWidget(self._chips)
        column.addWidget(self._what)
        column.addWidget(self._where)
        column.addStretch(1)
        row.addLayout(column, 1)

    def show_bird(self, bird: Bird, snapshot: Snapshot, today: date) -> None:
        """Show who it is."""
        self._name.setText(
            bird.name or bird.mark or (_("unknown bird") if bird.placeholder else _("unmarked"))
        )
        self._chips_flow.clear()
        self._shape = _Shape()
        self._shape.show_bird(bird)
        self._chips_flow.addWidget(self._shape)
        for mark in bird.marks:
            if mark.is_worn:
                self._chips_flow.addWidget(MarkChip(mark))
        self._what.setText(what_it_is(bird, today))
        self._where.setText(where_it_is(bird, snapshot))


def what_it_is(bird: Bird, today: date) -> str:
    """Sex word, age, colour and breed: "hen, 3 years, blue Andalusian"."""
    if bird.placeholder:
        return _("placeholder: a parent of whom nothing is known but that it was one bird")
    parts = [sex_and_age(bird, today), age_text(bird, today), bird.colour, bird.breed]
    return ", ".join(part for part in parts if part)


def age_text(bird: Bird, today: date) -> str:
    """How old it is, or was when it left; empty when the hatch date is unknown."""
    hatched = bird.hatched
    if not hatched.is_known:
        return ""
    gone = bird.status not in OURS
    if gone and not bird.left.is_known:
        return ""
    end = bird.left.earliest if gone else today
    days = (end - hatched.earliest).days
    if days < 0:
        return ""
    if hatched.precision is Precision.YEAR or hatched.about:
        years = end.year - hatched.earliest.year
        text = plural("about {count} year", "about {count} years", years).format(count=years)
    elif days < 112 and hatched.precision is Precision.DAY:
        weeks = days // 7
        text = plural("{count} week", "{count} weeks", weeks).format(count=weeks)
        if not weeks:
            text = plural("{count} day", "{count} days", days).format(count=days)
    elif days < 2 * 365:
        months = round(days / 30.44)
        text = plural("{count} month", "{count} months", months).format(count=months)
    else:
        years = int(days / 365.25)
        text = plural("{count} year", "{count} years", years).format(count=years)
    return text


def where_it_is(bird: Bird, snapshot: Snapshot) -> str:
    """Living here, or what became of it, when and to whom."""
    if bird.placeholder:
        return ""
    if bird.status is Status.LIVING:
        return _("in the flock")
    parts = [status_word(bird.status), date_text(bird.left)]
    taker = snapshot.contact(bird.taker)
    if taker is not None:
        parts.append(_("to {taker}").format(taker=taker.name))
    text = " ".join(part for part in parts if part)
    return _("{what}: {cause}").format(what=text, cause=bird.cause) if bird.cause else text
