"""What the page Outcome shows of one question, made on a worker."""

from dataclasses import dataclass

from studbook.book.records import Snapshot
from studbook.drawing.charts.losses import LossChart, LossStep
from studbook.drawing.charts.tones import Tone
from studbook.planning.eggs.outcome import By, OutcomeRow, Parents, all_together, outcomes, parents_of_eggs
from studbook.planning.eggs.telling import stage_text
from studbook.season.outcome import Stage
from studbook.words import _


@dataclass(frozen=True)
class Question:
    """By what the eggs are taken together, and in which year they were set (all by default)."""

    by: By
    season: int | None


@dataclass(frozen=True)
class Answer:
    """The lines with what came of all of them; `parents` are kept for the next question."""

    question: Question
    rows: tuple[OutcomeRow, ...]
    together: OutcomeRow
    parents: Parents | None


def answer(snapshot: Snapshot, question: Question, known: Parents | None) -> Answer:
    """The lines of one question."""
    parents = known
    if question.by in (By.COCK, By.HEN):
        parents = parents_of_eggs(snapshot, known)
    rows = outcomes(snapshot, question.by, question.season, parents)
    return Answer(question, rows, all_together(question.by, rows), parents)


def loss_chart(title: str, row: OutcomeRow) -> LossChart | None:
    """The losses as a funnel; None while no egg has met its end."""
    counts = row.counts
    standing_out = {loss.stage for loss in row.standing_out}
    dead = (
        (Stage.CLEAR, counts.clear),
        (Stage.EARLY, counts.early_dead),
        (Stage.LATE, counts.late_dead),
        (Stage.PIPPED, counts.pipped_dead),
    )
    others = counts.broken + counts.removed
    if counts.set_here == row.under_way:
        return None
    steps = [
        LossStep(stage_text(stage), eggs, Tone.ALERT if stage in standing_out else Tone.CAUTION)
        for stage, eggs in dead
    ]
    if others:
        steps.append(LossStep(_("broken or taken away"), others, Tone.PLAIN))
    if row.taken_alive:
        steps.append(LossStep(_("taken away alive"), row.taken_alive, Tone.PLAIN))
    if row.under_way:
        steps.append(LossStep(_("still under way"), row.under_way, Tone.UNSURE))
    steps.append(LossStep(_("hatched"), counts.hatched, Tone.GOOD, is_lost=False))
    return LossChart(title, counts.set_here, tuple(steps))
