"""The Yard: what is in the flock now, and what needs the keeper."""

from studbook.desk.room import Door
from studbook.words import _

DOOR = Door("yard", lambda: _("Yard"), "barn")
