"""What the record of choosing never allows; see `rules`."""

from collections.abc import Iterator

from studbook.book.errors import Problem
from studbook.book.husbandry.choosing_rows import Ban, Choice, PlannedBird, Rotation, RotationPen
from studbook.book.husbandry.view import YearView, error, is_cock, is_hen
from studbook.words import _


def choice(view: YearView, row: Choice) -> Iterator[Problem]:
    """One decision for each bird and season."""
    bird = view.bird_called(row.bird)
    if any(other.id != row.id and other.season == row.season for other in view.year.choices_of[row.bird]):
        message = _("It is noted already whether {bird} may breed in {season}: correct that instead.")
        yield error("choice", message.format(bird=bird, season=row.season), "verdict", bird)


def ban(view: YearView, row: Ban) -> Iterator[Problem]:
    """A cock and a hen, named once."""
    yield from is_cock(view, row.cock, "cock")
    yield from is_hen(view, row.hen, "hen")
    cock, hen = view.bird_called(row.cock), view.bird_called(row.hen)
    if any(
        other.id != row.id and (other.cock, other.hen) == (row.cock, row.hen)
        for other in view.year.bans.values()
    ):
        message = _("{cock} with {hen} is noted already as a pair you do not want: correct that instead.")
        yield error("ban", message.format(cock=cock, hen=hen), "hen", cock, hen)


def planned_bird(view: YearView, row: PlannedBird) -> Iterator[Problem]:
    """A bird stands once in a plan."""
    bird = view.bird_called(row.bird)
    planned = view.year.planned_pens.get(row.planned_pen)
    if planned is None:
        return
    for pen in view.year.pens_of_plan[planned.plan]:
        for other in view.year.birds_of_planned_pen.get(pen.id, ()):
            if other.id != row.id and other.bird == row.bird:
                message = _("{bird} stands in the plan twice: take it out of one of the pens.")
                yield error("plan", message.format(bird=bird), "bird", bird)
                return


def rotation(view: YearView, row: Rotation) -> Iterator[Problem]:
    """It has a name, an end after its beginning, and pens to move between."""
    if not row.name.strip():
        yield error("name", _("The name of the rotation is empty: enter one."), "name")
    if row.ended is not None and row.ended < row.begun:
        message = _("The rotation {name} would end before it began on {begun}: choose a later day.")
        yield error("date", message.format(name=row.name, begun=row.begun), "ended")
    if len(view.year.pens_of_rotation.get(row.id, ())) < 2:
        message = _("The rotation {name} needs two pens at least: add another pen.")
        yield error("pens", message.format(name=row.name), "pens")


def rotation_pen(view: YearView, row: RotationPen) -> Iterator[Problem]:
    """A pen stands once in one rotation that is under way."""
    pen = view.pen_called(row.pen)
    for other in view.year.rotation_pens.values():
        held = view.year.rotations.get(other.rotation)
        if other.id == row.id or other.pen != row.pen or held is None:
            continue
        if other.rotation == row.rotation or held.ended is None:
            message = _("{pen} stands in the rotation {name} already: choose another pen.")
            yield error("pens", message.format(pen=pen, name=held.name), "pens")
            return
