"""Bloodlines: is the line narrowing?"""

from studbook.desk.room import Door
from studbook.words import _

DOOR = Door("bloodlines", lambda: _("Bloodlines"), "drop")
