"""The chicks of a hatch as a table one fills by keyboard: mark, name, sex, colour, note."""

from collections.abc import Collection
from dataclasses import dataclass, replace
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QGuiApplication, QKeyEvent, QKeySequence, QPainter
from PySide6.QtWidgets import (
    QAbstractItemDelegate,
    QAbstractItemView,
    QComboBox,
    QHeaderView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from studbook.book.records import Sex
from studbook.book.rules import mark_key
from studbook.book.wording import sex_word
from studbook.desk.theme import length, look
from studbook.words import _, fold


@dataclass(frozen=True)
class Draft:
    """One chick as it is being written; `own_mark` is True once the keeper wrote its mark."""

    mark: str = ""
    name: str = ""
    sex: Sex = Sex.UNKNOWN
    colour: str = ""
    note: str = ""
    own_mark: bool = False


MARK, NAME, SEX, COLOUR, NOTE = range(5)
_FIELDS = ("mark", "name", "sex", "colour", "note")


def read_sex(text: str) -> Sex | None:
    """The sex a keeper means by a word or its first letter; None for a word we do not know."""
    plain = fold(text).strip()
    if plain in ("", "-", "?"):
        return Sex.UNKNOWN
    for sex in Sex:
        if plain == sex.value or plain == fold(sex_word(sex)):
            return sex
    words = {
        Sex.COCK: (_("cockerel"), "c", "m", "male", _("drake")),
        Sex.HEN: (_("pullet"), "h", "f", "female", _("duck")),
        Sex.UNKNOWN: ("u", "unknown"),
    }
    return next((sex for sex, known in words.items() if plain in known), None)


class ChicksModel(QAbstractTableModel):
    """The drafts of one hatch.

    Signals
    -------
    edited
        A chick was changed by the keeper.
    """

    edited = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.drafts: list[Draft] = []
        self._worn: frozenset[str] = frozenset()
        self.has_marks = True

    def set_worn(self, worn: Collection[str]) -> None:
        """The marks living birds wear, as `mark_key` writes them."""
        self._worn = frozenset(worn)

    def set_count(self, count: int) -> None:
        """So many chicks; those too many go from the end."""
        held = len(self.drafts)
        if count > held:
            self.beginInsertRows(QModelIndex(), held, count - 1)
            self.drafts += [Draft() for _number in range(count - held)]
            self.endInsertRows()
        elif count < held:
            self.beginRemoveRows(QModelIndex(), count, held - 1)
            del self.drafts[count:]
            self.endRemoveRows()

    def set_marks(self, codes: tuple[str, ...], *, has_marks: bool) -> None:
        """Give a series to the chicks whose mark the keeper did not write."""
        self.has_marks = has_marks
        for row, draft in enumerate(self.drafts):
            if not draft.own_mark:
                self.drafts[row] = replace(draft, mark=codes[row] if row < len(codes) else "")
        self._tell_column(MARK)

    def set_colour(self, colour: str, before: str) -> None:
        """Give a colour to the chicks that have none or still have the one given before."""
        for row, draft in enumerate(self.drafts):
            if draft.colour in ("", before):
                self.drafts[row] = replace(draft, colour=colour)
        self._tell_column(COLOUR)

    def mark_problem(self, row: int) -> str:
        """What is wrong with the mark of a chick; empty when nothing is."""
        mark = mark_key(self.drafts[row].mark)
        if not mark or not self.has_marks:
            return ""
        if mark in self._worn:
            return _("A living bird wears {mark} already.").format(mark=self.drafts[row].mark)
        others = [mark_key(draft.mark) for place, draft in enumerate(self.drafts) if place != row]
        if mark in others:
            return _("{mark} stands here twice.").format(mark=self.drafts[row].mark)
        return ""

    @property
    def problems(self) -> tuple[str, ...]:
        """Everything wrong with the marks, each sentence once."""
        found = (self.mark_problem(row) for row in range(len(self.drafts)))
        return tuple(dict.fromkeys(text for text in found if text))

    def _tell_column(self, column: int) -> None:
        if self.drafts:
            self.dataChanged.emit(self.index(0, column), self.index(len(self.drafts) - 1, column))

    def rowCount(self, parent: QModelIndex | QPersistentModelIndex = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self.drafts)

    def columnCount(self, parent: QModelIndex | QPersistentModelIndex = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(_FIELDS)

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if role != Qt.ItemDataRole.DisplayRole:
            return None
        if orientation is Qt.Orientation.Vertical:
            return str(section + 1)
        titles = (_("Mark"), _("Name"), _("Sex"), _("Colour"), _("Note"))
        return titles[section] if section < len(titles) else None

    def data(
        self, index: QModelIndex | QPersistentModelIndex, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if not index.isValid():
            return None
        draft = self.drafts[index.row()]
        problem = self.mark_problem(index.row()) if index.column() == MARK else ""
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.EditRole):
            if index.column() == SEX:
                shown = "" if draft.sex is Sex.UNKNOWN else sex_word(draft.sex)
                return shown if role == Qt.ItemDataRole.DisplayRole else draft.sex
            return getattr(draft, _FIELDS[index.column()])
        if role == Qt.ItemDataRole.ToolTipRole and problem:
            return problem
        if role == Qt.ItemDataRole.ForegroundRole and problem:
            return look().comb
        if role == Qt.ItemDataRole.AccessibleDescriptionRole and problem:
            return problem
        return None

    def setData(
        self,
        index: QModelIndex | QPersistentModelIndex,
        value: Any,
        role: int = Qt.ItemDataRole.EditRole,
    ) -> bool:
        if role != Qt.ItemDataRole.EditRole or not index.isValid():
            return False
        draft = self.drafts[index.row()]
        if index.column() == SEX:
            sex = value if isinstance(value, Sex) else read_sex(str(value))
            if sex is None:
                return False
            changed = replace(draft, sex=sex)
        else:
            text: dict[str, Any] = {_FIELDS[index.column()]: str(value).strip()}
            changed = replace(draft, **text)
            if index.column() == MARK and changed.mark != draft.mark:
                changed = replace(changed, own_mark=True)
        self.drafts[index.row()] = changed
        self.dataChanged.emit(index, index)
        if index.column() == MARK:
            self._tell_column(MARK)
        self.edited.emit()
        return True

    def flags(self, index: QModelIndex | QPersistentModelIndex) -> Qt.ItemFlag:
        if not index.isValid():
            return Qt.ItemFlag.NoItemFlags
        flags = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        if index.column() == MARK and not self.has_marks:
            return flags
        return flags | Qt.ItemFlag.ItemIsEditable


class _ChickDelegate(QStyledItemDelegate):
    """Edits text as a line and the sex as a choice, between hairlines."""

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        super().paint(painter, option, index)
        painter.save()
        painter.setPen(look().hair)
        painter.drawLine(option.rect.bottomLeft(), option.rect.bottomRight())
        painter.drawLine(option.rect.topRight(), option.rect.bottomRight())
        painter.restore()

    def createEditor(
        self, parent: QWidget, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QWidget:
        if index.column() != SEX:
            editor = super().createEditor(parent, option, index)
            editor.setProperty("cell", True)
            return editor
        choice = QComboBox(parent)
        for sex in (Sex.UNKNOWN, Sex.COCK, Sex.HEN):
            choice.addItem(sex_word(sex), sex)
        choice.activated.connect(lambda: self._done(choice))
        return choice

    def setEditorData(self, editor: QWidget, index: QModelIndex | QPersistentModelIndex) -> None:
        if isinstance(editor, QComboBox):
            editor.setCurrentIndex(max(editor.findData(index.data(Qt.ItemDataRole.EditRole)), 0))
        else:
            super().setEditorData(editor, index)

    def setModelData(self, editor: QWidget, model: Any, index: QModelIndex | QPersistentModelIndex) -> None:
        if isinstance(editor, QComboBox):
            model.setData(index, Sex(editor.currentData()))
        else:
            super().setModelData(editor, model, index)

    def _done(self, editor: QWidget) -> None:
        self.commitData.emit(editor)
        self.closeEditor.emit(editor, QAbstractItemDelegate.EndEditHint.NoHint)


class ChicksTable(QTableView):
    """The chicks; typing edits, Enter goes down, Tab goes on, Ctrl+V fills from a spreadsheet.

    A letter is enough for the sex: c for a cock, h for a hen. Delete empties what is selected.
    """

    def __init__(self, model: ChicksModel) -> None:
        super().__init__()
        self.setObjectName("chicks")
        self.setAccessibleName(_("Chicks of the hatch"))
        self.chicks = model
        self.setModel(model)
        self.setItemDelegate(_ChickDelegate(self))
        self.setShowGrid(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ContiguousSelection)
        self.setEditTriggers(
            QAbstractItemView.EditTrigger.AnyKeyPressed
            | QAbstractItemView.EditTrigger.DoubleClicked
            | QAbstractItemView.EditTrigger.EditKeyPressed
            | QAbstractItemView.EditTrigger.SelectedClicked
        )
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(length(34))
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        header = self.horizontalHeader()
        header.setHighlightSections(False)
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        for column, width in ((MARK, 100), (NAME, 120), (SEX, 100), (COLOUR, 100), (NOTE, 80)):
            self.setColumnWidth(column, length(width))
        header.setStretchLastSection(True)

    def paste(self) -> None:
        """Fill the cells from the current one on with what lies on the clipboard."""
        start = self.currentIndex()
        text = QGuiApplication.clipboard().text()
        if not start.isValid() or not text:
            return
        for down, line in enumerate(text.rstrip("\r\n").splitlines()):
            for right, cell in enumerate(line.split("\t")):
                place = self.chicks.index(start.row() + down, start.column() + right)
                if place.isValid() and place.flags() & Qt.ItemFlag.ItemIsEditable:
                    self.chicks.setData(place, cell)

    def copy(self) -> None:
        """Put the selected cells on the clipboard."""
        rows: dict[int, list[str]] = {}
        for index in sorted(self.selectedIndexes()):
            rows.setdefault(index.row(), []).append(str(index.data() or ""))
        QGuiApplication.clipboard().setText("\n".join("\t".join(cells) for cells in rows.values()))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        index = self.currentIndex()
        if event.matches(QKeySequence.StandardKey.Paste):
            self.paste()
        elif event.matches(QKeySequence.StandardKey.Copy):
            self.copy()
        elif event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            for each in self.selectedIndexes():
                self.chicks.setData(each, "")
        elif index.isValid() and index.column() == SEX and event.text() and read_sex(event.text()):
            self.chicks.setData(index, event.text())
            self._go_down()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._go_down()
        else:
            super().keyPressEvent(event)

    def closeEditor(self, editor: QWidget, hint: QAbstractItemDelegate.EndEditHint) -> None:
        entered = hint is QAbstractItemDelegate.EndEditHint.SubmitModelCache
        super().closeEditor(editor, hint)
        if entered:
            self._go_down()

    def _go_down(self) -> None:
        index = self.currentIndex()
        below = self.chicks.index(index.row() + 1, index.column())
        if below.isValid():
            self.setCurrentIndex(below)
