"""What a painted tree shows, read back from its SVG and its boxes."""

import os
import re
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import combinations
from pathlib import Path
from xml.etree import ElementTree

import pytest

from studbook.book.errors import StudbookError
from studbook.book.records import Bird, BirdId, Sex, Snapshot, Status
from studbook.drawing.family import known_parents
from studbook.drawing.palette import palette
from studbook.drawing.sheet import Box, Drawing
from studbook.drawing.tree import draw_pair, draw_tree
from studbook.drawing.worker import LayoutWorker, warm_worker
from tests.drawing.flock import (
    INBREEDING,
    chick,
    cock,
    deep_flock,
    doubtful_flock,
    hen,
    inbred_flock,
    large_family,
    snapshot,
)

SVG = "{http://www.w3.org/2000/svg}"
GOLDEN = Path(__file__).parent.parent / "golden"


@pytest.fixture(scope="module")
def worker() -> Iterator[LayoutWorker]:
    worker = LayoutWorker()
    yield worker
    worker.close()


def _ancestors(worker: LayoutWorker) -> tuple[Snapshot, Drawing]:
    book = inbred_flock()
    return book, draw_tree(book, BirdId("Burdock"), up=4, inbreeding=INBREEDING)


def _doubtful_ancestors(worker: LayoutWorker) -> tuple[Snapshot, Drawing]:
    book = doubtful_flock()
    return book, draw_tree(book, BirdId("Teasel"), up=3)


def _five_generations(worker: LayoutWorker) -> tuple[Snapshot, Drawing]:
    book = deep_flock(5)
    return book, draw_tree(book, BirdId("0.0"), up=5)


def _descendants(worker: LayoutWorker) -> tuple[Snapshot, Drawing]:
    book = large_family()
    return book, draw_tree(book, BirdId("Severn"), up=0, down=2, worker=worker)


def _both(worker: LayoutWorker) -> tuple[Snapshot, Drawing]:
    book = inbred_flock()
    return book, draw_tree(book, BirdId("Dart"), up=2, down=2, inbreeding=INBREEDING, worker=worker)


def _doubtful_graph(worker: LayoutWorker) -> tuple[Snapshot, Drawing]:
    book = doubtful_flock()
    return book, draw_tree(book, BirdId("Dart"), up=2, down=2, worker=worker)


def _pair(worker: LayoutWorker) -> tuple[Snapshot, Drawing]:
    book = inbred_flock()
    return book, draw_pair(book, BirdId("Lune"), BirdId("Sorrel"), kinship=0.2109375, worker=worker)


BRACKETS = [_ancestors, _doubtful_ancestors, _five_generations]
GRAPHS = [_descendants, _both, _doubtful_graph, _pair]

Draw = Callable[[LayoutWorker], tuple[Snapshot, Drawing]]


def texts(drawing: Drawing) -> list[str]:
    """Every written text of a drawing, titles for screen readers left out."""
    return ["".join(text.itertext()) for text in ElementTree.fromstring(drawing.svg).iter(f"{SVG}text")]


def paths(drawing: Drawing) -> list[tuple[tuple[float, float], tuple[float, float], bool]]:
    """Start, end and "is it dotted" of every line of a drawing."""
    found = []
    for path in ElementTree.fromstring(drawing.svg).iter(f"{SVG}path"):
        numbers = [float(number) for number in re.findall(r"-?[\d.]+", path.attrib["d"])]
        start = (numbers[0], numbers[1])
        end = (numbers[-2], numbers[-1])
        if "H" in path.attrib["d"]:
            end = (numbers[-1], numbers[1])
        elif "V" in path.attrib["d"]:
            end = (numbers[0], numbers[-1])
        found.append((start, end, "stroke-dasharray" in path.attrib))
    return found


def front(box: Box) -> tuple[float, float]:
    """Where lines reach a bird from its left."""
    return pytest.approx(box.x - 4, abs=0.02), pytest.approx(box.y + box.height / 2, abs=0.02)  # type: ignore[return-value]


@pytest.mark.parametrize("draw", BRACKETS + GRAPHS)
def test_boxes_lie_on_the_sheet_and_never_overlap(draw: Draw, worker: LayoutWorker) -> None:
    _book, drawing = draw(worker)
    for box in drawing.boxes:
        assert box.x >= 0
        assert box.y >= 0
        assert box.x + box.width <= drawing.width
        assert box.y + box.height <= drawing.height
    for one, other in combinations(drawing.boxes, 2):
        apart_sideways = one.x + one.width <= other.x or other.x + other.width <= one.x
        apart_upright = one.y + one.height <= other.y or other.y + other.height <= one.y
        assert apart_sideways or apart_upright, (one.label, other.label)


@pytest.mark.parametrize("draw", BRACKETS + GRAPHS)
def test_every_box_is_a_titled_group_with_its_mark_and_name(draw: Draw, worker: LayoutWorker) -> None:
    book, drawing = draw(worker)
    groups = list(ElementTree.fromstring(drawing.svg).iter(f"{SVG}g"))
    assert len(groups) == len(drawing.boxes)
    for group, box in zip(groups, drawing.boxes, strict=True):
        bird = book.bird(box.bird)
        assert group.findtext(f"{SVG}title") == box.label
        written = [text.text for text in group.iter(f"{SVG}text")]
        assert written[:2] == [bird.mark, bird.name]


@pytest.mark.parametrize("draw", BRACKETS)
def test_a_chart_joins_every_parent_to_its_chick(draw: Draw, worker: LayoutWorker) -> None:
    book, drawing = draw(worker)
    ends = [end for _start, end, _dotted in paths(drawing)]
    for box in drawing.boxes:
        assert (box.generation == 0) != (front(box) in ends)
    for line in drawing.lines:
        assert line.parent in known_parents(book, line.chick)


@pytest.mark.parametrize("draw", GRAPHS)
def test_a_graph_joins_exactly_the_true_parents_it_shows(draw: Draw, worker: LayoutWorker) -> None:
    book, drawing = draw(worker)
    shown = {box.bird for box in drawing.boxes}
    assert len(shown) == len(drawing.boxes)
    expected = {(parent, bird) for bird in shown for parent in known_parents(book, bird) if parent in shown}
    assert {(line.parent, line.chick) for line in drawing.lines} == expected
    starts = [start for start, _end, _dotted in paths(drawing)]
    for box in drawing.boxes:
        is_chick = any(line.chick == box.bird for line in drawing.lines)
        assert is_chick == (front(box) in starts)


@pytest.mark.parametrize("draw", BRACKETS)
def test_generations_are_columns_and_every_sire_stands_above_the_dam(
    draw: Draw, worker: LayoutWorker
) -> None:
    book, drawing = draw(worker)
    lefts: dict[int, set[float]] = {}
    for box in drawing.boxes:
        lefts.setdefault(box.generation, set()).add(box.x)
    assert all(len(column) == 1 for column in lefts.values())
    columns = [next(iter(lefts[generation])) for generation in sorted(lefts)]
    assert columns == sorted(columns)
    # a doubtful chick has its candidate sires in one run above its candidate dams
    for generation in sorted(lefts)[1:]:
        column = sorted((box for box in drawing.boxes if box.generation == generation), key=lambda box: box.y)
        sexes = [book.bird(box.bird).sex for box in column]
        assert sexes[0] is Sex.COCK
        assert sexes[-1] is Sex.HEN


def test_in_a_graph_time_flows_to_the_right_and_the_sire_is_above(worker: LayoutWorker) -> None:
    _book, drawing = _pair(worker)
    at = {box.bird: box for box in drawing.boxes}
    for line in drawing.lines:
        assert at[line.parent].x + at[line.parent].width < at[line.chick].x
    assert at[BirdId("Lune")].y < at[BirdId("Sorrel")].y
    assert at[BirdId("Dart")].y < at[BirdId("Spindle")].y


def test_a_bird_met_twice_carries_one_flag_and_tells_its_ancestors_once(worker: LayoutWorker) -> None:
    _book, drawing = _ancestors(worker)
    flags: dict[BirdId, set[int | None]] = {}
    times: dict[BirdId, int] = {}
    for box in drawing.boxes:
        flags.setdefault(box.bird, set()).add(box.flag)
        times[box.bird] = times.get(box.bird, 0) + 1
    for bird, count in times.items():
        assert len(flags[bird]) == 1
        assert (flags[bird] == {None}) == (count == 1), bird
    numbers = [flags[bird] for bird, count in times.items() if count > 1]
    assert sorted(number for flag in numbers for number in flag if number) == list(range(1, len(numbers) + 1))
    assert times[BirdId("Dart")] == 2
    flag = next(iter(flags[BirdId("Dart")]))
    assert texts(drawing).count(f"see flag {flag}") == 1
    assert sum(line.chick == "Dart" for line in drawing.lines) == 2
    assert f"flag {flag}" in next(box.label for box in drawing.boxes if box.bird == "Dart")


def test_full_sibs_stand_in_the_order_of_the_book(worker: LayoutWorker) -> None:
    book, drawing = _descendants(worker)
    heights = {box.bird: box.y for box in drawing.boxes}
    sibs = [bird.id for bird in book.birds if "Bramble" in bird.dams]
    assert [heights[bird] for bird in sibs] == sorted(heights[bird] for bird in sibs)


def test_doubtful_parents_are_dotted_and_carry_their_weight(worker: LayoutWorker) -> None:
    book = doubtful_flock()
    drawing = draw_tree(book, BirdId("Sorrel"), up=1)
    dotted = {
        box.bird: any(end == front(box) and dots for _s, end, dots in paths(drawing)) for box in drawing.boxes
    }
    assert dotted == {"Sorrel": False, "Severn": True, "Tamar": True, "Hazel": False}
    assert [text for text in texts(drawing) if "%" in text] == ["70 %", "30 %"]
    assert "doubtful parent, with its likelihood" in texts(drawing)


def test_a_graph_leaves_gaps_for_the_weights(worker: LayoutWorker) -> None:
    _book, drawing = _doubtful_graph(worker)
    assert sorted(text for text in texts(drawing) if "%" in text) == ["30 %", *["50 %"] * 4, "70 %"]
    assert {line.weight for line in drawing.lines if line.chick == "Sorrel"} == {0.7, 0.3}


def _shapes(bird: Bird) -> list[str]:
    """The drawn shapes of a lone bird's card, without chip and key."""
    drawing = draw_tree(snapshot((bird,)), bird.id, up=0)
    group = next(ElementTree.fromstring(drawing.svg).iter(f"{SVG}g"))
    names = [element.tag.removeprefix(SVG) for element in group]
    return [name for name in names if name in ("circle", "polygon", "path")]


def test_the_shape_tells_the_sex_and_a_stroke_tells_a_dead_bird() -> None:
    assert _shapes(hen("Bramble")) == ["circle"]
    assert _shapes(cock("Severn")) == ["polygon"]
    assert _shapes(hen("Bramble", status=Status.DIED)) == ["circle", "path"]
    assert _shapes(hen("Bramble", status=Status.SOLD)) == ["circle"]

    def corners(bird: Bird) -> list[tuple[float, float]]:
        svg = draw_tree(snapshot((bird,)), bird.id, up=0).svg
        polygon = next(ElementTree.fromstring(svg).iter(f"{SVG}polygon")).attrib["points"]
        return [(float(x), float(y)) for x, y in (point.split(",") for point in polygon.split())]

    square, diamond = corners(cock("Severn")), corners(chick("Burdock"))
    assert len({x for x, _y in square}) == len({y for _x, y in square}) == 2
    assert len({x for x, _y in diamond}) == len({y for _x, y in diamond}) == 3


@pytest.mark.parametrize(
    ("status", "is_filled"),
    [
        (Status.LIVING, True),
        (Status.SOLD, False),
        (Status.GIVEN, False),
        (Status.LOST, False),
        (Status.CULLED, False),
    ],
)
def test_only_birds_of_the_flock_are_filled(status: Status, is_filled: bool) -> None:
    svg = draw_tree(snapshot((hen("Bramble", status=status),)), BirdId("Bramble"), up=0).svg
    circle = next(ElementTree.fromstring(svg).iter(f"{SVG}circle"))
    assert (circle.attrib["fill"] == circle.attrib["stroke"]) == is_filled
    assert circle.attrib["fill"] in (palette().ink, palette().paper)


def test_common_ancestors_are_written_in_the_accent(worker: LayoutWorker) -> None:
    _book, drawing = _pair(worker)
    names = {
        text.text
        for text in ElementTree.fromstring(drawing.svg).iter(f"{SVG}text")
        if text.attrib["fill"] == palette().comb
    }
    assert names == {"Severn", "Sloe", "Dogrose", "Tamar", "Hazel", "Dart"}
    assert "their chicks" in texts(drawing)
    assert "F 21.1 %" in texts(drawing)


def test_missing_parents_are_open_stubs() -> None:
    book = inbred_flock()
    drawing = draw_tree(book, BirdId("Dogrose"), up=2)
    assert "sire not recorded" in texts(drawing)
    assert "founder" in texts(drawing)
    assert "founder from Alder Yard" in texts(draw_tree(book, BirdId("Severn"), up=1))
    alone = draw_tree(snapshot((hen("Bramble"),)), BirdId("Bramble"), up=4)
    assert "parents not recorded" in texts(alone)
    assert len(alone.boxes) == 1


def test_inbreeding_has_one_decimal_and_is_not_claimed_of_birds_without_parents() -> None:
    drawing = draw_tree(inbred_flock(), BirdId("Tamar"), up=1, inbreeding=INBREEDING)
    assert "2018 · blue · F 0.0 %" in texts(drawing)
    assert "2017 · blue" in texts(drawing)
    assert not any("F " in text for text in texts(draw_tree(inbred_flock(), BirdId("Dart"), up=0)))


def test_markup_in_names_stays_text() -> None:
    name = '<b>Éowen</b> & "日本" ø ß'
    book = snapshot((hen(name, "W20-<1>"),))
    drawing = draw_tree(book, BirdId(name), up=0)
    root = ElementTree.fromstring(drawing.svg)
    assert not list(root.iter(f"{SVG}b"))
    assert name in drawing.boxes[0].label
    assert "W20-<1>" in texts(drawing)
    written = "".join(text for text in texts(drawing) if text != "W20-<1>").replace(" ", "")
    assert name.replace(" ", "") in written


def test_a_name_with_characters_xml_forbids_still_gives_a_picture() -> None:
    bird = hen("Bram\x00ble\ud800\nof the  hedge")
    assert "Bramble of the hedge" in texts(draw_tree(snapshot((bird,)), bird.id, up=0))


def test_long_names_are_shrunk_or_cut_but_never_a_mark() -> None:
    microchip = "826 097 123 456 789 000 111"
    short = hen("Bramble of the lower hedge", "W20-01")
    long = replace(hen("Bramble " * 30, microchip), colour="blue laced with black " * 10)
    drawing = draw_tree(snapshot((short, long)), long.id, up=0)
    assert microchip in texts(drawing)
    cut = [text for text in texts(drawing) if text.endswith("…")]
    assert len(cut) == 3  # heading, name, colour
    assert drawing.boxes[0].width < 420
    lone = draw_tree(snapshot((short,)), short.id, up=0)
    name = next(
        t
        for t in ElementTree.fromstring(lone.svg).iter(f"{SVG}text")
        if t.text == short.name and t.attrib["font-weight"] == "600"
    )
    assert 13 <= float(name.attrib["font-size"]) < 16


def test_dark_drawings_use_the_dark_palette_only() -> None:
    light, dark = (draw_tree(inbred_flock(), BirdId("Burdock"), dark=dark).svg for dark in (False, True))
    tints = {value for colours in (palette(), palette(dark=True)) for value in colours.rings.values()}
    assert palette(dark=True).paper in dark
    assert not (set(re.findall("#[0-9A-F]{6}", light)) & set(re.findall("#[0-9A-F]{6}", dark))) - tints


def test_a_chip_is_tinted_by_its_ring_and_says_the_colour() -> None:
    drawing = draw_tree(inbred_flock(), BirdId("Dart"), up=0)
    chip = next(
        rect
        for rect in ElementTree.fromstring(drawing.svg).iter(f"{SVG}rect")
        if "rx" in rect.attrib and rect.attrib["stroke"] != "none"
    )
    assert chip.attrib["stroke"] == palette().rings["red"]
    assert "red ring" in drawing.boxes[0].label
    assert palette().ring("Light-Green") == palette().rings["green"]
    assert palette().ring("heather") == palette().faint


def test_widths_come_from_the_function_passed_in() -> None:
    def wide(text: str, size: float, *, serif: bool = False, bold: bool = False) -> float:
        return 2 * size * len(text)

    narrow = draw_tree(inbred_flock(), BirdId("Dart"), up=1)
    assert draw_tree(inbred_flock(), BirdId("Dart"), up=1, measure=wide).width > narrow.width


def test_too_large_a_tree_is_refused_in_one_sentence() -> None:
    with pytest.raises(StudbookError, match=r"more than 400 birds\. Choose fewer generations\."):
        draw_tree(deep_flock(8), BirdId("0.0"), up=8)


def test_without_a_worker_the_shared_one_draws_the_same(worker: LayoutWorker) -> None:
    _book, drawing = _pair(worker)
    shared = draw_pair(inbred_flock(), BirdId("Lune"), BirdId("Sorrel"), kinship=0.2109375, inbreeding=None)
    assert [(box.bird, box.generation) for box in shared.boxes] == [
        (box.bird, box.generation) for box in drawing.boxes
    ]
    warm_worker().close()


def test_importing_the_drawings_loads_nothing_heavy() -> None:
    heavy = "{'networkx', 'graphviz', 'pygraphviz', 'typst', 'numpy', 'sqlalchemy', 'PySide6'}"
    code = f"import sys, studbook.drawing.tree, studbook.drawing.export; print(sorted({heavy} & set(sys.modules)))"
    assert (
        subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
        == "[]\n"
    )


@pytest.mark.parametrize(
    ("name", "draw"),
    [
        ("tree_ancestors", lambda: draw_tree(inbred_flock(), BirdId("Burdock"), inbreeding=INBREEDING)),
        ("tree_doubtful_dark", lambda: draw_tree(doubtful_flock(), BirdId("Teasel"), up=3, dark=True)),
    ],
)
def test_the_drawing_is_as_reviewed(
    name: str, draw: Callable[[], Drawing], request: pytest.FixtureRequest
) -> None:
    golden = GOLDEN / f"{name}.svg"
    svg = draw().svg
    if request.config.getoption("--rewrite-golden", default=False) or os.environ.get("REWRITE_GOLDEN"):
        golden.write_text(svg, encoding="utf-8")
    assert ElementTree.canonicalize(svg) == ElementTree.canonicalize(golden.read_text(encoding="utf-8"))
