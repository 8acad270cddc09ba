"""Eggs: what was laid, what is set, and what came of it."""

from studbook.desk.room import Door
from studbook.words import _

DOOR = Door("eggs", lambda: _("Eggs"), "egg")
