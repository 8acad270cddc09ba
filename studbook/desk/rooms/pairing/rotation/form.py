"""The form that sets up a rotation or changes one: its name, its beginning, and its pens in their order."""

from dataclasses import replace
from datetime import date

from PySide6.QtWidgets import QWidget

from studbook.book.changes import Change, Correct, Enter, Together, Withdraw
from studbook.book.errors import Problem
from studbook.book.husbandry.choosing_rows import Rotation, RotationPen
from studbook.book.husbandry.rows import Husbandry, Pen
from studbook.book.ids import PenId, RotationId, RotationPenId
from studbook.book.records import Sex, Snapshot
from studbook.dates import PartialDate, Precision
from studbook.desk.context import Context
from studbook.desk.rooms.pairing.rotation.order import PenOrder
from studbook.desk.widgets.date_field import DateField
from studbook.desk.widgets.form_dialog import FormDialog
from studbook.planning.candidates import is_old_enough
from studbook.planning.pens.board import open_pens, stays_on
from studbook.planning.rotation.words import way_text
from studbook.words import _, plural


class RotationDialog(FormDialog):
    """Pen families set up, or changed."""

    def __init__(
        self,
        context: Context,
        snapshot: Snapshot,
        species: str,
        parent: QWidget,
        rotation: Rotation | None = None,
    ) -> None:
        title = _("Set up pen families") if rotation is None else _("Change the rotation")
        super().__init__(context, title, _("Begin") if rotation is None else _("Save"), parent, columns=2)
        self.setObjectName("rotation_dialog")
        self._snapshot, self._rotation = snapshot, rotation
        year, today = snapshot.husbandry, context.today
        self._places = year.pens_of_rotation.get(rotation.id, ()) if rotation is not None else ()
        name = rotation.name if rotation is not None else _("Rotation")
        self.name = self.form.add_line("name", _("Name"), name)
        self.begun = DateField(today)
        self.begun.set_value(PartialDate.of(rotation.begun if rotation is not None else today))
        self.form.add("begun", _("Begun on"), self.begun)
        self.pens = PenOrder()
        held = [place.pen for place in self._places]
        pens = {pen.id: pen for pen in (*open_pens(year, today), *(year.pens[pen] for pen in held))}
        self.pens.show_pens(
            [(pen, _company(snapshot, species, pen, today)) for pen in pens.values()],
            held if rotation is not None else _pens_with_both(snapshot, species, today),
        )
        hint = _("Space ticks a pen; Alt with an arrow, or the mouse, moves it. Cockerels go down the list.")
        self.form.add("pens", _("The pens, one after the other"), self.pens, hint, wide=True)
        if rotation is not None:
            self.ended = DateField(today)
            if rotation.ended is not None:
                self.ended.set_value(PartialDate.of(rotation.ended))
            self.form.add("ended", _("Ended on"), self.ended, _("Left empty, it goes on."))
        self.note = self.form.add_line("note", _("Note"), rotation.note if rotation is not None else "")
        self._hens = {pen.id: _count(snapshot, species, pen, today)[Sex.HEN] for pen in pens.values()}
        self._ticket = 0
        self.finished.connect(lambda _result: context.workers.cancel(self._ticket))
        self.pens.changed.connect(self._suit)
        self.set_change(self._read)
        self._suit()
        self.pens.setFocus()

    def _suit(self) -> None:
        """Tell the way of the cockerels, and what so many pens are expected to come to."""
        pens = self.pens.chosen
        way = way_text(self._snapshot.husbandry, pens)
        self.pens.say(way)
        if len(pens) < 2:
            return
        hens = tuple(self._hens[pen] for pen in pens)

        def told(sentence: str) -> None:
            if self.pens.chosen == pens:
                self.pens.say(f"{way} {sentence}")

        self._ticket = self.context.workers.run(
            lambda _progress: _foreseen(hens), told, key=("pairing", "rotation form")
        )

    def _read(self) -> Change | None:
        problems = [
            *_day_problems(self.begun, "begun", needed=True),
            *(_day_problems(self.ended, "ended", needed=False) if self._rotation is not None else ()),
        ]
        if len(self.pens.chosen) < 2:
            problems.append(Problem("pens", _("Tick two pens at least."), field="pens"))
        if problems:
            self.form.show_problems(problems)
            return None
        before = self._rotation
        ends = self.ended.value if before is not None else None
        made = Rotation(
            before.id if before is not None else RotationId(self.new_id),
            self.name.text().strip(),
            self.begun.value.earliest,
            ends.earliest if ends is not None and ends.is_known else None,
            self.note.text().strip(),
        )
        if before is None:
            places = [
                RotationPen(RotationPenId(""), made.id, pen, place)
                for place, pen in enumerate(self.pens.chosen)
            ]
            title = _("begin the rotation {name}").format(name=made.name)
            return Together((Enter((made, *places)),), title)
        return Together(
            tuple(changed(before, made, self._places, self.pens.chosen)),
            _("change the rotation {name}").format(name=made.name),
        )


def changed(
    before: Rotation, after: Rotation, places: tuple[RotationPen, ...], pens: tuple[PenId, ...]
) -> list[Change]:
    """The changes that make one rotation of another and its pens those in this order."""
    of_pen = {place.pen: place for place in places}
    gone = tuple(place for place in places if place.pen not in pens)
    new = tuple(
        RotationPen(RotationPenId(""), after.id, pen, place)
        for place, pen in enumerate(pens)
        if pen not in of_pen
    )
    shifted = [
        (of_pen[pen], replace(of_pen[pen], position=place))
        for place, pen in enumerate(pens)
        if pen in of_pen and of_pen[pen].position != place
    ]
    changes: list[Change] = [Correct((before,), (after,))]
    if shifted:
        changes.append(Correct(tuple(old for old, _new in shifted), tuple(new_ for _old, new_ in shifted)))
    if gone:
        changes.append(Withdraw(gone))
    if new:
        changes.append(Enter(new))
    return changes


def _pens_with_both(snapshot: Snapshot, species: str, today: date) -> list[PenId]:
    """The pens in which a cock and a hen of the species are now."""
    sexes: dict[PenId, set[Sex]] = {}
    for bird, stay in stays_on(snapshot.husbandry, today).items():
        held = snapshot.bird(bird) if snapshot.has(bird) else None
        if held is not None and held.is_living and held.species == species and is_old_enough(held, today):
            sexes.setdefault(stay.pen, set()).add(held.sex)
    taken = _taken(snapshot.husbandry)
    return [
        pen.id
        for pen in open_pens(snapshot.husbandry, today)
        if {Sex.COCK, Sex.HEN} <= sexes.get(pen.id, set()) and pen.id not in taken
    ]


def _taken(year: Husbandry) -> set[PenId]:
    """The pens of rotations that go on."""
    return {
        place.pen
        for place in year.rotation_pens.values()
        if (held := year.rotations.get(place.rotation)) is not None and held.ended is None
    }


def _count(snapshot: Snapshot, species: str, pen: Pen, today: date) -> dict[Sex, int]:
    """How many cocks and hens of the species are in a pen."""
    counts = {Sex.COCK: 0, Sex.HEN: 0}
    for bird, stay in stays_on(snapshot.husbandry, today).items():
        held = snapshot.bird(bird) if stay.pen == pen.id and snapshot.has(bird) else None
        if held is not None and held.is_living and held.species == species and held.sex in counts:
            counts[held.sex] += 1
    return counts


def _company(snapshot: Snapshot, species: str, pen: Pen, today: date) -> str:
    """A pen with how many cocks and hens of the species are in it."""
    counts = _count(snapshot, species, pen, today)
    cocks = plural("{count} cock", "{count} cocks", counts[Sex.COCK]).format(count=counts[Sex.COCK])
    hens = plural("{count} hen", "{count} hens", counts[Sex.HEN]).format(count=counts[Sex.HEN])
    return _("{pen}: {cocks}, {hens}").format(pen=pen.name, cocks=cocks, hens=hens)


def _foreseen(hens: tuple[int, ...]) -> str:
    """What so many pens are expected to come to; for a worker."""
    from studbook.planning.rotation.foresight import foreseen_sentence

    return foreseen_sentence(hens)


def _day_problems(field: DateField, key: str, *, needed: bool) -> tuple[Problem, ...]:
    if field.error:
        return (Problem("date", field.error, field=key),)
    is_day = field.value.precision is Precision.DAY and not field.value.about
    if not is_day and (needed or field.value.is_known):
        return (Problem("date", _("Enter the exact day, such as 4 Apr 2026."), field=key),)
    return ()
