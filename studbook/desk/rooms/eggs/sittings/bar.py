"""A sitting as a bar along its days: candlings, lockdown, the window of the hatch, and today."""

from datetime import date

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from studbook.desk.look import mix
from studbook.desk.theme import Type, font, length, look, space
from studbook.desk.wording import day_text
from studbook.planning.sittings.standing import Stage, Standing
from studbook.words import _


def paint_bar(painter: QPainter, place: QRectF, standing: Standing) -> None:
    """Draw the days of a sitting into `place`: gone by, still to come, candlings, the hatch, today."""
    plan = standing.plan
    whole = max(plan.day(plan.due_last), 1)

    def x(day: float) -> float:
        return place.left() + place.width() * min(max(day / whole, 0.0), 1.0)

    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(mix(look().sheet, look().hair, 0.55))
    painter.drawRect(place)
    is_over = standing.stage in (Stage.CLOSED, Stage.COUNTED)
    gone = whole if is_over else standing.day
    painter.setBrush(mix(look().sheet, look().moss if is_over else look().slate, 0.45))
    painter.drawRect(QRectF(place.left(), place.top(), x(gone) - place.left(), place.height()))
    painter.setBrush(mix(look().sheet, look().comb, 0.55))
    first, last = x(plan.day(plan.due_first)), x(whole)
    painter.drawRect(QRectF(first, place.top(), last - first, place.height()))
    painter.setBrush(look().straw)
    for candling in plan.candlings:
        left, right = x(plan.day(candling.on)), x(plan.day(candling.until))
        painter.drawRect(QRectF(left, place.bottom() + 2, max(right - left, 3), 3))
    painter.setPen(QPen(look().ink, 1))
    lockdown = x(plan.day(plan.lockdown))
    painter.drawLine(QPointF(lockdown, place.top()), QPointF(lockdown, place.bottom()))
    if not is_over and standing.day <= whole:
        painter.setPen(QPen(look().comb, 2))
        today = x(standing.day)
        painter.drawLine(QPointF(today, place.top() - 3), QPointF(today, place.bottom() + 3))
    painter.restore()


class SittingBar(QWidget):
    """The bar of one sitting with its days written below."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("sitting_bar")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._standing: Standing | None = None

    def show_standing(self, standing: Standing) -> None:
        """Show another sitting."""
        self._standing = standing
        plan = standing.plan
        days = [
            _("set {day}").format(day=day_text(plan.set_on)),
            *(
                _("candle {first} to {last}").format(first=day_text(each.on), last=day_text(each.until))
                for each in plan.candlings
            ),
            _("lockdown {day}").format(day=day_text(plan.lockdown)),
            _("due {day}").format(day=day_text(plan.due)),
        ]
        self.setAccessibleName(", ".join(days))
        self.setToolTip("\n".join(days))
        self.update()

    def _labels(self, standing: Standing) -> list[tuple[date, str]]:
        plan = standing.plan
        return [
            (plan.set_on, _("set")),
            *((each.on, _("candle")) for each in plan.candlings),
            (plan.lockdown, _("lockdown")),
            (plan.due, _("due")),
        ]

    def sizeHint(self) -> QSize:
        return QSize(length(400), length(58))

    def minimumSizeHint(self) -> QSize:
        return QSize(length(200), length(58))

    def paintEvent(self, event: QPaintEvent) -> None:
        if self._standing is None:
            return
        painter = QPainter(self)
        standing, plan = self._standing, self._standing.plan
        place = QRectF(1, space(0.75), self.width() - 2, length(12))
        paint_bar(painter, place, standing)
        painter.setFont(font(Type.SMALL))
        painter.setPen(look().faint)
        metrics = painter.fontMetrics()
        whole = max(plan.day(plan.due_last), 1)
        taken = -1.0
        for day, word in self._labels(standing):
            texts = (word, day_text(day).rsplit(" ", 1)[0])
            width = max(metrics.horizontalAdvance(text) for text in texts)
            left = place.left() + place.width() * plan.day(day) / whole
            left = min(left, self.width() - width - 1.0)
            if left < taken:
                continue
            for line, text in enumerate(texts):
                painter.drawText(QPointF(left, place.bottom() + length(18 + 15 * line)), text)
            taken = left + width + space(1)
        painter.end()
