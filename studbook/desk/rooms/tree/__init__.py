"""Family tree: where does a bird come from, and what came of it?"""

from studbook.desk.room import Door
from studbook.words import _

DOOR = Door("tree", lambda: _("Family tree"), "tree-structure")
