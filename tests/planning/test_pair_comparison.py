"""Two pairs side by side: which figure is the better, and the difference in a sentence."""

from studbook.book.records import BirdId, Snapshot
from studbook.book.relatedness import Relatedness, Unknown
from studbook.planning.earlier_pairings import earlier_pairings
from studbook.planning.limits import Rules
from studbook.planning.pair_comparison import PairComparison, compare_pairs
from studbook.planning.pairs import study
from tests.planning.flock import TODAY, flock
from tests.planning.test_earlier_pairings import season
from tests.planning.test_pairs import said


def compared(snapshot: Snapshot, *pairs: tuple[str, str]) -> PairComparison:
    ways = Relatedness(snapshot), Relatedness(snapshot, Unknown.FLOCK)
    one, other = (
        study(snapshot, *ways, Unknown.UNRELATED, BirdId(cock), BirdId(hen), TODAY) for cock, hen in pairs
    )
    earlier = earlier_pairings(snapshot, TODAY)
    first, second = (earlier.of(BirdId(cock), BirdId(hen)) for cock, hen in pairs)
    return compare_pairs((one, other), (first, second), snapshot, Rules(), TODAY)


def lines_of(found: PairComparison) -> dict[str, tuple[str, str, int | None]]:
    return {line.name: (said(line.texts[0]), said(line.texts[1]), line.better) for line in found.lines}


def test_the_lower_figure_is_the_better_and_is_named_first() -> None:
    found = compared(flock(), ("Tamar", "Hazel"), ("Tamar", "Bryony"))
    lines = lines_of(found)
    assert lines["F by convention"] == ("25.00 %", "12.50 %", 1)
    assert lines["ancestors in common"][:2] == ("Bramble: 12.50 % Severn: 12.50 %", "Severn: 12.50 %")
    assert lines["the cock is"][:2] == ("her full brother", "her half brother by the sire")
    text = said(found.sentences)
    assert text.startswith("Tamar with Bryony has the lower F of the chicks: 12.50 % against 25.00 %.")


def test_turned_round_it_says_the_same() -> None:
    there = compared(flock(), ("Tamar", "Hazel"), ("Dart", "Bryony"))
    back = compared(flock(), ("Dart", "Bryony"), ("Tamar", "Hazel"))
    assert said(there.sentences) == said(back.sentences)
    for one, other in zip(there.lines, back.lines, strict=True):
        assert one.texts == other.texts[::-1]
        assert one.better == (None if other.better is None else 1 - other.better)


def test_equal_figures_are_called_equal_and_none_is_better() -> None:
    found = compared(flock(), ("Tamar", "Hazel"), ("Tamar", "Hazel"))
    assert said(found.sentences) == "F of the chicks is the same with both: 25.00 %."
    assert all(line.better is None for line in found.lines)


def test_how_the_pairs_did_before_and_what_is_against_them_stand_beside_each_other() -> None:
    lines = lines_of(compared(season(), ("Tamar", "Hazel"), ("Dart", "Hazel")))
    assert "10 eggs set" in lines["paired before"][0]
    assert lines["paired before"][1] == "not that the book knows"
    assert "over the limit" in lines["against it"][0]
    assert "Dart is not tested" in lines["against it"][1]
