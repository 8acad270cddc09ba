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

    A line that joins two parents carries both their chicks; `weight` is under 1 for a doubtful
    parent, and `middle` is where that is written.
    """

    steps: str
    parents: tuple[BirdId, ...]
    chicks: tuple[BirdId, ...]
    weight: float
    middle: tuple[float, float]
    is_plan: bool = False

    @property
    def is_certain(self) -> bool:
        """True unless it leads to a doubtful parent."""
        return is_certain(self.weight)


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
        The points in which the lines of two parents meet.
    chicks
        The middle of the place of a pair's chicks to come, if it is a graph of a pair.
    """

    right: float
    bottom: float
    middles: dict[BirdId, tuple[float, float]]
    knots: tuple[tuple[float, float], ...]
    chicks: tuple[float, float] | None
    curves: tuple[Curve, ...]


@dataclass(slots=True)
class _Edge:
    tail: int
    head: int
    parents: tuple[BirdId, ...]
    chicks: tuple[BirdId, ...]
    weight: float = 1.0
    is_plan: bool = False


class _Plan:
    """Nodes by number and edges from the young to the old, ready to be written as DOT."""

    def __init__(self, snapshot: Snapshot, family: Family) -> None:
        self.numbers: dict[BirdId, int] = {bird: number for number, bird in enumerate(family.generations)}
        self.knots: dict[tuple[BirdId, BirdId], int] = {}
        self.edges: list[_Edge] = []
        self.chicks: int | None = None
        self._next = len(self.numbers)
        families: dict[tuple[BirdId, BirdId], list[BirdId]] = {}
        for chick in family.generations:
            self._join(chick, *parents(snapshot, chick), families)
        if family.pair:
            families.setdefault(family.pair, [])
            self.chicks = self._number()
        for couple, chicks in families.items():
            self._tie(couple, tuple(chicks), is_plan=couple == family.pair)

    def _number(self) -> int:
        self._next += 1
        return self._next - 1

    def _join(
        self,
        chick: BirdId,
        sires: tuple[Parent, ...],
        dams: tuple[Parent, ...],
        families: dict[tuple[BirdId, BirdId], list[BirdId]],
    ) -> None:
        """A certain pair shares one knot for all its chicks; other parents get lines of their own."""
        shown = [parent for parent in (*sires, *dams) if parent.bird in self.numbers]
        if len(sires) == len(dams) == 1 and len(shown) == 2:
            sire, dam = shown[0].bird, shown[1].bird
            assert sire is not None
            assert dam is not None
            families.setdefault((sire, dam), []).append(chick)
            return
        for parent in shown:
            if parent.bird is not None:
                self.edges.append(
                    _Edge(
                        self.numbers[chick],
                        self.numbers[parent.bird],
                        (parent.bird,),
                        (chick,),
                        parent.weight,
                    )
                )

    def _tie(self, couple: tuple[BirdId, BirdId], chicks: tuple[BirdId, ...], *, is_plan: bool) -> None:
        knot = self.knots[couple] = self._number()
        if is_plan and self.chicks is not None:
            self.edges.append(_Edge(self.chicks, knot, couple, (), is_plan=True))
        self.edges += [_Edge(self.numbers[chick], knot, couple, (chick,)) for chick in chicks]
        only_plan = is_plan and not chicks
        self.edges += [_Edge(knot, self.numbers[p], (p,), chicks, is_plan=only_plan) for p in couple]

    def dot(self, width: float, height: float, chicks_width: float) -> str:
        """The graph in DOT; nodes are numbers with sizes, no text of the book goes in."""
        import graphviz  # imported when a graph is laid out, never at the start of the program

        graph = graphviz.Graph(
            graph_attr={
                "rankdir": "RL",
                "splines": "spline",
                "ordering": "out",
                "nodesep": _inches(12),
                "ranksep": _inches(26),
            },
            node_attr={"shape": "box", "label": "", "fixedsize": "true"},
        )
        for number in self.numbers.values():
            graph.node(f"b{number}", width=_inches(width), height=_inches(height))
        for knot in self.knots.values():
            graph.node(f"b{knot}", shape="point", width=_inches(4), height=_inches(4))
        if self.chicks is not None:
            graph.node(f"b{self.chicks}", width=_inches(chicks_width), height=_inches(height))
        knots = set(self.knots.values())
        for edge in self.edges:
            tail = f"b{edge.tail}" + ("" if edge.tail in knots else ":w")
            head = f"b{edge.head}" + ("" if edge.head in knots else ":e")
            graph.edge(tail, head)
        return str(graph.source)


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
    names = {node["_gvid"]: int(node["name"][1:]) for node in found.get("objects", ())}
    middles = {names[node["_gvid"]]: page.point(node["pos"]) for node in found.get("objects", ())}
    drawn = {(names[edge["tail"]], names[edge["head"]]): edge["pos"] for edge in found.get("edges", ())}
    return Graph(
        right=left + page.width,
        bottom=top + page.height,
        middles={bird: middles[number] for bird, number in plan.numbers.items()},
        knots=tuple(middles[knot] for knot in plan.knots.values()),
        chicks=None if plan.chicks is None else middles[plan.chicks],
        curves=tuple(_curve(edge, page.points(drawn[edge.tail, edge.head])) for edge in plan.edges),
    )


@dataclass(frozen=True, slots=True)
class _Page:
    """Where Graphviz's points lie on the sheet: it counts y upwards, a page downwards."""

    left: float
    top: float
    width: float
    height: float

    def point(self, text: str) -> tuple[float, float]:
        x, y = text.split(",")
        return round(self.left + float(x), 2), round(self.top + self.height - float(y), 2)

    def points(self, text: str) -> list[tuple[float, float]]:
        return [self.point(point) for point in text.split()]


def _curve(edge: _Edge, points: list[tuple[float, float]]) -> Curve:
    """A Graphviz spline, a first point and then three for each cubic Bézier, as path data."""
    first, *rest = (f"{x:g} {y:g}" for x, y in points)
    steps = f"M{first}" + "".join(f"C{a} {b} {c}" for a, b, c in zip(*[iter(rest)] * 3, strict=True))
    return Curve(steps, edge.parents, edge.chicks, edge.weight, _middle(points), edge.is_plan)


def _middle(points: list[tuple[float, float]]) -> tuple[float, float]:
    """The point half way along the middle piece of a spline."""
    start = 3 * ((len(points) - 1) // 3 // 2)
    a, b, c, d = points[start : start + 4]
    return (a[0] + 3 * b[0] + 3 * c[0] + d[0]) / 8, (a[1] + 3 * b[1] + 3 * c[1] + d[1]) / 8
