'''The window. Only this package imports Qt; the record stays behind `record.Record`.

How a room is written
---------------------
A room is a package below ``rooms/``. Its ``__init__.py`` imports nothing heavy and holds its door::

    from studbook.desk.room import Door
    from studbook.words import _

    DOOR = Door("birds", lambda: _("Birds"), "bird")     # package name, word on the rail, icon

Its ``room.py`` is imported on the first visit and gives the room by ``build(context)``::

    class BirdsRoom(Room):
        """Who is this, who do I have?"""

        def __init__(self, context: Context) -> None:
            super().__init__(context)
            column = QVBoxLayout(self)
            column.setContentsMargins(space(4), space(3), space(4), space(2))   # the margins of every room
            column.addWidget(label(_("Birds"), Role.TITLE))
            self._model = RowsModel(COLUMNS, identity=lambda bird: bird.id)
            self._table = Table(self._model, "birds")
            self._table.row_asked.connect(lambda bird: self.bird_asked.emit(bird.id))
            column.addWidget(self._table)

        def show_snapshot(self, snapshot: Snapshot, entry: Entry | None = None) -> None:
            self._model.set_rows(snapshot.birds)          # selection is kept by identity

        def actions_here(self) -> tuple[Action, ...]:
            return (Action("birds.add", _("&Add birds…"), self.add, Menu.BIRDS, ("Ctrl+B",), icon="plus"),)

    def build(context: Context) -> BirdsRoom:
        return BirdsRoom(context)

What a room has to hand
-----------------------
``context.record``
    ``apply(change, why, done=…, refused=form.show_problems)``, ``undo()``, ``redo()``,
    ``preview(change, answer, key=…)``, ``search(text, answer)``,
    ``ask(lambda book: book.photo(sha), answer, key=…)``, and ``snapshot``. Nothing blocks; after a change
    the window gives the new snapshot to every room and shows what was done, with Undo.
``context.workers``
    ``run(job, done, failed=…, progressed=…, key=…)``: numbers off the GUI thread. ``job(progress)`` is a
    plain function; the newest job of a key wins; ``cancel(ticket)``. Import numpy and its like inside the
    job, so that the room is painted first.
``context.questions``
    ``choose``, ``tell``, ``file_to_open``, ``file_to_save``, each with what to do then.
``context.settings``, ``context.today``, ``context.say("…")``
    tables and splitters keep their state in the settings (`Room.save_state`); ``say`` puts a sentence into
    the message strip.
``studbook.book.changes``
    loads the database library: rooms may import it at their top, since they are imported off the GUI thread
    after the first paint; the Yard and the frame, which come before, may not.
an action whose key ends in ".print"
    is also what Ctrl+P does while its room is on view.
``bird_asked(BirdId)``, ``birds_asked(BirdList)``, ``room_asked(key)``
    signals up to the window. No room imports another.

Look: ``theme.look()`` gives colours (``look().comb``, ``look().tint(f)``, ``look().ink_on(ground)``),
``theme.font(Type.BODY, serif=True)`` type, ``theme.space(2)`` steps of 8 px, ``theme.length(20)`` a length
that grows with the text, `Role` the kinds of labels. Painting asks for colours in ``paintEvent``, so that a
change of theme needs no work. Texts: ``wording.date_text``, ``percent_text``, ``sex_word``, ``bird_text`` …

``widgets.text``
    ``label(text, Role.FAINT)``, ``button(text, run, primary=True)``, ``link(text, run)``, ``rule()``,
    ``SectionHeading(text, *aside)``, ``set_role``, ``set_property``
``widgets.bird_line``, ``widgets.chips``, ``widgets.shapes``
    ``BirdLink(bird)`` with ``asked``, ``BirdDelegate`` and ``BirdRole``, ``paint_bird``; ``MarkChip(mark)``,
    ``paint_chip``, ``mark_text``; ``paint_shape``
``widgets.bird_picker``, ``widgets.date_field``
    ``BirdPicker(several=…)``: ``set_birds(birds, allowed)``, ``choose``, ``bird``, ``chosen``, ``changed``;
    ``DateField(today)``: ``value``, ``error``, ``set_value``, ``changed``
``widgets.empty_state``
    ``EmptyState(icon, heading, text, (verb, run), *others)``
``widgets.sentence_view``, ``widgets.prose``
    ``SentenceView`` with ``show_paragraphs``, ``bird_asked``, ``pair_asked``; ``Prose`` is one as high as its text
``widgets.chart_panel``
    ``ChartPanel(context, name, heading, told)``: ``show_chart`` of a chart of ``studbook.drawing.charts``, its
    numbers as a table, export; ``asked`` when a place in it is pressed
``deeds``, ``hatch``, ``certificate``
    the forms several rooms ask: a move, a mating, a stay, a bird apart, a trial, marks, a status; a whole hatch; the
    certificate. `deeds.foreseeing` lists the chicks whose parents would change before anything is saved
``forms``, ``tables``, ``icons``
    ``Form(columns)``: ``add``, ``add_line``, ``add_text``, ``add_choice``, ``show_problems``; ``Column``,
    ``RowsModel``, ``Table`` (``row_asked``, ``selected``, ``copy``, ``export``); ``icons.icon("plus")``
'''
