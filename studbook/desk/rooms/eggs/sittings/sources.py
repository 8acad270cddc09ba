"""Where eggs come from: a field that finds a pen or a hen as one types, or means eggs that were bought in."""

from dataclasses import dataclass

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QWidget

from studbook.book.ids import BirdId, PenId
from studbook.book.records import Sex, Snapshot
from studbook.desk.theme import length
from studbook.desk.wording import bird_text
from studbook.words import _, fold


@dataclass(frozen=True, slots=True)
class Source:
    """A pen, a hen, or eggs bought in."""

    pen: PenId | None = None
    hen: BirdId | None = None
    outside: bool = False


class SourceBox(QComboBox):
    """Takes the name of a pen, the mark or name of a hen, or the words for eggs bought in.

    Signals
    -------
    source_changed
        Another source, or none.
    """

    source_changed = Signal()

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName(name)
        self.setEditable(True)
        self.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        self.setMinimumWidth(length(210))
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        line = self.lineEdit()
        assert line is not None
        line.setPlaceholderText(_("pen or hen"))
        self._sources: list[Source] = []
        self._source: Source | None = None
        self.editTextChanged.connect(self._read)

    def set_sources(self, snapshot: Snapshot, species: str, *, bought: bool = True) -> None:
        """Offer the open pens, the hens of a species, and with `bought` eggs from outside."""
        year = snapshot.husbandry
        pens = sorted(
            (pen for pen in year.pens.values() if pen.closed is None),
            key=lambda pen: (pen.position, pen.name),
        )
        hens = [bird for bird in snapshot.living if bird.sex is Sex.HEN and bird.species == species]
        offered = [(pen.name, Source(pen=pen.id)) for pen in pens]
        offered += [(bird_text(hen), Source(hen=hen.id)) for hen in sorted(hens, key=bird_text)]
        if bought:
            offered.append((_("bought in"), Source(outside=True)))
        written = self.currentText()
        self.clear()
        self._sources = [source for _text, source in offered]
        self.addItems([text for text, _source in offered])
        self.setCurrentIndex(-1)
        self.setEditText(written)
        self._read()

    @property
    def source(self) -> Source | None:
        """What is meant; None while the text fits nothing or several."""
        return self._source

    @property
    def remark(self) -> str:
        """What is wrong with the text; empty when nothing is."""
        if self._source is not None:
            return ""
        text = self.currentText().strip()
        if not text:
            return _("Say from which pen or hen the eggs come, or that they were bought in.")
        return _("No pen and no hen here fits {text}, or several do: write more of it.").format(text=text)

    def choose(self, source: Source) -> None:
        """Show a source."""
        if source in self._sources:
            self.setEditText(self.itemText(self._sources.index(source)))

    def _read(self) -> None:
        wanted = fold(self.currentText().strip())
        texts = [fold(self.itemText(place)) for place in range(self.count())]
        fitting = [place for place, text in enumerate(texts) if text == wanted]
        if not fitting and wanted:
            fitting = [place for place, text in enumerate(texts) if wanted in text.split()]
        if not fitting and wanted:
            fitting = [place for place, text in enumerate(texts) if wanted in text]
        found = self._sources[fitting[0]] if len(fitting) == 1 else None
        if found != self._source:
            self._source = found
        self.source_changed.emit()
