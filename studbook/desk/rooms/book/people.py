"""The contacts birds come from or go to, and the origins of bought-in birds."""

from PySide6.QtCore import QLocale

from studbook.book.changes import AddContact, AddOrigin, EditContact, EditOrigin
from studbook.book.records import Contact, ContactId, Origin, OriginId
from studbook.desk.context import Context
from studbook.desk.rooms.book.ledger import LedgerField, LedgerPage, LedgerWords
from studbook.desk.tables import Column, Paint
from studbook.words import _


def contacts_page(context: Context) -> LedgerPage[Contact]:
    """The people of the book."""
    columns = (
        Column[Contact]("name", _("Name"), lambda row: row.name, width=26, paint=Paint.NAME),
        Column[Contact]("address", _("Address"), lambda row: ", ".join(row.address.split("\n")), width=36),
        Column[Contact]("phone", _("Telephone"), lambda row: row.phone, width=18),
        Column[Contact]("email", _("E-mail"), lambda row: row.email, width=24),
        Column[Contact]("note", _("Note"), lambda row: row.note, width=24, shown=False),
    )
    fields = (
        LedgerField("name", _("Name")),
        LedgerField("address", _("Address"), long=True),
        LedgerField("phone", _("Telephone")),
        LedgerField("email", _("E-mail")),
        LedgerField("note", _("Note"), long=True),
    )
    words = LedgerWords(
        "address-book",
        _("Add the contact"),
        _("New contact"),
        _("No contacts yet"),
        _(
            "The people you buy birds from and sell them to. Their names are offered where a bird changes hands."
        ),
    )
    return LedgerPage(
        context,
        "contacts",
        columns,
        fields,
        words,
        rows=lambda snapshot: snapshot.contacts,
        blank=Contact(ContactId(""), ""),
        add=AddContact,
        edit=EditContact,
    )


def origins_page(context: Context) -> LedgerPage[Origin]:
    """The yards of bought-in birds."""
    columns = (
        Column[Origin]("name", _("Yard"), lambda row: row.name, width=26, paint=Paint.NAME),
        Column[Origin](
            "self_relationship",
            _("Assumed relationship"),
            lambda row: _number_text(row.self_relationship),
            value=lambda row: row.self_relationship,
            width=20,
            right=True,
        ),
        Column[Origin]("note", _("Note"), lambda row: row.note, width=36),
    )
    fields = (
        LedgerField("name", _("Yard")),
        LedgerField(
            "self_relationship",
            _("Assumed relationship of its birds"),
            _(
                "0 when nothing is assumed. Two birds of this yard are taken to be related by half of it; "
                "for known sibs give them parents instead."
            ),
            show=_number_text,
            read=_read_number,
        ),
        LedgerField("note", _("Note"), long=True),
    )
    words = LedgerWords(
        "map-pin",
        _("Add the origin"),
        _("New origin"),
        _("No origins yet"),
        _("The yards your bought-in birds came from. Birds of one yard are often related."),
    )
    return LedgerPage(
        context,
        "origins",
        columns,
        fields,
        words,
        rows=lambda snapshot: snapshot.origins,
        blank=Origin(OriginId(""), ""),
        add=AddOrigin,
        edit=EditOrigin,
    )


def _number_text(number: float) -> str:
    return QLocale().toString(number, "g", 6)


def _read_number(text: str) -> float:
    if not text.strip():
        return 0.0
    number, is_number = QLocale().toDouble(text.strip())
    if not is_number:
        raise ValueError(_("Write a number from 0 to 2, such as 0.25."))
    return number
