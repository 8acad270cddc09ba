"""Care: who needs looking after, and which young cock has proved himself?"""

from studbook.desk.room import Door
from studbook.words import _

DOOR = Door("care", lambda: _("Care"), "bandaids")
