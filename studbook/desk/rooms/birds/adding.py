"""Adding one bird: bought in or a founder with its origin, or home-hatched with its parents."""

from PySide6.QtWidgets import QWidget

from studbook.book.changes import AddBirds, Change
from studbook.book.changes.together import Together
from studbook.book.errors import Problem
from studbook.book.records import Bird, BirdId, MarkKind, OriginId, Sex, Snapshot
from studbook.book.wording import sex_word
from studbook.dates import UNKNOWN_DATE
from studbook.desk.context import Context
from studbook.desk.deeds.marks import MarkFields
from studbook.desk.deeds.parents_editor import ParentsEditor
from studbook.desk.theme import length
from studbook.desk.widgets.date_field import DateField
from studbook.desk.widgets.form_dialog import FormDialog
from studbook.desk.widgets.name_box import NameBox, Named, origin_names
from studbook.season.species import all_species
from studbook.words import _

_BOUGHT, _HOME = "bought", "home"
_OWN = tuple(kind for kind in MarkKind if kind.is_own)


class AddBirdDialog(FormDialog):
    """One bird with its mark and where it is from."""

    def __init__(self, context: Context, snapshot: Snapshot, parent: QWidget) -> None:
        super().__init__(context, _("Add a bird"), _("Add this bird"), parent, columns=2)
        self.setObjectName("add_dialog")
        details = snapshot.details
        form = self.form
        self.mark = MarkFields(form, kinds=_OWN)
        self.name = form.add_line("name", _("Name"))
        self.sex = form.add_choice(
            "sex", _("Sex"), [(sex_word(sex), sex) for sex in (Sex.UNKNOWN, Sex.COCK, Sex.HEN)]
        )
        self.hatched = DateField(context.today)
        form.add("hatched", _("Hatched"), self.hatched)
        self.colour = form.add_line("colour", _("Colour of the bird"))
        self.breed = form.add_line("breed", _("Breed"), details.breed)
        self.species = form.add_choice(
            "species",
            _("Species"),
            [(_(kind.name), code) for code, kind in all_species().items()],
            details.species,
        )
        self.source = form.add_choice(
            "source",
            _("Where from"),
            [(_("bought in, or a founder of the flock"), _BOUGHT), (_("hatched here"), _HOME)],
        )
        self.origin = NameBox(
            origin_names(snapshot.origins), placeholder=_("the yard it came from, if you know it")
        )
        form.add("origin", _("Yard of origin"), self.origin)
        self.arrived = DateField(context.today)
        form.add("arrived", _("Arrived"), self.arrived)
        self.parents = ParentsEditor()
        self.parents.set_birds(snapshot)
        form.add("parents", _("Parents"), self.parents, wide=True)
        self.note = form.add_text("note", _("Note"))
        self.note.setFixedHeight(length(52))
        self.source.currentIndexChanged.connect(self._suit_source)
        self._suit_source()
        self.set_change(self._read)

    def _suit_source(self) -> None:
        bought = self.source.currentData() == _BOUGHT
        self.form.fields["origin"].setVisible(bought)
        self.form.fields["arrived"].setVisible(bought)
        self.form.fields["parents"].setVisible(not bought)

    def _problems(self, code: str) -> tuple[Problem, ...]:
        found = [
            Problem("date", field.error, field=key)
            for key, field in (("hatched", self.hatched), ("arrived", self.arrived))
            if field.error
        ]
        if not code and not self.name.text().strip():
            found.append(
                Problem(
                    "name", _("The bird has neither a mark nor a name: enter one of them."), field="marks"
                )
            )
        if self.source.currentData() == _HOME and self.parents.error:
            found.append(Problem("weights", self.parents.error, field="parents"))
        return tuple(found)

    def _read(self) -> Change | None:
        mark = self.mark.read()
        if problems := self._problems(mark.code):
            self.form.show_problems(problems)
            return None
        bought = self.source.currentData() == _BOUGHT
        origin = self.origin.named if bought else Named()
        known = origin.known_as(self.new_id)
        bird = Bird(
            BirdId(""),
            name=self.name.text().strip(),
            species=self.species.currentData(),
            breed=self.breed.text().strip(),
            sex=Sex(self.sex.currentData()),
            hatched=self.hatched.value,
            colour=self.colour.text().strip(),
            note=self.note.toPlainText().strip(),
            founder=bought,
            origin=OriginId(known) if known else None,
            arrived=self.arrived.value if bought and self.arrived.value != UNKNOWN_DATE else None,
            marks=(mark,) if mark.code else (),
            pairs=() if bought else self.parents.pairs,
        )
        change = AddBirds((bird,))
        if not origin.new:
            return change
        title = _("add {bird} from {origin}").format(bird=bird.called, origin=origin.new)
        return Together((*origin.origin(self.new_id), change), title)
