"""A chart under its heading, which also shows its numbers as a table and writes both to files."""

from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from studbook.desk.context import Context
from studbook.desk.tables import Column, RowsModel, Table
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.chart_view import ChartView
from studbook.desk.widgets.text import SectionHeading, label, link
from studbook.desk.wording import MISSING, number_text, percent_text
from studbook.drawing.charts.chart import Cell, Chart, Heading, Kind, draw_chart
from studbook.drawing.errors import DrawingRefused
from studbook.words import _

PAPER_WIDTH = 760.0
"""How wide a chart is written to a file, in pixels."""

_Row = tuple[Cell, ...]


class ChartPanel(QWidget):
    """Heading, chart or numbers, and what the chart shows in one quiet line.

    Signals
    -------
    asked
        What a place in the chart stands for is wanted (str, its key).
    """

    asked = Signal(str)

    def __init__(self, context: Context, name: str, heading: str, told: str = "") -> None:
        super().__init__()
        self._context = context
        self._name = name
        self._table: Table | None = None
        self._ticket = 0
        column = self._column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space())
        self._switch = link(_("as numbers"), self.switch)
        self._switch.setObjectName(f"{name}_switch")
        self._export = link(_("export…"), self.export)
        self._export.setObjectName(f"{name}_export")
        self.links = (self._switch, self._export)
        for control in self.links:
            control.setAccessibleName(f"{heading}: {control.text()}")
        column.addWidget(SectionHeading(heading, *self.links))
        self.told = label(told, Role.SMALL, wraps=True)
        column.addWidget(self.told)
        self.told.setVisible(bool(told))
        self.view = ChartView(context, name)
        self.view.asked.connect(self.asked)
        column.addWidget(self.view)
        self.none = label("", Role.FAINT, wraps=True)
        self.none.hide()
        column.addWidget(self.none)

    @property
    def table(self) -> Table | None:
        """The numbers, while they are shown."""
        return self._table

    def show_chart(self, chart: Chart) -> None:
        """Show another chart, or its numbers if numbers are shown."""
        self.none.hide()
        for control in (self._switch, self._export):
            control.setEnabled(True)
        self.view.show_chart(chart)
        if self._table is not None:
            self._lay_table()
        else:
            self.view.show()

    def show_sentence(self, text: str) -> None:
        """Say why there is nothing to draw yet."""
        self._drop_table()
        self.view.hide()
        for control in (self._switch, self._export):
            control.setEnabled(False)
        self.none.setText(text)
        self.none.show()

    def switch(self) -> None:
        """Numbers instead of the chart, or the chart again."""
        if self._table is None:
            self._lay_table()
            self.view.hide()
            assert self._table is not None
            self._table.setFocus()
        else:
            self._drop_table()
            self.view.show()
            self.view.setFocus()
        self._switch.setText(_("as numbers") if self._table is None else _("as a chart"))

    def export(self) -> None:
        """Write the chart or its numbers, as the file name asks."""
        chart = self.view.chart
        if chart is None:
            return
        safe = "".join(sign if sign.isalnum() or sign in " -_" else "_" for sign in chart.title)
        self._context.questions.file_to_save(
            _("Export the chart"),
            _("Vector page (*.pdf);;Scalable drawing (*.svg);;Picture (*.png);;Numbers (*.csv)"),
            Path.home() / f"{safe}.pdf",
            self._write,
        )

    def cancel(self) -> None:
        """Nothing is waited for any more."""
        self.view.cancel()
        self._context.workers.cancel(self._ticket)

    def _write(self, path: Path) -> None:
        chart, today = self.view.chart, self._context.today
        assert chart is not None

        def job(_progress: object) -> None:
            if path.suffix.lower() == ".csv":
                path.write_text(chart.table().csv(), encoding="utf-8-sig", newline="")
                return
            from studbook.drawing.export import write_drawing

            write_drawing(draw_chart(chart, PAPER_WIDTH, titled=True), path, on=today)

        def done(_nothing: None) -> None:
            self._context.say(_("Wrote the chart to {file}.").format(file=path.name))

        def failed(error: Exception) -> None:
            if isinstance(error, OSError):
                reason = _("{file} could not be written: {reason}.")
                self._refuse(reason.format(file=path, reason=error.strerror))
            elif isinstance(error, DrawingRefused):
                self._refuse(str(error))
            else:
                self._context.workers.broke.emit(error)

        self._ticket = self._context.workers.run(job, done, failed=failed)

    def _refuse(self, reason: str) -> None:
        self._context.questions.tell(_("The chart is not written"), reason)

    def _lay_table(self) -> None:
        chart = self.view.chart
        assert chart is not None
        self._drop_table()
        numbers = chart.table()
        columns = tuple(_column(place, heading) for place, heading in enumerate(numbers.headings))
        model: RowsModel[_Row] = RowsModel(columns, identity=lambda row: row)
        made = self._table = Table(model, f"{self._name}_numbers", self)
        model.setParent(made)
        model.set_rows(numbers.rows)
        made.setAccessibleName(chart.title)
        made.set_dense(True)
        rows = min(len(numbers.rows), 12)
        made.setFixedHeight(length(24) * rows + length(48))
        self._column.insertWidget(self._column.indexOf(self.view), made)
        made.show()

    def _drop_table(self) -> None:
        if self._table is not None:
            self._column.removeWidget(self._table)
            self._table.hide()
            self._table.deleteLater()
            self._table = None


def _column(place: int, heading: Heading) -> Column[_Row]:
    """One column of the numbers; unknown cells stay empty and are sorted last."""

    def text(row: _Row) -> str:
        cell = row[place]
        if cell is None:
            return MISSING
        if isinstance(cell, str) or heading.kind is Kind.YEAR:
            return str(cell)
        if heading.kind is Kind.SHARE:
            return percent_text(cell, heading.decimals)
        return number_text(int(cell))

    return Column(
        f"{place}",
        heading.title,
        text,
        lambda row: row[place],
        width=26 if heading.kind is Kind.TEXT else 0,
        right=heading.kind is not Kind.TEXT,
    )
