"""The room Family tree: ancestors, descendants or both, drawn and as lines to unfold."""

from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from PySide6.QtCore import QByteArray, QSize, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QHBoxLayout,
    QHeaderView,
    QSizePolicy,
    QSpinBox,
    QSplitter,
    QStackedWidget,
    QToolButton,
    QTreeView,
    QVBoxLayout,
)

from studbook.book.records import BirdId, Entry, Snapshot
from studbook.desk import icons, printing
from studbook.desk.actions import Action, Menu
from studbook.desk.context import Context
from studbook.desk.drawing_view import DrawingView
from studbook.desk.room import Room
from studbook.desk.rooms.tree.lines import LinesModel, family_lines
from studbook.desk.theme import Role, length, look, space
from studbook.desk.widgets.bird_line import BirdDelegate, BirdLink
from studbook.desk.widgets.bird_picker import FindEdit
from studbook.desk.widgets.empty_state import EmptyState
from studbook.desk.widgets.text import button, label, link
from studbook.desk.wording import bird_text, percent_text
from studbook.drawing.errors import DrawingRefused
from studbook.drawing.sheet import Drawing
from studbook.words import _

_MOST_GENERATIONS = 12
_NARROW = 900
_LEAST = 160


@dataclass(frozen=True)
class Asked:
    """Which tree is wanted."""

    bird: BirdId
    up: int
    down: int


class Drawer:
    """Draws the trees of one snapshot on worker threads; the F beside the birds are found once."""

    def __init__(self, snapshot: Snapshot) -> None:
        self._snapshot = snapshot

    @cached_property
    def _inbreeding(self) -> list[float]:
        from studbook.book.relatedness import Relatedness

        found: list[float] = Relatedness(self._snapshot).inbreeding.tolist()
        return found

    def draw(self, asked: Asked, *, dark: bool) -> Drawing:
        """The tree with every F by convention.

        Raises
        ------
        DrawingRefused
            If the tree is too large or cannot be laid out.
        """
        from studbook.drawing.tree import draw_tree

        return draw_tree(
            self._snapshot, asked.bird, up=asked.up, down=asked.down, inbreeding=self._inbreeding, dark=dark
        )


class TreeRoom(Room):
    """Where does a bird come from, and what came of it?"""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        self.setObjectName("tree_room")
        self._snapshot: Snapshot | None = None
        self._drawer: Drawer | None = None
        self._bird: BirdId | None = None
        self._tickets: dict[str, int] = {}
        self.tree = DrawingView("family_tree")
        self.tree.bird_asked.connect(self.bird_asked)
        self.tree.zoom_changed.connect(self._show_zoom)
        self.lines = QTreeView()
        self._build()
        context.theme.changed.connect(self._draw)

    def _build(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(space(4), space(3), space(4), space(2))
        column.setSpacing(space())
        column.addLayout(self._head())
        self._controls = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._controls.setSpacing(space())
        self._controls.addLayout(self._whose())
        self._controls.addLayout(self._generations())
        self._controls.addLayout(self._zooms())
        column.addLayout(self._controls)
        self._model = LinesModel(self)
        self.lines.setObjectName("family_lines")
        self.lines.setAccessibleName(_("The same family as lines to unfold"))
        self.lines.setModel(self._model)
        self.lines.setItemDelegateForColumn(0, BirdDelegate(self.lines))
        self.lines.setHeaderHidden(True)
        self.lines.setMouseTracking(True)
        self.lines.header().setStretchLastSection(False)
        self.lines.header().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        self.lines.activated.connect(self._go)
        self.lines.hide()
        self._split = QSplitter(Qt.Orientation.Horizontal)
        self._split.setObjectName("tree_split")
        self._split.setChildrenCollapsible(False)
        self._split.addWidget(self.tree)
        self._split.addWidget(self.lines)
        self._split.setSizes([640, 360])
        state = self.context.settings.value("tree/split")
        if isinstance(state, QByteArray):
            self._split.restoreState(state)
        self._stack = QStackedWidget()
        self._stack.addWidget(self._split)
        self._stack.addWidget(
            EmptyState(
                "tree-structure",
                _("No bird to show yet"),
                _("Here you will see where a bird comes from and what came of it."),
                (_("Go to the birds"), lambda: self.room_asked.emit("birds")),
            )
        )
        # the wrapped texts above make the window ask for the height one would like, not the least
        self._stack.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Ignored)
        self._stack.setMinimumHeight(length(_LEAST))
        column.addWidget(self._stack, 1)

    def _head(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(space())
        row.addWidget(label(_("Family tree"), Role.TITLE))
        row.addStretch(1)
        for name, words, run, icon in (
            ("tree_export", _("Export…"), self.export, "export"),
            ("tree_print", _("Print…"), self.print_tree, "printer"),
        ):
            made = button(words, run, icon=icon)
            made.setObjectName(name)
            row.addWidget(made)
        return row

    def _whose(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(space())
        self._subject = QHBoxLayout()
        row.addLayout(self._subject)
        self.finder = FindEdit()
        self.finder.setObjectName("tree_bird")
        self.finder.setAccessibleName(_("The bird whose family is shown"))
        self.finder.setPlaceholderText(_("another bird"))
        self.finder.setMinimumWidth(length(140))
        self.finder.setMaximumWidth(length(220))
        self.finder.picked.connect(lambda bird: self.show_bird(bird.id))
        row.addWidget(self.finder)
        row.addSpacing(space(2))
        row.addStretch(1)
        return row

    def _generations(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(space())
        self._up = self._spin("tree_up", _("&Ancestors"), _("Generations of ancestors"), 4, row)
        self._down = self._spin("tree_down", _("&Descendants"), _("Generations of descendants"), 0, row)
        row.addStretch(1)
        return row

    def _spin(self, name: str, words: str, spoken_name: str, value: int, row: QHBoxLayout) -> QSpinBox:
        caption = label(words, Role.FAINT)
        made = QSpinBox()
        made.setObjectName(name)
        made.setAccessibleName(spoken_name)
        made.setToolTip(spoken_name)
        made.setRange(0, _MOST_GENERATIONS)
        made.setValue(value)
        made.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        made.setKeyboardTracking(False)
        made.valueChanged.connect(self._draw)
        caption.setBuddy(made)
        row.addWidget(caption)
        row.addWidget(made)
        row.addSpacing(space())
        return made

    def _zooms(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(space())
        row.addStretch(1)
        self._zoom = label("", Role.FAINT)
        self._zoom.setObjectName("tree_zoom")
        row.addWidget(self._zoom)
        for name, words, run in (
            ("tree_smaller", _("smaller"), self.tree.smaller),
            ("tree_larger", _("larger"), self.tree.larger),
            ("tree_fit", _("show all"), self.tree.fit),
        ):
            made = link(words, run)
            made.setObjectName(name)
            row.addWidget(made)
        self._as_lines = QToolButton()
        self._as_lines.setObjectName("tree_lines")
        self._as_lines.setText(_("As lines"))
        self._as_lines.setIcon(icons.icon("tree-view"))
        self._as_lines.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self._as_lines.setIconSize(QSize(length(18), length(18)))
        self._as_lines.setCheckable(True)
        self._as_lines.setToolTip(_("Show the same family as lines to unfold, beside the drawing"))
        self._as_lines.toggled.connect(self._show_lines)
        row.addWidget(self._as_lines)
        return row

    @property
    def asked(self) -> Asked | None:
        """Which tree is wanted now."""
        if self._bird is None:
            return None
        return Asked(self._bird, self._up.value(), self._down.value())

    def actions_here(self) -> tuple[Action, ...]:
        def has_tree() -> bool:
            return self.tree.drawing is not None

        return (
            Action(
                "tree.export", _("Export the family &tree…"), self.export, Menu.BIRDS, enabled=has_tree,
                icon="export", group=4,
            ),
            Action(
                "tree.print", _("Print the &family tree…"), self.print_tree, Menu.BIRDS, enabled=has_tree,
                icon="printer", group=4,
            ),
        )  # fmt: skip

    def show_snapshot(self, snapshot: Snapshot, entry: Entry | None = None) -> None:
        self._snapshot, self._drawer = snapshot, Drawer(snapshot)
        self.finder.set_birds(bird for bird in snapshot.birds if not bird.placeholder)
        if not snapshot.has(self._bird):
            living = snapshot.living or snapshot.birds
            self._bird = living[-1].id if living else None
        self._stack.setCurrentIndex(0 if self._bird is not None else 1)
        self._draw()

    def show_bird(self, bird: BirdId) -> None:
        self.finder.clear()
        if self._snapshot is not None and self._snapshot.has(bird):
            self._bird = bird
            self._draw()

    def _draw(self) -> None:
        drawer, asked, dark = self._drawer, self.asked, look().dark
        if drawer is None or asked is None:
            return
        self._name_subject()
        if self.lines.isVisibleTo(self):
            self._unfold()
        self._tickets["tree"] = self.context.workers.run(
            lambda _progress: drawer.draw(asked, dark=dark),
            self.tree.show_drawing,
            failed=self._refused,
            key=("tree", "drawing"),
        )

    def _name_subject(self) -> None:
        while (item := self._subject.takeAt(0)) is not None:
            if (widget := item.widget()) is not None:
                widget.deleteLater()
        if self._snapshot is not None and self._bird is not None:
            subject = BirdLink(self._snapshot.bird(self._bird))
            subject.setObjectName("tree_subject")
            subject.asked.connect(self.bird_asked)
            self._subject.addWidget(subject)

    def _refused(self, error: Exception) -> None:
        if not isinstance(error, DrawingRefused):
            self.context.workers.broke.emit(error)
            return
        self.tree.show_sentence(str(error))

    def _show_zoom(self) -> None:
        self._zoom.setText(percent_text(self.tree.zoom, 0))

    def _show_lines(self, shown: bool) -> None:
        self.lines.setVisible(shown)
        if shown:
            self._unfold()
            self.lines.setFocus()

    def _unfold(self) -> None:
        asked = self.asked
        if self._snapshot is None or asked is None:
            return
        self._model.show(family_lines(self._snapshot, asked.bird, asked.up, asked.down))
        self.lines.expandToDepth(1)
        self.lines.setCurrentIndex(self._model.index(0, 0))

    def _go(self, index: object) -> None:
        line = self._model.line(self.lines.currentIndex())
        if line is not None:
            self.bird_asked.emit(str(line.bird.id))

    def export(self) -> None:
        """Write the tree as SVG, PDF or PNG, as the file name asks."""
        if self.tree.drawing is None or self._snapshot is None or self._bird is None:
            return
        name = bird_text(self._snapshot.bird(self._bird))
        safe = "".join(sign if sign.isalnum() or sign in " -_" else "_" for sign in name)
        self.context.questions.file_to_save(
            _("Export the family tree"),
            _("Vector page (*.pdf);;Scalable drawing (*.svg);;Picture (*.png)"),
            Path.home() / f"{safe}.pdf",
            self._write,
        )

    def _write(self, path: Path) -> None:
        drawer, asked, today = self._drawer, self.asked, self.context.today
        if drawer is None or asked is None:
            return

        def job(_progress: object) -> None:
            from studbook.drawing.export import write_drawing

            write_drawing(drawer.draw(asked, dark=False), path, on=today)

        def done(_nothing: None) -> None:
            self.context.say(_("Wrote the family tree to {file}.").format(file=path.name))

        self._tickets["export"] = self.context.workers.run(job, done, failed=self._not_written)

    def _not_written(self, error: Exception) -> None:
        if not isinstance(error, DrawingRefused):
            self.context.workers.broke.emit(error)
            return
        self.context.questions.tell(_("The family tree is not written"), str(error))

    def print_tree(self) -> None:
        """Open the preview of the tree on paper."""
        drawer, asked = self._drawer, self.asked
        if drawer is None or asked is None or self.tree.drawing is None:
            return

        def show(drawing: Drawing) -> None:
            printing.preview_drawing(self, drawing)

        self._tickets["print"] = self.context.workers.run(
            lambda _progress: drawer.draw(asked, dark=False),
            show,
            failed=self._not_written,
            key=("tree", "print"),
        )

    def save_state(self) -> None:
        self.context.settings.setValue("tree/split", self._split.saveState())

    def leave(self) -> None:
        for ticket in self._tickets.values():
            self.context.workers.cancel(ticket)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        narrow = self.width() < length(_NARROW)
        self._controls.setDirection(
            QBoxLayout.Direction.TopToBottom if narrow else QBoxLayout.Direction.LeftToRight
        )


def build(context: Context) -> TreeRoom:
    """The room."""
    return TreeRoom(context)
