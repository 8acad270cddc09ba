"""What a sitting and a batch are called in a sentence."""

from studbook.book.husbandry.rows import Batch, MixedIn, Sitting
from studbook.book.ids import BirdId
from studbook.book.records import Snapshot
from studbook.planning.pens.naming import When
from studbook.planning.sittings.days import root_of
from studbook.words import _


def bird_called(snapshot: Snapshot, bird: BirdId | None) -> str:
    """Mark and name of a bird."""
    if bird is None or not snapshot.has(bird):
        return _("a bird struck out")
    found = snapshot.bird(bird)
    return " ".join(part for part in (found.mark, found.name) if part) or found.called


def sitter_text(snapshot: Snapshot, sitting: Sitting) -> str:
    """Who or what hatches the eggs: the broody, two that share, or the machine."""
    if sitting.broody is not None:
        first = bird_called(snapshot, sitting.broody)
        if sitting.second_broody is None:
            return first
        return _("{first} and {second}").format(
            first=first, second=bird_called(snapshot, sitting.second_broody)
        )
    machine = snapshot.husbandry.machines.get(sitting.machine) if sitting.machine is not None else None
    return machine.name if machine is not None else _("nobody")


def sitting_text(snapshot: Snapshot, sitting: Sitting, day_text: When) -> str:
    """A sitting by its name, or by who sits and since when: "Bracken, set 12 Mar 2027"."""
    if sitting.name.strip():
        return sitting.name
    return _("{sitter}, set {day}").format(
        sitter=sitter_text(snapshot, sitting), day=day_text(sitting.set_on)
    )


def source_text(snapshot: Snapshot, lot: Batch | MixedIn) -> str:
    """Where eggs come from: a hen, a pen, what was told of them, or another sitting; with what is mixed in."""
    year = snapshot.husbandry
    if lot.hen is not None:
        text = bird_called(snapshot, lot.hen)
    elif lot.pen is not None:
        text = year.pens[lot.pen].name if lot.pen in year.pens else _("a pen struck out")
    elif isinstance(lot, Batch) and lot.outside:
        text = lot.outside
    else:
        text = _("another sitting")
    if isinstance(lot, Batch):
        for mixed in year.mixed_into.get(root_of(year, lot).id, ()):
            text = _("{first} mixed with {second}").format(first=text, second=source_text(snapshot, mixed))
    return text


def batch_text(snapshot: Snapshot, batch: Batch) -> str:
    """A batch by where its eggs come from and the compartment they lie in."""
    source = source_text(snapshot, batch)
    if batch.compartment and batch.compartment != source:
        return _("{source}, {compartment}").format(source=source, compartment=batch.compartment)
    return source
