"""What is written of the bird itself: name, hatch date, breed, colour, origin; edited in place."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from PySide6.QtWidgets import QGridLayout, QWidget

from studbook.book.changes import Change, EditBird
from studbook.book.changes.together import Together
from studbook.book.errors import Problem
from studbook.book.records import Bird, BirdId, ContactId, OriginId, Sex, Snapshot
from studbook.book.wording import sex_word
from studbook.dates import UNKNOWN_DATE
from studbook.desk.context import Context
from studbook.desk.rooms.birds.page.fact import (
    ChoiceEditor,
    DateEditor,
    Editor,
    Fact,
    LineEditor,
    NameEditor,
    PickEditor,
    TextEditor,
)
from studbook.desk.theme import length, space
from studbook.desk.widgets.date_field import DateField
from studbook.desk.widgets.name_box import Named, contact_names, origin_names
from studbook.desk.wording import bird_text, date_text
from studbook.season.species import all_species
from studbook.words import _

_NARROW = 440
_ALWAYS = ("name", "hatched", "sex", "colour", "breed")
"""The fields that are shown when they are empty, too."""


@dataclass(frozen=True)
class _Kind:
    """How one field of a bird is shown, edited and written."""

    key: str
    caption: str
    value: Callable[[Bird], Any]
    text: Callable[[Bird, Snapshot], str]
    editor: Callable[[], Editor]
    write: Callable[[Bird, Any], Bird]
    wide: bool = False


class FactSheet(QWidget):
    """The facts of one bird in two columns, one where the page is narrow."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self.context = context
        self._bird: Bird | None = None
        self._snapshot: Snapshot | None = None
        self._kinds = {kind.key: kind for kind in self._all_kinds()}
        self.facts: dict[str, Fact] = {}
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(space(3))
        self._grid.setVerticalSpacing(space(1))
        for kind in self._kinds.values():
            fact = Fact(kind.key, kind.caption, kind.editor, self)
            fact.given.connect(lambda value, key=kind.key: self._save(key, value))
            self.facts[kind.key] = fact
        self._all = False
        self.facts["origin"].set_offers(self._offer_origins)
        self.facts["breeder"].set_offers(self._offer_contacts)
        self.facts["rearer"].set_offers(self._offer_birds)
        self._columns = 2

    def show_bird(self, bird: Bird, snapshot: Snapshot, *, can_edit: bool) -> None:
        """Show the facts of a bird."""
        self._bird, self._snapshot = bird, snapshot
        for kind in self._kinds.values():
            fact = self.facts[kind.key]
            fact.show_value(kind.value(bird), kind.text(bird, snapshot))
            fact.value.setEnabled(can_edit)
        self._arrange(self._columns, anew=True)

    @property
    def shows_all(self) -> bool:
        """True while the empty fields are shown as well."""
        return self._all

    def show_all(self, shown: bool) -> None:
        """Show the empty fields as well, or only those that say something."""
        self._all = shown
        self._arrange(self._columns, anew=True)

    def _all_kinds(self) -> tuple[_Kind, ...]:
        def plain(key: str, caption: str, editor: Callable[[], Editor] = LineEditor, **more: Any) -> _Kind:
            return _Kind(
                key,
                caption,
                lambda bird: getattr(bird, key),
                lambda bird, _snapshot: getattr(bird, key),
                editor,
                lambda bird, value: replace(bird, **{key: value}),
                **more,
            )

        def day() -> Editor:
            return DateEditor(DateField(self.context.today))

        sexes = [(sex_word(sex), sex) for sex in (Sex.UNKNOWN, Sex.COCK, Sex.HEN)]
        species = [(_(kind.name), code) for code, kind in all_species().items()]
        return (
            plain("name", _("Name")),
            _Kind(
                "hatched",
                _("Hatched"),
                lambda bird: bird.hatched,
                lambda bird, _snapshot: date_text(bird.hatched),
                day,
                lambda bird, value: replace(bird, hatched=value),
            ),
            _Kind(
                "sex",
                _("Sex"),
                lambda bird: bird.sex,
                lambda bird, _snapshot: sex_word(bird.sex),
                lambda: ChoiceEditor(sexes),
                lambda bird, value: replace(bird, sex=Sex(value)),
            ),
            plain("colour", _("Colour")),
            plain("breed", _("Breed")),
            plain("comb", _("Comb")),
            _Kind(
                "species",
                _("Species"),
                lambda bird: bird.species,
                lambda bird, _snapshot: {code: words for words, code in species}.get(bird.species, ""),
                lambda: ChoiceEditor(species),
                lambda bird, value: replace(bird, species=value),
            ),
            _Kind(
                "origin",
                _("Yard of origin"),
                lambda bird: Named(bird.origin),
                _origin_text,
                NameEditor,
                lambda bird, value: bird,
            ),
            _Kind(
                "breeder",
                _("Breeder"),
                lambda bird: Named(bird.breeder),
                _breeder_text,
                NameEditor,
                lambda bird, value: bird,
            ),
            _Kind(
                "arrived",
                _("Arrived"),
                lambda bird: bird.arrived or UNKNOWN_DATE,
                lambda bird, _snapshot: date_text(bird.arrived or UNKNOWN_DATE),
                day,
                lambda bird, value: replace(bird, arrived=value if value.is_known else None),
            ),
            _Kind(
                "founder",
                _("Founder"),
                lambda bird: bird.founder,
                lambda bird, _snapshot: _("yes") if bird.is_founder else _("no"),
                lambda: ChoiceEditor(
                    [(_("no: its missing parents are a gap"), False), (_("yes: declared a founder"), True)]
                ),
                lambda bird, value: replace(bird, founder=bool(value)),
            ),
            _Kind(
                "rearer",
                _("Brooded or reared by"),
                lambda bird: bird.rearer,
                _rearer_text,
                PickEditor,
                lambda bird, value: replace(bird, rearer=value),
            ),
            plain("note", _("Note"), TextEditor, wide=True),
        )

    def _offer_origins(self, editor: Editor) -> None:
        if isinstance(editor, NameEditor) and self._snapshot is not None:
            editor.offer(tuple(origin_names(self._snapshot.origins)))

    def _offer_contacts(self, editor: Editor) -> None:
        if isinstance(editor, NameEditor) and self._snapshot is not None:
            editor.offer(tuple(contact_names(self._snapshot.contacts)))

    def _offer_birds(self, editor: Editor) -> None:
        if isinstance(editor, PickEditor) and self._snapshot is not None and self._bird is not None:
            own = self._bird.id
            editor.widget.set_birds(self._snapshot.birds, lambda bird: bird.id != own)

    def _save(self, key: str, value: Any) -> None:
        bird = self._bird
        if bird is None:
            return
        if isinstance(value, Named):
            self._save_named(bird, key, value)
        else:
            self._apply(key, EditBird(bird, self._kinds[key].write(bird, value)))

    def _save_named(self, bird: Bird, key: str, value: Named) -> None:
        def write(new_id: str) -> None:
            known = value.known_as(new_id)
            if key == "origin":
                edit = EditBird(bird, replace(bird, origin=OriginId(known) if known else None))
                added = value.origin(new_id)
            else:
                edit = EditBird(bird, replace(bird, breeder=ContactId(known) if known else None))
                added = value.contact(new_id)
            title = _("edit {bird}").format(bird=bird.called)
            self._apply(key, Together((*added, edit), title) if added else edit)

        if value.new:
            self.context.record.ask(lambda book: book.new_id(), write)
        else:
            write("")

    def _apply(self, key: str, change: Change) -> None:
        def refused(problems: tuple[Problem, ...]) -> None:
            self.facts[key].show_problems(problems)

        self.context.record.apply(change, refused=refused)

    def _is_shown(self, key: str) -> bool:
        if self._all or key in _ALWAYS or self._bird is None or self._snapshot is None:
            return True
        kind = self._kinds[key]
        if key == "species" and self._bird.species == self._snapshot.details.species:
            return False
        return kind.value(self._bird) is not False and bool(kind.text(self._bird, self._snapshot))

    def _arrange(self, columns: int, *, anew: bool = False) -> None:
        if columns == self._columns and not anew:
            return
        self._columns = columns
        for fact in self.facts.values():
            self._grid.removeWidget(fact)
        place = 0
        for key, fact in self.facts.items():
            fact.setVisible(self._is_shown(key))
            if not self._is_shown(key):
                continue
            wide = self._kinds[key].wide
            if wide and place % columns:
                place += columns - place % columns
            row, column = divmod(place, columns)
            self._grid.addWidget(fact, row, column, 1, columns if wide else 1)
            place += columns if wide else 1
        for column in range(3):
            self._grid.setColumnStretch(column, 1 if column < columns else 0)

    def resizeEvent(self, event: Any) -> None:
        super().resizeEvent(event)
        width = self.width()
        self._arrange(1 if width < length(_NARROW) else 3 if width > length(_NARROW * 1.6) else 2)


def _origin_text(bird: Bird, snapshot: Snapshot) -> str:
    origin = snapshot.origin(bird.origin)
    return origin.name if origin is not None else ""


def _breeder_text(bird: Bird, snapshot: Snapshot) -> str:
    contact = snapshot.contact(bird.breeder)
    return contact.name if contact is not None else ""


def _rearer_text(bird: Bird, snapshot: Snapshot) -> str:
    known = bird.rearer is not None and snapshot.has(bird.rearer)
    return bird_text(snapshot.bird(BirdId(str(bird.rearer)))) if known else ""
