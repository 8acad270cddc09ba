"""Banning a pair with a reason, and lifting its ban: it is only said from then on, nothing is blocked."""

from PySide6.QtWidgets import QWidget

from studbook.book.changes import Enter
from studbook.book.husbandry.choosing_rows import Ban
from studbook.book.ids import BanId
from studbook.book.records import BirdId, Snapshot
from studbook.desk.context import Context
from studbook.desk.widgets.form_dialog import FormDialog
from studbook.desk.wording import bird_text
from studbook.words import _


class BanDialog(FormDialog):
    """Asks why the keeper does not want a pair; the reason may be left empty."""

    def __init__(
        self, context: Context, pair: tuple[BirdId, BirdId], snapshot: Snapshot, parent: QWidget
    ) -> None:
        cock, hen = (bird_text(snapshot.bird(bird)) for bird in pair)
        title = _("Do not want {cock} with {hen}").format(cock=cock, hen=hen)
        super().__init__(context, title, _("Ban this pair"), parent)
        self.setObjectName("ban_dialog")
        hint = _(
            "Kept with the ban, and shown wherever the pair is. Pens and plans say it; nothing is blocked."
        )
        self._reason = self.form.add_line("reason", _("Why"), hint=hint)
        self._pair = pair
        self.set_change(self._banned)

    def _banned(self) -> Enter:
        cock, hen = self._pair
        reason = " ".join(self._reason.text().split())
        return Enter((Ban(BanId(self.new_id), cock, hen, self.context.today, reason),))
