"""The fertility trials of a cock with their results and what was decided, or those a hen took part in."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from studbook.book.records import Bird, BirdId, Sex, Snapshot
from studbook.desk.context import Context
from studbook.desk.deeds.trial import TrialDialog
from studbook.desk.theme import Role, space
from studbook.desk.widgets.prose import Prose
from studbook.desk.widgets.sentence_view import Paragraph, Style
from studbook.desk.widgets.text import label
from studbook.desk.wording import day_text
from studbook.desk.work import Progress
from studbook.planning.care.telling import decision_sentence, hen_line, trial_line
from studbook.planning.care.trials import Trials, TrialStudy
from studbook.planning.sentences import Sentence
from studbook.words import _


class FertilityView(QWidget):
    """What the trials say of a bird, worked out on a worker; nothing for a bird without any.

    Signals
    -------
    bird_asked
        The page of a bird is wanted (str, its BirdId).
    """

    bird_asked = Signal(str)

    def __init__(self, context: Context) -> None:
        super().__init__()
        self.setObjectName("page_fertility")
        self.context = context
        self._snapshot: Snapshot | None = None
        self._bird: Bird | None = None
        self._ticket: int | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(0.5))
        self._none = label(_("No trial of his is in the book."), Role.FAINT)
        column.addWidget(self._none)
        self.told = Prose("fertility_told", _("Fertility trials"))
        self.told.bird_asked.connect(self.bird_asked)
        column.addWidget(self.told)

    def has_something(self, bird: Bird, snapshot: Snapshot) -> bool:
        """True for a cock, and for a hen of a trial."""
        return not bird.placeholder and (bird.sex is Sex.COCK or _was_in_trial(bird, snapshot))

    def show_bird(self, bird: Bird, snapshot: Snapshot) -> None:
        """Show the trials of a bird."""
        self.leave()
        another = self._bird is None or self._bird.id != bird.id
        self._bird, self._snapshot = bird, snapshot
        trials = snapshot.husbandry.trials.values()
        has_trials = any(trial.cock == bird.id for trial in trials) or _was_in_trial(bird, snapshot)
        if another or not has_trials:
            self._show(())
        self._none.setVisible(not has_trials)
        if not has_trials:
            return

        def work(_progress: Progress) -> tuple[tuple[Sentence, ...], ...]:
            return _lines(Trials(snapshot), bird.id)

        self._ticket = self.context.workers.run(work, self._take, key="bird fertility")

    def plan(self) -> None:
        """Plan a trial of the cock."""
        if self._bird is not None and self._snapshot is not None:
            TrialDialog(self.context, self._snapshot, self._bird, self.window()).ask()

    def leave(self) -> None:
        """Nobody waits for the trials any more."""
        if self._ticket is not None:
            self.context.workers.cancel(self._ticket)
            self._ticket = None

    def _take(self, lines: tuple[tuple[Sentence, ...], ...]) -> None:
        self._ticket = None
        self._show(lines)

    def _show(self, lines: tuple[tuple[Sentence, ...], ...]) -> None:
        self.told.setVisible(bool(lines))
        if self._snapshot is not None:
            self.told.show_paragraphs([Paragraph(line, Style.BODY) for line in lines], self._snapshot)


def _was_in_trial(bird: Bird, snapshot: Snapshot) -> bool:
    """True for a hen of a trial."""
    return any(row.hen == bird.id for row in snapshot.husbandry.trial_hens.values())


def _lines(trials: Trials, bird: BirdId) -> tuple[tuple[Sentence, ...], ...]:
    """A line for each trial of a cock with the decision on it, or for each a hen took part in."""
    of_cock = [trials.study(trial) for trial in trials.of_cock(bird)]
    of_hen = [trials.study(trial) for trial in trials.of_hen(bird)]
    return (
        *(_of_cock(study) for study in of_cock),
        *((hen_line(study, bird, day_text),) for study in of_hen),
    )


def _of_cock(study: TrialStudy) -> tuple[Sentence, ...]:
    line = trial_line(study, day_text)
    return ((_("{line}.").format(line=line[:1].upper() + line[1:]),), decision_sentence(study, day_text))
