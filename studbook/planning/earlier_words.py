"""How a pair did before, in sentences: the eggs with their exact intervals, the chicks and their F."""

from __future__ import annotations

from typing import TYPE_CHECKING

from studbook.book.records import Snapshot
from studbook.planning.earlier_pairings import EarlierPairing
from studbook.planning.eggs.telling import outcome_sentences, reliance_sentence
from studbook.planning.sentences import Sentence, SharePart, compose
from studbook.words import _, plural

if TYPE_CHECKING:
    from studbook.book.relatedness import Relatedness


def earlier_sentences(
    earlier: EarlierPairing, relatedness: Relatedness, snapshot: Snapshot
) -> tuple[Sentence, ...]:
    """What the book knows of an earlier pairing."""
    said: list[Sentence] = []
    if earlier.is_certain:
        said.append((_head(earlier.seasons),))
    if earlier.eggs is not None:
        said += [(sentence,) for sentence in outcome_sentences(earlier.eggs)]
    if earlier.chicks:
        said.append(_chicks(earlier))
        rows = relatedness.inbreeding[[snapshot.rows[chick] for chick in earlier.chicks]]
        text = plural("F of the chick: {share}.", "F of the chicks: {share}.", len(earlier.chicks))
        said.append(compose(text, share=SharePart(float(rows.mean()), decimals=2)))
    if earlier.doubtful_eggs:
        text = plural(
            "{count} egg that was set may be theirs and cannot be told from those of others.",
            "{count} eggs that were set may be theirs and cannot be told from those of others.",
            earlier.doubtful_eggs,
        )
        said.append((text.format(count=earlier.doubtful_eggs),))
    if earlier.doubtful_chicks:
        text = plural(
            "{count} bird in the book may be theirs.",
            "{count} birds in the book may be theirs.",
            earlier.doubtful_chicks,
        )
        said.append((text.format(count=earlier.doubtful_chicks),))
    return tuple(said)


def earlier_reliance(earlier: EarlierPairing) -> tuple[Sentence, ...]:
    """What the intervals of an earlier pairing take for granted; nothing where there is none."""
    has_interval = earlier.eggs is not None and earlier.eggs.outcome.fertility.of
    return ((reliance_sentence(),),) if has_interval else ()


def earlier_line(earlier: EarlierPairing) -> Sentence:
    """An earlier pairing in one sentence, for where the pointer rests."""
    if not earlier.is_certain:
        return (_("They may have been paired before: eggs or chicks cannot be told from those of others."),)
    parts = [_head(earlier.seasons)]
    if earlier.eggs is not None:
        eggs = earlier.eggs.counts.set_here
        parts.append(plural("{count} egg set.", "{count} eggs set.", eggs).format(count=eggs))
    if earlier.chicks:
        count = len(earlier.chicks)
        parts.append(
            plural("{count} chick in the book.", "{count} chicks in the book.", count).format(count=count)
        )
    return (" ".join(parts),)


def _head(seasons: tuple[int, ...]) -> str:
    if not seasons:
        return _("They were paired before.")
    if len(seasons) == 1:
        return _("They were paired before, in {year}.").format(year=seasons[0])
    years = ", ".join(str(season) for season in seasons[:-1])
    return _("They were paired before, in {years} and {last}.").format(years=years, last=seasons[-1])


def _chicks(earlier: EarlierPairing) -> Sentence:
    count = len(earlier.chicks)
    chicks = plural("{count} chick is in the book", "{count} chicks are in the book", count)
    living = plural("{count} is yours today", "{count} are yours today", earlier.living)
    kept = plural(
        "{count} was still yours at breeding age", "{count} were still yours at breeding age", earlier.kept
    )
    text = _("{chicks}: {living}, {kept}.")
    return (
        text.format(
            chicks=chicks.format(count=count),
            living=living.format(count=earlier.living),
            kept=kept.format(count=earlier.kept),
        ),
    )
