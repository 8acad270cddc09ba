"""A chart on screen: drawn anew for every width on a worker, pointed at and walked place by place."""

from typing import Any

from PySide6.QtCore import QByteArray, QEvent, QPointF, QRectF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QHelpEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from studbook.desk.context import Context
from studbook.desk.theme import length, look
from studbook.drawing.charts.chart import NARROWEST, Chart, ChartDrawing, Spot, draw_chart

_FIRST_HEIGHT = 240
_BREATH_MS = 60


class ChartView(QWidget):
    """Shows one chart as wide as it is itself; it takes the height the drawing needs.

    The arrow keys walk through its places, what they say is read out; Enter or a click asks for what a
    place stands for.

    Signals
    -------
    asked
        What a place stands for is wanted (str, its key).
    """

    asked = Signal(str)

    def __init__(self, context: Context, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName(name)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._context = context
        self._chart: Chart | None = None
        self._drawing: ChartDrawing | None = None
        self._renderer = QSvgRenderer(self)
        self._current = -1
        self._ticket = 0
        self._breath = QTimer(self)
        self._breath.setSingleShot(True)
        self._breath.setInterval(_BREATH_MS)
        self._breath.timeout.connect(self.draw)
        context.theme.changed.connect(self.draw)
        self.setFixedHeight(length(_FIRST_HEIGHT))

    @property
    def chart(self) -> Chart | None:
        """What is shown."""
        return self._chart

    @property
    def drawing(self) -> ChartDrawing | None:
        """How it is drawn now."""
        return self._drawing

    @property
    def current(self) -> Spot | None:
        """The place the keyboard has reached."""
        if self._drawing is None or not 0 <= self._current < len(self._drawing.spots):
            return None
        return self._drawing.spots[self._current]

    def show_chart(self, chart: Chart) -> None:
        """Show another chart."""
        self._chart = chart
        self._current = -1
        self.setAccessibleName(chart.title)
        self.draw()

    def draw(self) -> None:
        """Draw the chart for the width, the look and the text size there are."""
        chart, dark = self._chart, look().dark
        if chart is None or self.width() < 2 or self._context.workers.is_closed:
            return
        width = max(self.width() / self._scale(), NARROWEST)
        self._ticket = self._context.workers.run(
            lambda _progress: draw_chart(chart, width, dark=dark), self._take, key=("chart", id(self))
        )

    def cancel(self) -> None:
        """No drawing is waited for any more."""
        self._breath.stop()
        self._context.workers.cancel(self._ticket)

    def spot_at(self, place: QPointF) -> Spot | None:
        """The smallest place under a point of the view."""
        if self._drawing is None:
            return None
        at = place / self._fit()
        under = [
            spot
            for spot in self._drawing.spots
            if QRectF(spot.x, spot.y, spot.width, spot.height).contains(at)
        ]
        return min(under, key=lambda spot: spot.width * spot.height, default=None)

    def place_of(self, spot: Spot) -> QRectF:
        """Where a place of the drawing lies in the view."""
        fit = self._fit()
        return QRectF(spot.x * fit, spot.y * fit, spot.width * fit, spot.height * fit)

    def _scale(self) -> float:
        """Pixels on screen for one of a drawing, at the text size of the window."""
        return length(100) / 100

    def _fit(self) -> float:
        """Pixels on screen for one of this drawing: while another is made, the old one is stretched."""
        return self.width() / self._drawing.width if self._drawing else 1.0

    def _take(self, drawing: ChartDrawing) -> None:
        self._drawing = drawing
        self._renderer.load(QByteArray(drawing.svg.encode()))
        self.setFixedHeight(max(1, round(drawing.height * self._fit())))
        self.updateGeometry()
        self.update()

    def _step(self, forwards: bool) -> None:
        count = len(self._drawing.spots) if self._drawing else 0
        if not count:
            return
        self._current = min(max(self._current + (1 if forwards else -1), 0), count - 1)
        if (spot := self.current) is not None:
            self.setAccessibleDescription(spot.label)
            QToolTip.showText(self.mapToGlobal(self.place_of(spot).center().toPoint()), spot.label, self)
        self.update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key, spot = event.key(), self.current
        if key in (Qt.Key.Key_Right, Qt.Key.Key_Down):
            self._step(True)
        elif key in (Qt.Key.Key_Left, Qt.Key.Key_Up):
            self._step(False)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and spot is not None and spot.key:
            self.asked.emit(spot.key)
        else:
            super().keyPressEvent(event)

    def event(self, event: Any) -> bool:
        if event.type() is QEvent.Type.ToolTip:
            self._tell(event)
            return True
        return super().event(event)

    def _tell(self, event: QHelpEvent) -> None:
        spot = self.spot_at(QPointF(event.pos()))
        QToolTip.showText(event.globalPos(), spot.label if spot else "", self)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        spot = self.spot_at(event.position())
        leads = spot is not None and bool(spot.key)
        self.setCursor(Qt.CursorShape.PointingHandCursor if leads else Qt.CursorShape.ArrowCursor)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        spot = self.spot_at(event.position())
        if spot is not None and spot.key and event.button() is Qt.MouseButton.LeftButton:
            self.asked.emit(spot.key)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width() and self._chart is not None:
            self._breath.start()

    def sizeHint(self) -> QSize:
        return QSize(length(480), self.height())

    def minimumSizeHint(self) -> QSize:
        return QSize(length(NARROWEST), self.height())

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if self._drawing is not None:
            fit = self._fit()
            self._renderer.render(
                painter, QRectF(0, 0, self._drawing.width * fit, self._drawing.height * fit)
            )
        if self.hasFocus():
            painter.setPen(QPen(look().comb, 1.5))
            spot = self.current
            place = QRectF(self.rect()) if spot is None else self.place_of(spot)
            painter.drawRoundedRect(place.adjusted(1, 1, -1, -1), 3, 3)
