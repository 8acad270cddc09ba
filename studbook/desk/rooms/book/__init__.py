"""The Book: is the record sound?"""

from studbook.desk.room import Door
from studbook.words import _

DOOR = Door("book", lambda: _("Book"), "notebook")
