"""The room of the pens: who runs with whom, and is it well?"""

from studbook.desk.room import Door
from studbook.words import _

DOOR = Door("pens", lambda: _("Pens"), "farm")
