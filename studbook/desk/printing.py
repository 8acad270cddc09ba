"""Printing with a preview: whoever prints gives a function that paints the pages of a printer."""

from collections.abc import Callable

from PySide6.QtCore import QByteArray, QRectF, Qt
from PySide6.QtGui import QPageLayout, QPainter
from PySide6.QtPrintSupport import QPrinter, QPrintPreviewDialog
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import QWidget

from studbook.drawing.sheet import Drawing

Paint = Callable[[QPrinter, QPainter], None]
"""Paints on a printer, starting new pages as it needs."""

PRINT_DPI = 600
"""The dots to the inch asked of a printer; what it offers nearest is taken."""

DRAWING_DPI = 96
"""The pixels of a drawing to the inch."""


def preview(parent: QWidget, title: str, paint: Paint, *, landscape: bool = False) -> QPrintPreviewDialog:
    """Open the preview of what `paint` paints; from there it is printed."""
    dialog = QPrintPreviewDialog(parent)
    printer = dialog.printer()
    printer.setResolution(PRINT_DPI)
    printer.setDocName(title)
    wanted = QPageLayout.Orientation.Landscape if landscape else QPageLayout.Orientation.Portrait
    printer.setPageOrientation(wanted)
    dialog.setObjectName("print_preview")
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    dialog.setWindowTitle(title)

    def paint_pages(asked: QPrinter) -> None:
        painter = QPainter(asked)
        paint(asked, painter)
        painter.end()

    dialog.paintRequested.connect(paint_pages)
    dialog.open()
    return dialog


def preview_drawing(parent: QWidget, drawing: Drawing) -> QPrintPreviewDialog:
    """Open the preview of a drawing on one sheet, turned as the drawing is."""

    def paint(printer: QPrinter, painter: QPainter) -> None:
        page = printer.pageLayout().paintRectPixels(printer.resolution())
        most = printer.resolution() / DRAWING_DPI
        scale = min(page.width() / drawing.width, page.height() / drawing.height, most)
        place = QRectF(0, 0, drawing.width * scale, drawing.height * scale)
        place.moveLeft((page.width() - place.width()) / 2)
        QSvgRenderer(QByteArray(drawing.svg.encode())).render(painter, place)

    return preview(parent, drawing.title, paint, landscape=drawing.width > drawing.height)
