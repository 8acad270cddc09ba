"""Choosing a person or a yard by name, or writing a new one."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QCompleter, QWidget

from studbook.book.changes import AddContact, AddOrigin, Change
from studbook.book.records import Contact, ContactId, Origin, OriginId
from studbook.desk.theme import length
from studbook.words import _, fold


@dataclass(frozen=True)
class Named:
    """Someone of the book by id, or a `new` name; neither is nobody."""

    id: str | None = None
    new: str = ""

    def known_as(self, new_id: str) -> str | None:
        """The id, `new_id` for a new name."""
        return new_id if self.new else self.id

    def contact(self, new_id: str) -> tuple[Change, ...]:
        """The change that adds a new person."""
        return (AddContact(Contact(ContactId(new_id), self.new)),) if self.new else ()

    def origin(self, new_id: str) -> tuple[Change, ...]:
        """The change that adds a new yard."""
        return (AddOrigin(Origin(OriginId(new_id), self.new)),) if self.new else ()


class NameBox(QComboBox):
    """A list of names one can write a new one into; a written name that is in the list is that one."""

    def __init__(
        self,
        names: Iterable[tuple[str, str]],
        *,
        placeholder: str = "",
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setEditable(True)
        self.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        self.setMinimumWidth(length(180))
        self.addItem("", None)
        for name, identity in sorted(names, key=lambda pair: fold(pair[0])):
            self.addItem(name, identity)
        line = self.lineEdit()
        assert line is not None
        line.setPlaceholderText(placeholder or _("choose or write a name"))
        completer = self.completer()
        assert completer is not None
        completer.setCompletionMode(QCompleter.CompletionMode.PopupCompletion)
        completer.setFilterMode(Qt.MatchFlag.MatchContains)
        completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)

    @property
    def named(self) -> Named:
        """Who is meant."""
        written = self.currentText().strip()
        if not written:
            return Named()
        for place in range(1, self.count()):
            if fold(self.itemText(place)) == fold(written):
                return Named(self.itemData(place))
        return Named(None, written)

    def choose(self, identity: str | None) -> None:
        """Show someone of the list, or nobody."""
        self.setCurrentIndex(max(self.findData(identity), 0))


def contact_names(contacts: Sequence[Contact]) -> Iterable[tuple[str, str]]:
    """The people of a book, for a `NameBox`."""
    return ((contact.name, contact.id) for contact in contacts)


def origin_names(origins: Sequence[Origin]) -> Iterable[tuple[str, str]]:
    """The yards of a book, for a `NameBox`."""
    return ((origin.name, origin.id) for origin in origins)
