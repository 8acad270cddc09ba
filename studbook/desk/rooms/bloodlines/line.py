"""The line as a whole: the answer in sentences, the figures behind it, inbreeding and founders by year."""

from PySide6.QtCore import Signal

from studbook.book.records import Snapshot
from studbook.desk.context import Context
from studbook.desk.rooms.bloodlines.figures import FigureStrip
from studbook.desk.rooms.bloodlines.numbers import Answer
from studbook.desk.rooms.bloodlines.page import Page
from studbook.desk.theme import length
from studbook.desk.widgets.chart_panel import ChartPanel
from studbook.desk.widgets.prose import Prose
from studbook.desk.widgets.sentence_view import Paragraph, Style
from studbook.words import _


class LinePage(Page):
    """Is the line narrowing?

    Signals
    -------
    founder_asked
        A founder is to be followed (str, its key in the charts).
    """

    founder_asked = Signal(str)

    def __init__(self, context: Context) -> None:
        super().__init__(context, "bloodlines_line")
        self.summary = Prose("bloodlines_summary", _("Is the line narrowing?"))
        self.summary.setMaximumWidth(length(980))
        self.summary.bird_asked.connect(self.bird_asked)
        self.column.addWidget(self.summary)
        self.figures = FigureStrip()
        self.figures.explained.bird_asked.connect(self.bird_asked)
        self.column.addWidget(self.figures)
        self.inbreeding = ChartPanel(
            context,
            "inbreeding_chart",
            _("Inbreeding by hatch year"),
            _(
                "The mean F of the chicks of each year; shaded, from the least to the most inbred of them. "
                "Steeper than the straight line is too fast: breed from more cocks, or bring one in."
            ),
        )
        self.founders = ChartPanel(
            context,
            "founder_chart",
            _("Where the genes come from"),
            _(
                "The share of each founder in the chicks of each year. A band that thins is being lost: press it to "
                "see which birds carry it."
            ),
        )
        self.founders.asked.connect(self.founder_asked)
        self.add_halves(self.inbreeding, self.founders)
        self.column.addStretch(1)

    def show_answer(self, answer: Answer, snapshot: Snapshot) -> None:
        """Show a report."""
        lead, *rest = answer.summary
        paragraphs = [Paragraph((lead,), Style.LEAD)]
        if rest:
            paragraphs.append(Paragraph(tuple(rest)))
        self.summary.show_paragraphs(paragraphs, snapshot)
        self.figures.show_words(answer.figures, snapshot)
        for panel, chart in ((self.inbreeding, answer.inbreeding), (self.founders, answer.founders)):
            if chart is not None:
                panel.show_chart(chart)
            else:
                panel.show_sentence(
                    _("Nothing to draw yet: no bird of this kind hatched here with a known year.")
                )

    def cancel(self) -> None:
        self.inbreeding.cancel()
        self.founders.cancel()
