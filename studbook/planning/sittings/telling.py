"""What is told of a batch: when it was laid, what was seen of it, what became of it."""

from datetime import date

from studbook.book.husbandry.rows import Batch, Candling, Fate, MixedIn
from studbook.book.husbandry.wording import fate_word
from studbook.planning.pens.naming import When
from studbook.planning.sittings.counts import EggCount
from studbook.words import _, plural


def listed(parts: list[str]) -> str:
    """Several phrases in a row: "9 alive, 2 clear"."""
    said = parts[0] if parts else ""
    for part in parts[1:]:
        said = _("{first}, {next}").format(first=said, next=part)
    return said


def laid_text(lot: Batch | MixedIn, day_text: When) -> str:
    """When the eggs were laid, as far as it is told."""
    first, last = lot.laid_from, lot.laid_to
    if first is None and last is None:
        return _("laying day not told")
    if first is None or last is None or first == last:
        return _("laid {day}").format(day=day_text(first or last or date.min))
    return _("laid {first} to {last}").format(first=day_text(first), last=day_text(last))


def eggs_text(eggs: int) -> str:
    """So many eggs."""
    return plural("{count} egg", "{count} eggs", eggs).format(count=eggs)


def chicks_text(chicks: int) -> str:
    """So many chicks."""
    return plural("{count} chick", "{count} chicks", chicks).format(count=chicks)


def count_text(count: EggCount) -> str:
    """What became of eggs: "9 left, 2 clear, 1 early dead"."""
    parts = []
    if count.left:
        parts.append(_("{count} under way").format(count=count.left))
    for fate in Fate:
        if eggs := count.fates.get(fate, 0):
            parts.append(_("{count} {fate}").format(count=eggs, fate=fate_word(fate)))
    if count.helped:
        parts.append(plural("{count} helped", "{count} helped", count.helped).format(count=count.helped))
    if count.died:
        text = plural("{count} died on the first day", "{count} died on the first day", count.died)
        parts.append(text.format(count=count.died))
    if count.registered:
        text = plural("{count} in the book", "{count} in the book", count.registered)
        parts.append(text.format(count=count.registered))
    return listed(parts)


def candling_text(candling: Candling, day_text: When) -> str:
    """What was seen at a candling: "candled 20 Mar: 9 alive, 1 doubtful"."""
    words = (
        (candling.alive, _("{count} alive")),
        (candling.clear, _("{count} clear")),
        (candling.early_dead, _("{count} early dead")),
        (candling.late_dead, _("{count} late dead")),
        (candling.doubtful, _("{count} doubtful")),
        (candling.pipped, _("{count} pipped")),
    )
    seen = listed([text.format(count=eggs) for eggs, text in words if eggs])
    return _("candled {day}: {seen}").format(day=day_text(candling.on), seen=seen)
