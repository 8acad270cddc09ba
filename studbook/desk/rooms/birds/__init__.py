"""The Birds: who is this, who do I have?"""

from studbook.desk.room import Door
from studbook.words import _

DOOR = Door("birds", lambda: _("Birds"), "bird")
