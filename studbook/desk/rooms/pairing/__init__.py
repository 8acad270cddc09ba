"""Pairing: whom with whom?"""

from studbook.desk.room import Door
from studbook.words import _

DOOR = Door("pairing", lambda: _("Pairing"), "heart-half")
