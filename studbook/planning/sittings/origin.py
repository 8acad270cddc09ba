"""The egg a bird came from: its sitting, its batch, and whose it is."""

from studbook.book.husbandry.rows import Batch
from studbook.book.husbandry.whose_egg import WhoseEgg
from studbook.book.ids import BirdId
from studbook.book.records import Snapshot
from studbook.planning.pens.naming import When, iso
from studbook.planning.pens.whose import WhoseWords
from studbook.planning.sentences import Sentence
from studbook.planning.sittings.days import root_of
from studbook.planning.sittings.names import batch_text, sitting_text
from studbook.planning.sittings.telling import laid_text
from studbook.planning.sittings.whose import batch_words
from studbook.words import _


def batch_of(snapshot: Snapshot, bird: BirdId) -> Batch | None:
    """The batch a bird hatched from; None where the book does not know it."""
    year = snapshot.husbandry
    batch = year.batch_of.get(bird)
    return year.batches.get(batch) if batch is not None else None


def egg_sentences(snapshot: Snapshot, batch: Batch, when: When = iso) -> tuple[Sentence, ...]:
    """Where the eggs of a batch came from, when they were laid, and where they were set and hatched."""
    year = snapshot.husbandry
    first = year.sittings[root_of(year, batch).sitting]
    last = year.sittings[batch.sitting]
    said: list[Sentence] = [
        (
            _("An egg of {batch}, {laid}.").format(
                batch=batch_text(snapshot, batch), laid=laid_text(root_of(year, batch), when)
            ),
        ),
        (_("Sitting: {sitting}.").format(sitting=sitting_text(snapshot, first, when)),),
    ]
    if last.id != first.id:
        said.append((_("Moved to: {sitting}.").format(sitting=sitting_text(snapshot, last, when)),))
    return tuple(said)


def whose_words_of(snapshot: Snapshot, batch: Batch, when: When = iso) -> WhoseWords | None:
    """Whose the egg is; None for eggs from outside the book."""
    if batch.outside:
        return None
    birds = {bird.id: bird for bird in snapshot.birds}
    return batch_words(WhoseEgg(birds, snapshot.husbandry).of_batch(batch), when)
