"""Family trees: the ancestors of a bird, its descendants, both, or the lines behind a pair."""

from studbook.book.records import BirdId, Snapshot
from studbook.drawing.brackets import paint_ancestors
from studbook.drawing.card import Figures
from studbook.drawing.family import family_of, family_of_pair
from studbook.drawing.graph import paint_family
from studbook.drawing.layout import ancestor_chart
from studbook.drawing.palette import palette
from studbook.drawing.sheet import Drawing, Sheet
from studbook.drawing.typefaces import Measure, printed_width
from studbook.drawing.worker import LayoutWorker, warm_worker
from studbook.words import _


def draw_tree(
    snapshot: Snapshot,
    bird: BirdId,
    *,
    up: int = 4,
    down: int = 0,
    inbreeding: Figures | None = None,
    dark: bool = False,
    measure: Measure = printed_width,
    worker: LayoutWorker | None = None,
) -> Drawing:
    """The tree of one bird: `up` generations of ancestors, `down` of descendants.

    Ancestors alone are drawn as brackets that step to the right. As soon as there are descendants,
    time flows to the right instead and every bird stands once. `inbreeding` holds F by row and is
    shown where given; `worker` is the process to lay graphs out in, by default the shared one.

    Raises
    ------
    DrawingRefused
        If the tree is too large or cannot be laid out.
    KeyError
        If the bird is not in the snapshot.
    """
    sheet = Sheet(snapshot, inbreeding, palette(dark=dark), measure)
    called = _called(snapshot, bird)
    if not down:
        return paint_ancestors(
            sheet, ancestor_chart(snapshot, bird, up), _("Ancestors of {bird}").format(bird=called)
        )
    title = _("Ancestors and descendants of {bird}") if up else _("Descendants of {bird}")
    family = family_of(snapshot, bird, up, down)
    return paint_family(sheet, family, (bird,), title.format(bird=called), worker or warm_worker())


def draw_pair(
    snapshot: Snapshot,
    cock: BirdId,
    hen: BirdId,
    *,
    up: int | None = None,
    kinship: float | None = None,
    inbreeding: Figures | None = None,
    dark: bool = False,
    measure: Measure = printed_width,
    worker: LayoutWorker | None = None,
) -> Drawing:
    """The tree behind a pair, down to their chicks to come, the common ancestors in the accent.

    `up` None shows all lines to the common ancestors and nothing else; a number shows every ancestor
    that many generations back. `kinship` is the F their chicks will have, shown where given.

    Raises
    ------
    DrawingRefused
        If the tree is too large or cannot be laid out.
    KeyError
        If either bird is not in the snapshot.
    """
    sheet = Sheet(snapshot, inbreeding, palette(dark=dark), measure)
    title = _("{cock} and {hen}").format(cock=_called(snapshot, cock), hen=_called(snapshot, hen))
    family = family_of_pair(snapshot, cock, hen, up)
    return paint_family(sheet, family, (cock, hen), title, worker or warm_worker(), kinship)


def _called(snapshot: Snapshot, bird: BirdId) -> str:
    """A bird in a heading: its name, since the mark stands on its card; else what it is called."""
    return snapshot.bird(bird).name or snapshot.bird(bird).called
