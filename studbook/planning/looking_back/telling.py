"""What a season is told to have done with a plan, and what one might do differently: sentences."""

from collections.abc import Sequence
from dataclasses import dataclass

from studbook.book.records import Sex, Snapshot
from studbook.planning.bloodlines.methods import Method
from studbook.planning.looking_back.report import PenBack, PlanBack, Tally
from studbook.planning.pens.naming import When, iso, listed, pen_name
from studbook.planning.sentences import BirdPart, Sentence, SharePart, compose
from studbook.words import _, plural

_NEAR = 0.01
"""F and kinship that are within one point of what was foreseen came as foreseen."""

_UNEVEN = 0.1
"""A pen whose share of the chicks is ten points off the plan gave too many or too few."""

_CLEAR = 0.3
_ENOUGH_EGGS = 10


@dataclass(frozen=True)
class Compared:
    """A figure as it came and, before, as it was foreseen, with how it is found; an empty one is not known."""

    key: str
    title: str
    value: Sentence
    before: Sentence
    text: tuple[Sentence, ...]
    method: Method


def standing_words(back: PlanBack) -> Sentence:
    """How far the season is."""
    if back.tally.chicks:
        return tally_words(back.tally)
    if back.is_over:
        return (_("The season is over, and the book has no chick of these pens."),)
    return (_("Nothing has hatched yet: what comes of it will stand here."),)


def tally_words(found: Tally) -> Sentence:
    """What became of chicks, in one sentence."""
    parts = [plural("{count} chick", "{count} chicks", found.chicks).format(count=found.chicks)]
    for count, text in (
        (found.living, plural("{count} in the flock now", "{count} in the flock now", found.living)),
        (found.kept, plural("{count} kept to breed", "{count} kept to breed", found.kept)),
        (
            found.handed_over,
            plural("{count} sold, given or lent", "{count} sold, given or lent", found.handed_over),
        ),
        (found.died, plural("{count} died or culled", "{count} died or culled", found.died)),
        (found.lost, plural("{count} lost", "{count} lost", found.lost)),
    ):
        if count:
            parts.append(text.format(count=count))
    return (_("{facts}.").format(facts=", ".join(parts)),)


def eggs_words(pen: PenBack) -> Sentence:
    """The eggs set of a pen and how they ended; empty where none were."""
    eggs = pen.eggs
    if not eggs.set_under:
        return ()
    text = plural(
        "{count} egg set: {clear} clear, {hatched} hatched.",
        "{count} eggs set: {clear} clear, {hatched} hatched.",
        eggs.set_under,
    )
    return (text.format(count=eggs.set_under, clear=eggs.clear, hatched=eggs.hatched),)


def pen_called(pen: PenBack, snapshot: Snapshot) -> str:
    """The name of the place of a planned pen, else that of its cock."""
    if pen.place is not None and pen.place in snapshot.husbandry.pens:
        return pen_name(snapshot.husbandry, pen.place)
    if pen.cock is not None:
        return _("the pen of {cock}").format(cock=snapshot.bird(pen.cock).called)
    return _("a pen without a cock")


def compared(back: PlanBack) -> tuple[Compared, ...]:
    """The figures foreseen beside those that came."""

    def share(value: float | None) -> Sentence:
        return (SharePart(value, decimals=2),) if value is not None else ()

    plan, chicks = back.plan, back.tally.chicks
    diversity = None if back.living_kinship is None else 1 - back.living_kinship
    wright = "Wright 1922, American Naturalist 56:330–338"
    ballou = "Ballou & Lacy 1995, in Population Management for Survival and Recovery, 76–111"
    return (
        Compared(
            "inbreeding",
            _("Mean F of the chicks"),
            share(back.inbreeding),
            share(plan.inbreeding),
            (_of_chicks(chicks),) if chicks else (),
            Method(
                _("Mean F of the chicks"),
                _(
                    "Foreseen: the mean kinship of the planned pairs on the day of the plan. Come: the mean F of the "
                    "chicks of these pens that are in the book, by their parents as they are known now; one with "
                    "several possible parents is the mean over them."
                ),
                (wright,),
            ),
        ),
        Compared(
            "kinship",
            _("Kinship of the next generation"),
            share(back.living_kinship),
            share(plan.kinship),
            (_of_living(back),) if back.living_kinship is not None else (),
            Method(
                _("Kinship of the next generation"),
                _(
                    "Foreseen: c′Kc of the planned parents, the kinship of two chicks taken at random. Come: the mean "
                    "kinship of two different chicks that live; a bird with itself is left out. It is higher "
                    "where the chicks that were kept come of few pens."
                ),
                (ballou,),
            ),
        ),
        Compared(
            "gene_diversity",
            _("Gene diversity"),
            share(diversity),
            share(1 - plan.kinship),
            (),
            Method(_("Gene diversity"), _("1 less the kinship of the next generation."), (ballou,)),
        ),
        Compared(
            "chicks",
            _("Chicks"),
            (str(chicks),) if chicks else (),
            (str(plan.chicks),) if plan.chicks else (),
            (),
            Method(
                _("Chicks"),
                _(
                    "Foreseen: how many you hoped for. Come: the chicks of these pens that are in the book. A chick is "
                    "of the pen its egg was set from; where that is not written down, of the pen of its dam, else of "
                    "its sire."
                ),
                (),
            ),
        ),
    )


def _of_chicks(count: int) -> Sentence:
    text = plural("Of {count} chick.", "Of {count} chicks.", count)
    return (text.format(count=count),)


def _of_living(back: PlanBack) -> Sentence:
    text = plural("Of {count} chick that lives.", "Of {count} chicks that live.", back.tally.living)
    return (text.format(count=back.tally.living),)


def company_words(pen: PenBack, snapshot: Snapshot, when: When = iso) -> tuple[Sentence, ...]:
    """Who of the plan did not come, who left early and who came besides."""
    said: list[Sentence] = []
    if pen.never_came:
        text = plural("{birds} never came.", "{birds} never came.", len(pen.never_came))
        said.append(compose(text, birds=listed(pen.never_came)))
    for change in pen.left:
        said.append(compose(_("{bird} left on {day}."), bird=BirdPart(change.bird), day=when(change.on)))
    for change in pen.came:
        said.append(compose(_("{bird} came on {day}."), bird=BirdPart(change.bird), day=when(change.on)))
    if pen.others and len(pen.chicks) and pen.cock is not None:
        text = plural(
            "{count} of {chicks} chick is not certainly by {cock}.",
            "{count} of {chicks} chicks are not certainly by {cock}.",
            pen.others,
        )
        said.append(
            compose(text, count=str(pen.others), chicks=str(len(pen.chicks)), cock=BirdPart(pen.cock))
        )
    if pen.without:
        text = plural(
            "No chick of {hens} is in the book.", "No chick of {hens} is in the book.", len(pen.without)
        )
        said.append(compose(text, hens=listed(pen.without)))
    return tuple(said)


def differently(back: PlanBack, snapshot: Snapshot, when: When = iso) -> tuple[Sentence, ...]:
    """What one might do differently, from what came; nothing while nothing has hatched and the season is on."""
    if not back.tally.chicks and not back.is_over:
        return ()
    said = [sentence for pen in back.pens for sentence in _of_pen(pen, back, snapshot, when)]
    said += _of_kept(back, snapshot)
    if not said:
        said.append((_("It came as foreseen: by these figures there is nothing to do differently."),))
    return tuple(said)


def _of_pen(pen: PenBack, back: PlanBack, snapshot: Snapshot, when: When) -> Sequence[Sentence]:
    said: list[Sentence] = []
    called = pen_called(pen, snapshot)
    if not pen.chicks and back.is_over:
        text = _("{pen}: nothing hatched. Prove the cock with a first few eggs, and have another ready.")
        return [compose(text, pen=called)]
    if pen.eggs.ended >= _ENOUGH_EGGS and pen.eggs.clear / pen.eggs.ended > _CLEAR:
        text = _("{pen}: {clear} of {eggs} eggs were clear. Candle his first eggs earlier in the season.")
        said.append(compose(text, pen=called, clear=str(pen.eggs.clear), eggs=str(pen.eggs.ended)))
    elsewhere = {change.bird for other in back.pens for change in other.came}
    for change in pen.left:
        if snapshot.bird(change.bird).sex is Sex.COCK and change.bird not in elsewhere:
            text = _("{pen}: {cock} left on {day}. Have a proven cock in reserve for such a case.")
            said.append(compose(text, pen=called, cock=BirdPart(change.bird), day=when(change.on)))
    if pen.share is not None and abs(pen.share - pen.planned_share) >= _UNEVEN:
        text = (
            _(
                "{pen} gave {share} of the chicks where {planned} was planned: set fewer of its eggs next time."
            )
            if pen.share > pen.planned_share
            else _(
                "{pen} gave {share} of the chicks where {planned} was planned: set more of its eggs next time."
            )
        )
        said.append(
            compose(
                text,
                pen=called,
                share=SharePart(pen.share, decimals=0),
                planned=SharePart(pen.planned_share, decimals=0),
            )
        )
    if pen.inbreeding is not None and pen.inbreeding - pen.expected > _NEAR:
        text = _(
            "{pen}: the chicks came closer bred than foreseen, {f} instead of {foreseen}: other hens or another cock "
            "gave more of them than the plan reckoned with."
        )
        said.append(
            compose(
                text,
                pen=called,
                f=SharePart(pen.inbreeding, decimals=2),
                foreseen=SharePart(pen.expected, decimals=2),
            )
        )
    return said


def _of_kept(back: PlanBack, snapshot: Snapshot) -> Sequence[Sentence]:
    said: list[Sentence] = []
    if back.tally.kept:
        none_kept = [pen for pen in back.pens if pen.chicks and not pen.tally.kept]
        for pen in none_kept:
            text = _(
                "{pen}: none of its chicks was kept to breed. Its line goes on through its old birds alone."
            )
            said.append(compose(text, pen=pen_called(pen, snapshot)))
    kinship = back.kept_kinship if back.kept_kinship is not None else back.living_kinship
    if kinship is not None and kinship - back.plan.kinship > _NEAR:
        text = (
            _(
                "Two of the chicks you kept to breed have {kinship} of kinship, where {foreseen} was foreseen for two "
                "of the season: keep some of every pen."
            )
            if back.kept_kinship is not None
            else _(
                "Two of the chicks that live have {kinship} of kinship, where {foreseen} was foreseen for two of the "
                "season: keep some of every pen."
            )
        )
        said.append(
            compose(
                text,
                kinship=SharePart(kinship, decimals=2),
                foreseen=SharePart(back.plan.kinship, decimals=2),
            )
        )
    return said
