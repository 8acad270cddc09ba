"""The photos of a bird on its page: added from a file or dropped, shown, removed."""

from functools import partial
from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QWidget

from studbook.book.changes import AddPhoto, RemovePhoto
from studbook.book.records import Bird, BirdId, Photo, Snapshot
from studbook.desk.context import Context
from studbook.desk.rooms.birds.page.head import PictureFrame
from studbook.desk.rooms.birds.page.photos import NotAPicture, Picture, read_picture
from studbook.desk.widgets.flow import Flow
from studbook.desk.widgets.text import link
from studbook.desk.wording import bird_text
from studbook.desk.work import Progress
from studbook.words import _

SUFFIXES = (".jpg", ".jpeg", ".png", ".webp", ".gif", ".tif", ".tiff")


class Pictures(QWidget):
    """Fills the picture of the head and offers what can be done with it.

    Signals
    -------
    problem
        A picture could not be taken (str, one sentence).
    """

    problem = Signal(str)

    def __init__(self, context: Context, frame: PictureFrame) -> None:
        super().__init__()
        self.context = context
        self._frame = frame
        self._bird: Bird | None = None
        self._photos: tuple[Photo, ...] = ()
        self._place = 0
        self._tickets: set[int] = set()
        flow = Flow(self)
        self.add = link(_("add a photo"), self.ask_file)
        self.add.setObjectName("add_photo")
        self._next = link(_("next photo"), self._step)
        self._next.setObjectName("next_photo")
        self._remove = link(_("remove this photo"), self._remove_shown)
        self._remove.setObjectName("remove_photo")
        for widget in (self.add, self._next, self._remove):
            flow.addWidget(widget)
        frame.asked.connect(self.ask_file)

    def show_bird(self, bird: Bird, snapshot: Snapshot, *, can_edit: bool) -> None:
        """Show the newest photo of a bird."""
        photos = tuple(photo for photo in snapshot.photos if photo.bird == bird.id)
        if self._bird is None or self._bird.id != bird.id or len(photos) != len(self._photos):
            self._place = len(photos) - 1
        self._bird, self._photos = bird, photos
        self.add.setVisible(can_edit and bool(photos))
        self._frame.setEnabled(can_edit)
        self._remove.setVisible(can_edit and bool(photos))
        self._next.setVisible(len(photos) > 1)
        self.setVisible(bool(photos))
        self._show_photo()

    def ask_file(self) -> None:
        """Ask for the file of a picture."""
        kinds = _("Pictures ({kinds})").format(kinds=" ".join(f"*{suffix}" for suffix in SUFFIXES))
        self.context.questions.file_to_open(_("Add a photo"), kinds, self.take_file)

    def take_file(self, path: Path) -> None:
        """Read the picture of a file on a worker and keep it in the book."""
        bird = self._bird
        if bird is None:
            return

        def work(_progress: Progress) -> Picture:
            return read_picture(path.read_bytes())

        def failed(error: Exception) -> None:
            if isinstance(error, NotAPicture):
                self.problem.emit(str(error))
            elif isinstance(error, OSError):
                message = _("{file} cannot be read: {reason}.")
                self.problem.emit(message.format(file=path.name, reason=error.strerror))
            else:
                self.context.workers.broke.emit(error)

        self._tickets.add(self.context.workers.run(work, partial(self._keep, bird.id), failed=failed))
        self._frame.setToolTip(_("reading the picture …"))

    def leave(self) -> None:
        """Nobody waits for a picture any more."""
        for ticket in self._tickets:
            self.context.workers.cancel(ticket)

    def _keep(self, bird: BirdId, picture: Picture) -> None:
        self.context.record.apply(
            AddPhoto(bird, picture.content, picture.thumbnail, picture.width, picture.height)
        )

    def _step(self) -> None:
        self._place = (self._place + 1) % max(len(self._photos), 1)
        self._show_photo()

    def _remove_shown(self) -> None:
        if self._photos:
            self.context.record.apply(RemovePhoto(self._photos[self._place].id))

    def _show_photo(self) -> None:
        bird = self._bird
        assert bird is not None
        if not self._photos:
            self._frame.show_image(None, _("Add a photo of {bird}").format(bird=bird_text(bird)))
            return
        photo = self._photos[self._place]
        words = photo.caption or _("Photo of {bird}").format(bird=bird_text(bird))

        def take(content: bytes) -> None:
            self._frame.show_image(QImage.fromData(content), words)

        self.context.record.ask(lambda book: book.thumbnail(photo.sha256), take, key="bird photo")
