"""Photos: read upright and shrunk on a worker, kept in the book, shown as thumbnails."""

from dataclasses import dataclass

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QSize, Qt
from PySide6.QtGui import QImage, QImageReader, QPainter

from studbook.words import _

PHOTO_SIDE = 1600
THUMBNAIL_SIDE = 320
MOST_PIXELS = 200_000_000
MOST_BYTES = 64 * 1024 * 1024
_QUALITY = 86


@dataclass(frozen=True)
class Picture:
    """A picture ready for the book: upright, at most `PHOTO_SIDE` pixels long, as JPEG."""

    content: bytes
    thumbnail: bytes
    width: int
    height: int


class NotAPicture(ValueError):  # noqa: N818 - says what the file is
    """The file holds no picture that can be read; one sentence says why."""


def read_picture(content: bytes) -> Picture:
    """The picture in the bytes of a file, turned as the camera was held and shrunk.

    Raises
    ------
    NotAPicture
        If it is too large or of a kind that cannot be read.
    """
    if len(content) > MOST_BYTES:
        raise NotAPicture(_("The picture is larger than {size} MB.").format(size=MOST_BYTES // 1024 // 1024))
    buffer = QBuffer()
    buffer.setData(QByteArray(content))
    buffer.open(QIODevice.OpenModeFlag.ReadOnly)
    reader = QImageReader(buffer)
    reader.setAutoTransform(True)
    size = reader.size()
    if not reader.canRead() or size.isEmpty():
        raise NotAPicture(_("This is no picture the program can read: take a JPEG, PNG or WebP file."))
    if size.width() * size.height() > MOST_PIXELS:
        raise NotAPicture(_("The picture has too many pixels to be read."))
    if max(size.width(), size.height()) > PHOTO_SIDE:
        reader.setScaledSize(size.scaled(QSize(PHOTO_SIDE, PHOTO_SIDE), Qt.AspectRatioMode.KeepAspectRatio))
    image = reader.read()
    if image.isNull():
        raise NotAPicture(
            _("The picture cannot be read: {reason}.").format(
                reason=reader.errorString() or _("it is damaged")
            )
        )
    small = image.scaled(
        QSize(THUMBNAIL_SIDE, THUMBNAIL_SIDE),
        Qt.AspectRatioMode.KeepAspectRatio,
        Qt.TransformationMode.SmoothTransformation,
    )
    return Picture(_jpeg(image), _jpeg(small), image.width(), image.height())


def _jpeg(image: QImage) -> bytes:
    if image.hasAlphaChannel():
        opaque = QImage(image.size(), QImage.Format.Format_RGB32)
        opaque.fill(Qt.GlobalColor.white)
        painter = QPainter(opaque)
        painter.drawImage(0, 0, image)
        painter.end()
        image = opaque
    written = QByteArray()
    buffer = QBuffer(written)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    image.save(buffer, "JPEG", _QUALITY)  # type: ignore[call-overload]
    buffer.close()
    return bytes(written.data())
