"""Where everything in a tree stands: brackets by arithmetic, family graphs by Graphviz."""

from collections import Counter, deque
from collections.abc import Iterator
from dataclasses import dataclass, field
from enum import Enum

from studbook.book.records import BirdId, Snapshot
from studbook.drawing.family import Family, Parent, is_certain, parents, refuse_if_too_many
from studbook.drawing.worker import LayoutWorker

ROW_HEIGHT = 52.0
STUB_HEIGHT = 30.0

# lines of a large family need room between the columns, or they run into one another
_COLUMN_GAP = 32.0
_MOST_EXTRA_GAP = 60.0
_WEIGHT_WIDTH = 34.0
_WEIGHT_HEIGHT = 14.0

Point = tuple[float, float]
Couple = tuple[BirdId, BirdId]


class Missing(Enum):
    """Which parent a stub stands for."""

    SIRE = "sire"
    DAM = "dam"
    BOTH = "both"


@dataclass(slots=True)
class Branch:
    """One place of an ancestor chart: a bird, or the stub of a parent nobody wrote down.

    Attributes
    ----------
    chick
        The bird it hangs on, as a parent.
    weight
        How likely it is the true parent.
    flag
        The number of a bird that is met in several places, equal at each.
    told_elsewhere
        True where the ancestors of a flagged bird are left out, since another place shows them.
    y
        The middle of the place, set by `stack`.
    """

    bird: BirdId | None
    generation: int
    chick: BirdId | None = None
    weight: float = 1.0
    missing: Missing | None = None
    flag: int | None = None
    told_elsewhere: bool = False
    y: float = 0.0
    parents: list["Branch"] = field(default_factory=list)

    @property
    def is_certain(self) -> bool:
        """True when it is the only candidate of its side."""
        return is_certain(self.weight)

    def walk(self) -> Iterator["Branch"]:
        """This place and all behind it, from top to bottom."""
        upper = len(self.parents) // 2
        for branch in self.parents[:upper]:
            yield from branch.walk()
        yield self
        for branch in self.parents[upper:]:
            yield from branch.walk()


def ancestor_chart(snapshot: Snapshot, bird: BirdId, up: int) -> Branch:
    """The ancestors of a bird as places, column by column, sires above dams.

    A bird met again is a place of its own with a flag; its ancestors hang on the place nearest to
    the bird the chart is about, the topmost of these.

    Raises
    ------
    DrawingRefused
        If there are too many places for one drawing.
    """
    root = Branch(bird, 0)
    met: Counter[BirdId] = Counter()
    column = deque([root])
    while column:
        branch = column.popleft()
        if branch.bird is None:
            continue
        met[branch.bird] += 1
        refuse_if_too_many(met.total())
        sires, dams = parents(snapshot, branch.bird)
        if branch.generation == up:
            continue
        if snapshot.bird(branch.bird).placeholder and not (sires or dams):
            continue
        if met[branch.bird] > 1:
            branch.told_elsewhere = bool(sires or dams)
            continue
        branch.parents = _parent_places(branch.bird, sires, dams, branch.generation + 1)
        column.extend(branch.parents)
    _raise_flags(root, met)
    return root


def _parent_places(
    chick: BirdId, sires: tuple[Parent, ...], dams: tuple[Parent, ...], generation: int
) -> list[Branch]:
    if not sires and not dams:
        return [Branch(None, generation, chick, missing=Missing.BOTH)]
    return [
        Branch(parent.bird, generation, chick, parent.weight, missing if parent.bird is None else None)
        for side, missing in ((sires, Missing.SIRE), (dams, Missing.DAM))
        for parent in side
    ]


def _raise_flags(root: Branch, met: Counter[BirdId]) -> None:
    """Number the birds that stand in several places, in the order a reader meets them."""
    numbers: dict[BirdId, int] = {}
    for branch in sorted(root.walk(), key=lambda branch: branch.generation):
        if branch.bird is not None and met[branch.bird] > 1:
            branch.flag = numbers.setdefault(branch.bird, len(numbers) + 1)


def stack(branch: Branch, top: float) -> float:
    """Set the height of every place from `top` down so that none overlap; gives where they end.

    Each bird stands in the middle between its first and its last parent.
    """
    own = ROW_HEIGHT if branch.bird is not None else STUB_HEIGHT
    if not branch.parents:
        branch.y = top + own / 2
        return top + own
    bottom = top
    for parent in branch.parents:
        bottom = stack(parent, bottom)
    spare = max(0.0, own - (bottom - top))
    if spare:
        for parent in branch.parents:
            _shift(parent, spare / 2)
    branch.y = (branch.parents[0].y + branch.parents[-1].y) / 2
    return bottom + spare


def _shift(branch: Branch, by: float) -> None:
    for place in branch.walk():
        place.y += by


@dataclass(frozen=True, slots=True)
class Curve:
    """One line of a family graph, as SVG path data.

    A line between a bird and a knot belongs to all who are joined there: it has several `chicks`, or
    two `parents`. `is_plan` marks the lines to chicks that are yet to come.
    """

    steps: str
    parents: tuple[BirdId, ...]
    chicks: tuple[BirdId, ...]
    is_certain: bool
    is_plan: bool


@dataclass(frozen=True)
class Graph:
    """A family graph laid out; all measures in pixels of the sheet, y downwards.

    Attributes
    ----------
    right, bottom
        Where it ends.
    middles
        The middle of every bird's place.
    knots
        The points in which the lines of two parents meet, with these parents.
    weights
        The likelihood of each doubtful parent and the middle of the gap its line leaves for it.
    chicks
        The middle of the place of a pair's chicks to come, if it is a graph of a pair.
    """

    right: float
    bottom: float
    middles: dict[BirdId, Point]
    knots: dict[Couple, Point]
    weights: tuple[tuple[float, Point], ...]
    chicks: Point | None
    curves: tuple[Curve, ...]


@dataclass(frozen=True, slots=True)
class _Edge:
    """A line from a young node to an older one."""

    young: int
    old: int
    parents: tuple[BirdId, ...]
    chicks: tuple[BirdId, ...]
    is_certain: bool = True
    is_plan: bool = False


class _Plan:
    """Numbered nodes and the edges between them, ready to be written as DOT."""

    def __init__(self, snapshot: Snapshot, family: Family) -> None:
        self.birds: dict[BirdId, int] = {bird: number for number, bird in enumerate(family.generations)}
        self.knots: dict[Couple, int] = {}
        self.doubts: dict[int, float] = {}
        self.edges: list[_Edge] = []
        self.chicks: int | None = None
        self.young: dict[Couple, tuple[BirdId, ...]] = {}
        self._count = len(self.birds)
        for chick in sorted(family.generations, key=snapshot.rows.__getitem__):
            self._join(chick, *parents(snapshot, chick))
        if family.pair:
            self.chicks = self._number()
            self.young.setdefault(family.pair, ())
        for couple, chicks in self.young.items():
            self._tie(couple, chicks, is_plan=couple == family.pair)

    def _number(self) -> int:
        self._count += 1
        return self._count - 1

    def _join(self, chick: BirdId, sires: tuple[Parent, ...], dams: tuple[Parent, ...]) -> None:
        """A certain pair shares one knot for all its chicks; other parents get lines of their own."""
        shown = [
            (parent.bird, parent.weight)
            for parent in (*sires, *dams)
            if parent.bird is not None and parent.bird in self.birds
        ]
        if len(sires) == len(dams) == 1 and len(shown) == 2:
            couple = (shown[0][0], shown[1][0])
            self.young[couple] = (*self.young.get(couple, ()), chick)
            return
        for parent, weight in shown:
            young, old = self.birds[chick], self.birds[parent]
            if is_certain(weight):
                self.edges.append(_Edge(young, old, (parent,), (chick,)))
                continue
            doubt = self._number()
            self.doubts[doubt] = weight
            self.edges.append(_Edge(young, doubt, (parent,), (chick,), is_certain=False))
            self.edges.append(_Edge(doubt, old, (parent,), (chick,), is_certain=False))

    def _tie(self, couple: Couple, chicks: tuple[BirdId, ...], *, is_plan: bool) -> None:
        knot = self.knots[couple] = self._number()
        if is_plan and self.chicks is not None:
            self.edges.append(_Edge(self.chicks, knot, couple, (), is_plan=True))
        self.edges += [_Edge(self.birds[chick], knot, couple, (chick,)) for chick in chicks]
        self.edges += [_Edge(knot, self.birds[bird], (bird,), chicks, is_plan=is_plan) for bird in couple]

    def dot(self, width: float, height: float, chicks_width: float) -> str:
        """The graph in DOT; nodes are numbers with sizes, no text of the book goes in."""
        import graphviz  # imported when a graph is laid out, never at the start of the program

        graph = graphviz.Graph(
            graph_attr={
                "rankdir": "RL",
                "splines": "spline",
                "ordering": "out",
                "nodesep": _inches(12),
                "ranksep": _inches(_COLUMN_GAP + min(len(self.birds), _MOST_EXTRA_GAP)),
            },
            node_attr={"shape": "box", "label": "", "fixedsize": "true"},
        )
        sizes = dict.fromkeys(self.birds.values(), (width, height))
        sizes |= dict.fromkeys(self.doubts, (_WEIGHT_WIDTH, _WEIGHT_HEIGHT))
        if self.chicks is not None:
            sizes[self.chicks] = (chicks_width, height)
        for node, (node_width, node_height) in sizes.items():
            graph.node(f"b{node}", width=_inches(node_width), height=_inches(node_height))
        for knot in self.knots.values():
            graph.node(f"b{knot}", shape="point", width=_inches(4), height=_inches(4))
        for edge in self.edges:
            leave = f"b{edge.young}:w" if edge.young in sizes else f"b{edge.young}"
            graph.edge(leave, f"b{edge.old}:e" if edge.old in sizes else f"b{edge.old}")
        return str(graph.source)

    def seats(self, middles: dict[int, Point]) -> dict[int, int]:
        """Which node's place each node takes: full sibs that never bred change places to stand by age.

        Their places are alike and hang on one knot, and Graphviz mixes them.
        """
        seats = {number: number for number in range(self._count)}
        breeding = {edge.old for edge in self.edges} | {edge.young for edge in self.edges if edge.is_plan}
        for chicks in self.young.values():
            alike = [self.birds[chick] for chick in chicks if self.birds[chick] not in breeding]
            seats.update(zip(alike, sorted(alike, key=lambda number: middles[number][1]), strict=True))
        return seats


def _inches(pixels: float) -> str:
    return f"{pixels / 72:.4f}"


def family_graph(
    snapshot: Snapshot,
    family: Family,
    width: float,
    height: float,
    chicks_width: float,
    worker: LayoutWorker,
    *,
    left: float = 0.0,
    top: float = 0.0,
) -> Graph:
    """A family laid out with time flowing to the right: parents left of their chicks, sires above dams.

    Every bird gets a place of `width` × `height`; `left` and `top` are where the graph begins on the sheet.

    Raises
    ------
    DrawingRefused
        If Graphviz cannot lay it out.
    """
    plan = _Plan(snapshot, family)
    found = worker.lay_out(plan.dot(width, height, chicks_width))
    page = _Page(left, top, *(float(corner) for corner in found["bb"].split(",")[2:]))
    numbers = {node["_gvid"]: int(node["name"][1:]) for node in found["objects"]}
    middles = {numbers[node["_gvid"]]: page.point(node["pos"]) for node in found["objects"]}
    splines = {(numbers[edge["tail"]], numbers[edge["head"]]): edge["pos"] for edge in found.get("edges", ())}
    seats = plan.seats(middles)
    return Graph(
        right=left + page.width,
        bottom=top + page.height,
        middles={bird: middles[seats[number]] for bird, number in plan.birds.items()},
        knots={couple: middles[knot] for couple, knot in plan.knots.items()},
        weights=tuple((weight, middles[doubt]) for doubt, weight in plan.doubts.items()),
        chicks=None if plan.chicks is None else middles[plan.chicks],
        curves=tuple(
            Curve(
                page.curve(splines[seats[edge.young], edge.old]),
                edge.parents,
                edge.chicks,
                edge.is_certain,
                edge.is_plan,
            )
            for edge in plan.edges
        ),
    )


@dataclass(frozen=True, slots=True)
class _Page:
    """Where Graphviz's points lie on the sheet: it counts y upwards, a page downwards."""

    left: float
    top: float
    width: float
    height: float

    def point(self, text: str) -> Point:
        x, y = text.split(",")
        return round(self.left + float(x), 2), round(self.top + self.height - float(y), 2)

    def curve(self, spline: str) -> str:
        """A spline, which is a first point and then three for each cubic Bézier, as path data."""
        first, *rest = (f"{x:g} {y:g}" for x, y in map(self.point, spline.split()))
        return f"M{first}" + "".join(f"C{a} {b} {c}" for a, b, c in zip(*[iter(rest)] * 3, strict=True))
