"""What can be done to a book: one frozen dataclass for each intention.

A change is applied by `studbook.book.door.Book.apply`; an empty id in what it carries is given by the book.
"""

from studbook.book.changes.birds import (
    AddBirds,
    Chick,
    EditBird,
    RegisterHatch,
    Restore,
    SetParents,
    SetStatus,
    StrikeOut,
)
from studbook.book.changes.change import Change
from studbook.book.changes.details import (
    AddContact,
    AddOrigin,
    EditContact,
    EditDetails,
    EditOrigin,
    RelateOrigins,
)
from studbook.book.changes.eggs import MoveEggs, PartBatch, RegisterChicks
from studbook.book.changes.marks import AddMarks, EditMark, RemoveMark
from studbook.book.changes.papers import (
    AddNote,
    AddPhoto,
    EditNote,
    IssueCertificate,
    RemoveNote,
    RemovePhoto,
)
from studbook.book.changes.pens import CarryOut, EndApart, MoveBirds, SetApart
from studbook.book.changes.together import Together
from studbook.book.changes.year import Correct, Enter, Withdraw

__all__ = [
    "AddBirds",
    "AddContact",
    "AddMarks",
    "AddNote",
    "AddOrigin",
    "AddPhoto",
    "CarryOut",
    "Change",
    "Chick",
    "Correct",
    "EditBird",
    "EditContact",
    "EditDetails",
    "EditMark",
    "EditNote",
    "EditOrigin",
    "EndApart",
    "Enter",
    "IssueCertificate",
    "MoveBirds",
    "MoveEggs",
    "PartBatch",
    "RegisterChicks",
    "RegisterHatch",
    "RelateOrigins",
    "RemoveMark",
    "RemoveNote",
    "RemovePhoto",
    "Restore",
    "SetApart",
    "SetParents",
    "SetStatus",
    "StrikeOut",
    "Together",
    "Withdraw",
]
