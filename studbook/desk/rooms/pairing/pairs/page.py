"""The page Whom with whom: sentences hen by hen, the matrix beside them, the chosen pair below."""

from functools import partial
from pathlib import Path

from PySide6.QtCore import QByteArray, QSize, Qt
from PySide6.QtGui import QKeySequence, QResizeEvent, QShortcut
from PySide6.QtWidgets import (
    QHBoxLayout,
    QSizePolicy,
    QSplitter,
    QStackedWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from studbook.book.changes import Withdraw
from studbook.book.records import BirdId, Sex, Snapshot
from studbook.desk import icons, printing
from studbook.desk.actions import Action, Menu
from studbook.desk.context import Context
from studbook.desk.rooms.pairing.page import Choosing, ChoosingPage
from studbook.desk.rooms.pairing.pairs.ban import BanDialog
from studbook.desk.rooms.pairing.pairs.chooser import Chooser
from studbook.desk.rooms.pairing.pairs.controls import FigureControls
from studbook.desk.rooms.pairing.pairs.figures import number_with
from studbook.desk.rooms.pairing.pairs.matrix import Matrix
from studbook.desk.rooms.pairing.pairs.missing import missing
from studbook.desk.rooms.pairing.pairs.model import MatrixModel
from studbook.desk.rooms.pairing.pairs.numbers import (
    Answer,
    Figures,
    Numbers,
    PairAnswer,
    Question,
    UnknownAnswer,
)
from studbook.desk.rooms.pairing.pairs.pair import PairPanel
from studbook.desk.rooms.pairing.pairs.paper import PairingPaper, matrix_csv
from studbook.desk.theme import Role, length, look, space
from studbook.desk.widgets.sentence_view import Paragraph, SentenceView, Style
from studbook.desk.widgets.text import button, label, link
from studbook.desk.wording import bird_text, percent_text
from studbook.planning.candidates import candidates
from studbook.planning.earlier_pairings import EarlierPairings
from studbook.planning.earlier_words import earlier_line
from studbook.planning.limits import Bar
from studbook.planning.pair_methods import Shown
from studbook.planning.sentences import BirdPart, plain
from studbook.words import _, plural

_LOW = 420
_LEAST = 160


class PairsPage(ChoosingPage):
    """Whom with whom?"""

    def __init__(self, context: Context) -> None:
        super().__init__(context, "pairing_pairs")
        self._snapshot: Snapshot | None = None
        self._numbers: Numbers | None = None
        self._answer: Answer | None = None
        self._sought: BirdId | None = None
        self._species = ""
        self._advising = self._studying = self._guessing = self._gathering = 0
        self._figures: Figures | None = None
        self._earlier: EarlierPairings | None = None
        self._kept: tuple[BirdId, BirdId] | None = None
        self._explains = False
        self.model = MatrixModel(self)
        self.matrix = Matrix(self.model)
        self.sentences = SentenceView("pairing_sentences", _("The cocks that suit each hen"))
        self.panel = PairPanel()
        self.panel.hide()
        self.controls = FigureControls()
        self.controls.restore(context.settings)
        self.model.pinned = [BirdId(bird) for bird in _kept_list(context.settings.value("pairing/pinned"))]
        self.model.told = self._told
        self.cocks = Chooser("pairing_cocks", _("Cocks"), _("add another cock"))
        self.hens = Chooser("pairing_hens", _("Hens"), _("add another hen"))
        self._build()
        self.sentences.bird_asked.connect(self.bird_asked)
        self.sentences.pair_asked.connect(self.open_pair)
        self.matrix.bird_asked.connect(self.bird_asked)
        self.matrix.pair_asked.connect(self.open_pair)
        self.matrix.pair_reached.connect(self._follow)
        self.panel.bird_asked.connect(self.bird_asked)
        self.matrix.ban_asked.connect(self.turn_ban)
        self.matrix.compare_asked.connect(self.compare)
        self.model.pins_changed.connect(self._keep_pins)
        self.panel.closed.connect(self.close_pair)
        self.panel.compare_asked.connect(self._turn_comparison)
        self.panel.page_asked.connect(self.page_asked)
        self.controls.changed.connect(self._ask)
        self.controls.method_asked.connect(self._turn_method)
        self.cocks.changed.connect(self._ask)
        self.hens.changed.connect(self._ask)
        context.theme.changed.connect(self._dress)

    def _build(self) -> None:
        column = QVBoxLayout(self.content)
        column.setContentsMargins(0, space(1.5), 0, 0)
        column.setSpacing(space())
        column.addLayout(self._head())
        column.addWidget(self.controls)
        left = QWidget()
        sides = QVBoxLayout(left)
        sides.setContentsMargins(0, 0, space(2), 0)
        sides.setSpacing(space(1.5))
        sides.addWidget(self.cocks, 2)
        sides.addWidget(self.hens, 3)
        self._chooser = left
        left.hide()
        self._beside = right = QWidget()
        beside = QVBoxLayout(right)
        beside.setContentsMargins(space(2), 0, 0, 0)
        beside.setSpacing(space(0.5))
        beside.addWidget(self.matrix, 1)
        self._legend = label("", Role.SMALL, wraps=True)
        self._legend.setObjectName("pairing_legend")
        beside.addWidget(self._legend)
        self._across = QSplitter(Qt.Orientation.Horizontal)
        self._across.setObjectName("pairing_across")
        for widget, stretch in ((left, 0), (self.sentences, 2), (right, 3)):
            self._across.addWidget(widget)
            self._across.setStretchFactor(self._across.count() - 1, stretch)
        self._down = QSplitter(Qt.Orientation.Vertical)
        self._down.setObjectName("pairing_down")
        self._down.addWidget(self._across)
        self._down.addWidget(self.panel)
        for splitter in (self._across, self._down):
            splitter.setChildrenCollapsible(False)
        self._empty = QStackedWidget()
        self._stack = QStackedWidget()
        self._stack.addWidget(self._down)
        self._stack.addWidget(self._empty)
        # the wrapped texts above make the window ask for the height one would like, not the least
        self._stack.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Ignored)
        self._stack.setMinimumHeight(length(_LEAST))
        column.addWidget(self._stack, 1)
        for splitter in (self._across, self._down):
            state = self.context.settings.value(f"pairing/{splitter.objectName()}")
            if isinstance(state, QByteArray):
                splitter.restoreState(state)
        shut = QShortcut(QKeySequence(Qt.Key.Key_Escape), self)
        shut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        shut.activated.connect(self.close_pair)

    def _head(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(space())
        self._choose = QToolButton()
        self._choose.setObjectName("pairing_choose")
        self._choose.setIcon(icons.icon("list-checks"))
        self._choose.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self._choose.setIconSize(QSize(length(18), length(18)))
        self._choose.setCheckable(True)
        self._choose.setToolTip(_("Choose the cocks and hens"))
        self._choose.toggled.connect(self._show_chooser)
        row.addWidget(self._choose)
        row.addStretch(1)
        for name, words in (("pens", _("Which pens")), ("ahead", _("The years ahead"))):
            way = link(words, partial(self.page_asked.emit, name))
            way.setObjectName(f"pairing_to_{name}")
            row.addWidget(way)
        row.addSpacing(space())
        self._export = button(_("Export…"), self.export, icon="export")
        self._export.setObjectName("pairing_export")
        self._print = button(_("Print…"), self.print_pages, icon="printer")
        self._print.setObjectName("pairing_print")
        row.addWidget(self._export)
        row.addWidget(self._print)
        return row

    @property
    def answer(self) -> Answer | None:
        """What is shown."""
        return self._answer

    @property
    def question(self) -> Question:
        """What the controls ask for."""
        return Question(
            self.cocks.chosen,
            self.hens.chosen,
            self.controls.cautious,
            self.controls.rules,
            self.context.today,
            self.controls.shown,
            self.controls.generations,
        )

    def actions_here(self) -> tuple[Action, ...]:
        def has_pairs() -> bool:
            return self._answer is not None and self.model.rowCount() > 0

        return (
            Action("pairing.choose", _("&Choose cocks and hens"), self._choose.toggle, Menu.BIRDS, group=3),
            Action(
                "pairing.export", _("&Export the pairing matrix…"), self.export, Menu.BIRDS, enabled=has_pairs,
                icon="export", group=3,
            ),
            Action(
                "pairing.print", _("&Print the pairing matrix…"), self.print_pages, Menu.BIRDS,
                enabled=has_pairs, icon="printer", group=3,
            ),
        )  # fmt: skip

    def show_choosing(self, choosing: Choosing) -> None:
        if choosing.species != self._species:
            self.close_pair()
        self._snapshot = choosing.snapshot
        self._species = choosing.species
        self._numbers = Numbers(choosing.snapshot, choosing.kinship)
        self._answer = self._figures = None
        self._gather()
        self._propose()

    def show_bird(self, bird: BirdId) -> None:
        """Whom for this bird? Its row or column is reached, and for a hen her sentences."""
        if self._snapshot is None or not self._snapshot.has(bird):
            return
        found = self._snapshot.bird(bird)
        if found.sex is Sex.UNKNOWN:
            return
        self._sought = bird
        chooser = self.cocks if found.sex is Sex.COCK else self.hens
        if bird not in chooser.chosen:
            chooser.add(bird)
        elif self._answer is not None:
            self._seek()

    def _seek(self) -> None:
        """Go to the bird that was asked for, once the advice is here."""
        if self._sought is None:
            return
        bird, self._sought = self._sought, None
        self.matrix.select_bird(bird)
        self.sentences.go_to(bird)

    def _propose(self) -> None:
        """Give the choosers the birds of the species."""
        if self._snapshot is None:
            return
        proposed = candidates(self._snapshot, self.context.today, self._species)
        self.cocks.set_birds(self._snapshot, self._species, Sex.COCK, proposed.cocks)
        self.hens.set_birds(self._snapshot, self._species, Sex.HEN, proposed.hens)
        self._ask()

    def _show_chooser(self, shown: bool) -> None:
        self._chooser.setVisible(shown)
        if shown:
            self._stack.setCurrentWidget(self._down)
            self.cocks.list.setFocus()
        else:
            self._show_state()

    def _ask(self) -> None:
        """Ask for the advice on what is chosen now."""
        numbers, question = self._numbers, self.question
        if numbers is None:
            return
        self._name_choice(question)
        self._show_state()
        self._advising = self.context.workers.run(
            lambda progress: numbers.figures(question, progress),
            self._show_figures,
            progressed=self._show_progress,
            key=("pairing", "advice"),
        )

    def _show_figures(self, figures: Figures) -> None:
        """Show the matrix at once, and ask for the sentences on it."""
        numbers = self._numbers
        if self._snapshot is None or numbers is None:
            return
        self._figures = figures
        self.model.show_picture(figures.picture, self._snapshot)
        self._legend.setText(_legend(figures.question.shown))
        self.matrix.name_figure(figures.method.name)
        self.controls.show_basis(figures.basis)
        self._show_state()
        # painted before the sentences keep the interpreter busy
        self.matrix.viewport().repaint()
        self._advising = self.context.workers.run(
            lambda progress: numbers.advise(figures, progress),
            self._show_answer,
            key=("pairing", "advice"),
        )
        pair = self.panel.pair
        if pair is None:
            return
        if pair[0] in figures.matrix.cocks and pair[1] in figures.matrix.hens:
            self.matrix.select_pair(pair)
            self._study(pair)
        else:
            self.close_pair()

    def _show_answer(self, answer: Answer) -> None:
        self._answer = answer
        self._write_sentences()
        self._seek()

    def _write_sentences(self) -> None:
        if self._answer is None or self._snapshot is None:
            return
        if self._explains:
            method = self._answer.figures.method
            told = [Paragraph(((method.name,),), Style.LEAD), Paragraph(((method.text,),))]
            told += [Paragraph(((source,),), Style.REMARK) for source in method.sources]
            self.sentences.show_paragraphs(told, self._snapshot)
            return
        paragraphs = [Paragraph((self._answer.summary,), Style.LEAD)]
        paragraphs += [Paragraph((remark,), Style.REMARK) for remark in self._answer.remarks]
        for hen, words in self._answer.by_hen:
            paragraphs.append(Paragraph(((BirdPart(hen),),), Style.HEAD))
            paragraphs.append(Paragraph(words.best))
            if words.remarks:
                paragraphs.append(Paragraph(words.remarks, Style.REMARK))
            paragraphs += [Paragraph((other,)) for other in words.others]
        more = len(self._answer.figures.matrix.hens) - len(self._answer.by_hen)
        if more > 0:
            text = plural(
                "One hen more is in the matrix alone: choose fewer hens to read about her.",
                "{count} hens more are in the matrix alone: choose fewer hens to read about them.",
                more,
            )
            paragraphs.append(Paragraph(((text.format(count=more),),), Style.REMARK))
        self.sentences.show_paragraphs(paragraphs, self._snapshot)

    def _turn_method(self) -> None:
        """How the figure is found, in the place of the sentences; again for the sentences."""
        self._explains = not self._explains
        self.controls.show_method_open(is_open=self._explains)
        self._write_sentences()
        if self._explains:
            self.sentences.setFocus()

    def _show_progress(self, share: float) -> None:
        self.controls.show_basis(_("Following the ancestors: {share}").format(share=percent_text(share, 0)))

    def _gather(self) -> None:
        """Find which pairs were together before; the matrix does not wait for it."""
        numbers, today = self._numbers, self.context.today
        known = self._earlier.parents if self._earlier is not None else None
        if numbers is not None:
            self._gathering = self.context.workers.run(
                lambda _progress: numbers.earlier(today, known),
                self._show_earlier,
                key=("pairing", "earlier"),
            )

    def _show_earlier(self, found: EarlierPairings) -> None:
        self._earlier = found
        self.model.show_earlier(found.marks)
        if self.panel.pair is not None and self._figures is not None:
            self._study(self.panel.pair)

    def _told(self, cock: BirdId, hen: BirdId, bar: Bar) -> str:
        """What the matrix says of a pair where the pointer rests on it."""
        numbers, figures, snapshot = self._numbers, self._figures, self._snapshot
        if numbers is None or figures is None or snapshot is None:
            return ""
        sentences = list(numbers.told(figures.question, (cock, hen), bar))
        before = self._earlier.of(cock, hen) if self._earlier is not None else None
        if before is not None:
            sentences.append(earlier_line(before))

        def called(bird: BirdId) -> str:
            return bird_text(snapshot.bird(bird))

        return "\n".join(plain(sentence, called, number_with) for sentence in sentences)

    def _keep_pins(self) -> None:
        self.context.settings.setValue("pairing/pinned", list(self.model.pinned))

    def turn_ban(self, pair: tuple[BirdId, BirdId]) -> None:
        """Ban a pair, asking why; or lift its ban."""
        if self._snapshot is None:
            return
        ban = self._snapshot.husbandry.banned_pairs.get(pair)
        if ban is None:
            BanDialog(self.context, pair, self._snapshot, self).ask()
        else:
            self.context.record.apply(Withdraw((ban,)))

    def compare(self, pair: tuple[BirdId, BirdId]) -> None:
        """Keep a pair to compare with the next one; the kept pair again ends it."""
        if self._kept is None:
            self._kept = pair
            self.panel.show_comparing(is_on=True)
            self.open_pair(pair)
        elif pair == self._kept:
            self._end_comparison()
        else:
            self.open_pair(pair)

    def _turn_comparison(self) -> None:
        if self._kept is not None:
            self._end_comparison()
        elif self.panel.pair is not None:
            self.compare(self.panel.pair)
            self.matrix.setFocus()

    def _end_comparison(self) -> None:
        self._kept = None
        self.panel.show_comparing(is_on=False)

    def _name_choice(self, question: Question) -> None:
        cocks, hens = len(question.cocks), len(question.hens)
        self._choose.setText(
            _("{cocks} and {hens}").format(
                cocks=plural("{n} cock", "{n} cocks", cocks).format(n=cocks),
                hens=plural("{n} hen", "{n} hens", hens).format(n=hens),
            )
        )

    def _show_state(self) -> None:
        """The advice, or what is missing for it."""
        question = self.question
        complete = bool(question.cocks and question.hens)
        for control in (self._export, self._print):
            control.setEnabled(complete)
        self.controls.setVisible(complete)
        for part in (self.sentences, self._beside):
            part.setVisible(complete or self._chooser.isHidden())
        if complete:
            self._stack.setCurrentWidget(self._down)
            return
        self.close_pair()
        while (old := self._empty.currentWidget()) is not None:
            self._empty.removeWidget(old)
            old.deleteLater()
        self._empty.addWidget(
            missing(
                self.cocks,
                self.hens,
                lambda: self._choose.setChecked(True),
                lambda: self.room_asked.emit("birds"),
            )
        )
        self._stack.setCurrentWidget(self._empty if self._chooser.isHidden() else self._down)

    def open_pair(self, pair: tuple[BirdId, BirdId]) -> None:
        """Open a pair below."""
        if self._snapshot is None:
            return
        least = length(240 if self._kept is not None else 160)
        self.panel.begin(pair, self._snapshot)
        self.panel.show()
        self._make_room()
        if self._down.sizes()[1] < least:
            whole = self._down.height()
            share = max(whole * 9 // 20, min(least, whole * 3 // 5))
            self._down.setSizes([whole - share, share])
        self.matrix.select_pair(pair)
        self._study(pair)

    def close_pair(self) -> None:
        """Close the pair that is open."""
        if self.panel.isHidden():
            return
        self.panel.hide()
        self.panel.pair = None
        self._end_comparison()
        self._make_room()
        if self.isVisible():
            self.matrix.setFocus()

    def _make_room(self) -> None:
        """On a low window the open pair lies over the rest."""
        low = self._stack.height() < length(_LOW)
        self._across.setVisible(self.panel.isHidden() or not low)

    def _follow(self, pair: tuple[BirdId, BirdId]) -> None:
        """While a pair is open, the one the keyboard reaches takes its place."""
        if not self.panel.isHidden() and pair != self.panel.pair:
            self.open_pair(pair)

    def _study(self, pair: tuple[BirdId, BirdId]) -> None:
        numbers, question, dark = self._numbers, self.question, look().dark
        if self._kept is not None and not all(map(self._has, self._kept)):
            self._end_comparison()
        earlier, beside = self._earlier, self._kept
        if earlier is not None and earlier.snapshot is not self._snapshot:
            earlier = None
        if numbers is not None:
            self._studying = self.context.workers.run(
                lambda _progress: numbers.study(question, pair, earlier, beside, dark=dark),
                self._show_study,
                key=("pairing", "pair"),
            )

    def _has(self, bird: BirdId) -> bool:
        return self._snapshot is not None and self._snapshot.has(bird)

    def _show_study(self, answer: PairAnswer) -> None:
        prospect, numbers, question = answer.study.prospect, self._numbers, self.question
        pair = (prospect.cock, prospect.hen)
        if self._snapshot is None or numbers is None or self.panel.pair != pair:
            return
        self.panel.show_answer(answer, self._snapshot)
        self._guessing = self.context.workers.run(
            lambda progress: numbers.unknown(question, pair, progress),
            self._show_unknown,
            key=("pairing", "unknown"),
        )

    def _show_unknown(self, answer: UnknownAnswer) -> None:
        if self.panel.pair == answer.pair:
            self.panel.show_unknown(answer)

    def _dress(self) -> None:
        """Another look or text size: what is baked into texts and drawings is made anew."""
        self.matrix.fit_to_text()
        if self.panel.pair is not None:
            self._study(self.panel.pair)

    def export(self) -> None:
        """Write the matrix as CSV."""
        if self._answer is None:
            return
        proposed = Path.home() / _("pairing.csv")
        self.context.questions.file_to_save(
            _("Export the pairing matrix"), _("Lists (*.csv)"), proposed, self._write_csv
        )

    def _write_csv(self, path: Path) -> None:
        try:
            path.write_text(matrix_csv(self.model), encoding="utf-8-sig", newline="")
        except OSError as error:
            self.context.questions.tell(
                _("The matrix is not written"),
                _("{file} could not be written: {reason}.").format(file=path, reason=error.strerror),
            )
            return
        self.context.say(_("Wrote the pairing matrix to {file}.").format(file=path.name))

    def print_pages(self) -> None:
        """Open the preview of the matrix and the sentences."""
        if self._answer is not None and self._snapshot is not None:
            paper = PairingPaper(self._answer, self.model, self._snapshot)
            printing.preview(self, _("Pairing"), paper.paint, landscape=self.model.columnCount() > 8)

    def save_state(self) -> None:
        for splitter in (self._across, self._down):
            self.context.settings.setValue(f"pairing/{splitter.objectName()}", splitter.saveState())
        self.controls.save(self.context.settings)

    def leave(self) -> None:
        for ticket in (self._advising, self._studying, self._guessing, self._gathering):
            self.context.workers.cancel(ticket)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._make_room()


def _legend(shown: Shown) -> str:
    """What the matrix shows and what its signs mean."""
    first = {
        Shown.EXPECTED: _("F of the chicks."),
        Shown.DIVERSITY: _("Gene diversity of the flock with one kept chick, more or less in hundredths."),
        Shown.RECENT: _("Recent part of F of the chicks."),
        Shown.OLD: _("Old part of F of the chicks."),
    }[shown]
    signs = _(
        "Stroke: not wanted. Cross: banned by you. Dot: paired before. Bold: the best for the hen. A header sorts; "
        "a right click shows all keys."
    )
    return f"{first} {signs}"


def _kept_list(value: object) -> list[str]:
    """A list as the settings give it back: one entry comes as a text, none as nothing."""
    if isinstance(value, str):
        return [value] if value else []
    return [str(each) for each in value] if isinstance(value, (list, tuple)) else []
