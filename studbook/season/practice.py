"""Figures of practice by species: how long a cock's eggs last, how many hens he gets, when to look again.

Every figure says where it comes from and how sure that is, and every one can be changed by the keeper.
"""

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import Enum
from functools import cache, cached_property

from studbook.places import resource
from studbook.season.species import species


class Evidence(Enum):
    """How sure a figure is."""

    CONFIRMED = "confirmed"
    COMMON_PRACTICE = "common practice"
    MEMORY = "memory"
    KEEPER = "keeper"


class WeightClass(Enum):
    """How heavy a breed of fowl is; other species have one class only."""

    LIGHT = "light"
    MEDIUM = "medium"
    HEAVY = "heavy"
    BANTAM = "bantam"


class ApartReason(Enum):
    """Why a bird is set apart from its flock."""

    ILL = "ill"
    HURT = "hurt"
    TRIAL = "trial"
    BOUGHT = "bought"
    SHOW = "show"
    BROODY = "broody"
    BULLIED = "bullied"
    BUYER = "buyer"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of practice: its value, its unit (``days`` or ``hens``), its source and how sure it is."""

    value: float
    unit: str
    evidence: Evidence
    source: str


class Ratio(Enum):
    """How the hens of a pen stand to its cocks."""

    TOO_FEW = "too few"  # the hens wear
    USUAL = "usual"
    TOO_MANY = "too many"  # eggs stay clear


@dataclass(frozen=True, slots=True)
class HensPerCock:
    """The usual range of hens for one cock."""

    few: int
    many: int

    def ratio(self, cocks: int, hens: int) -> Ratio | None:
        """How so many hens stand to so many cocks; ``None`` if the pen lacks either."""
        if not cocks or not hens:
            return None
        if hens < self.few * cocks:
            return Ratio.TOO_FEW
        return Ratio.TOO_MANY if hens > self.many * cocks else Ratio.USUAL


@dataclass(frozen=True)
class Practice:
    """The figures of one species.

    Attributes
    ----------
    earliest_days
        From so many days after the first mating an egg may be by a new cock.
    covered_days
        From so many days on the eggs of a pen are reliably fertile.
    lasting_days
        So many days after a cock has gone no egg can be his.
    usual_lasting_days
        How long his eggs go on as a rule.
    halving_days
        What a cock left behind halves in so many days, beside a later cock.
    clear_days, strict_clear_days
        How long to wait after a cock before eggs are kept as a later one's.
    storage_warn_days, storage_most_days
        The age at which a stored egg begins to suffer, and the oldest worth setting.
    remark_days
        The age at which a chick's mark is changed for an adult's.
    ring_check_days
        How often the rings of growing birds are looked at.
    toe_punch_check_days
        The age at which a toe punch is looked at again, since webs can grow together.
    trial_hens
        The fewest hens advised for a fertility trial.
    figures
        All of them by name, with their sources.
    """

    species: str
    figures: Mapping[str, Figure]

    def value(self, name: str) -> float:
        """The figure of this name.

        Raises
        ------
        KeyError
            If there is none.
        """
        return self.figures[name].value

    @cached_property
    def earliest_days(self) -> int:
        return int(self.value("earliest_days"))

    @cached_property
    def covered_days(self) -> int:
        return int(self.value("covered_days"))

    @cached_property
    def lasting_days(self) -> int:
        return int(self.value("lasting_days"))

    @cached_property
    def usual_lasting_days(self) -> int:
        return int(self.value("usual_lasting_days"))

    @cached_property
    def halving_days(self) -> float:
        return self.value("halving_days")

    @cached_property
    def clear_days(self) -> int:
        return int(self.value("clear_days"))

    @cached_property
    def strict_clear_days(self) -> int:
        return int(self.value("strict_clear_days"))

    @cached_property
    def storage_warn_days(self) -> int:
        return int(self.value("storage_warn_days"))

    @cached_property
    def storage_most_days(self) -> int:
        return int(self.value("storage_most_days"))

    @cached_property
    def laying_age_days(self) -> int:
        return int(self.value("laying_age_days"))

    @cached_property
    def fertile_age_days(self) -> int:
        return int(self.value("fertile_age_days"))

    @cached_property
    def remark_days(self) -> int:
        return int(self.value("remark_days"))

    @cached_property
    def ring_check_days(self) -> int:
        return int(self.value("ring_check_days"))

    @cached_property
    def toe_punch_check_days(self) -> int:
        return int(self.value("toe_punch_check_days"))

    @cached_property
    def trial_hens(self) -> int:
        return int(self.value("trial_hens"))

    def hens_per_cock(self, weight_class: WeightClass = WeightClass.MEDIUM) -> HensPerCock:
        """How few and how many hens one cock gets; the class matters for fowl only."""
        name = f"hens_per_cock_{weight_class.value}"
        if f"{name}_few" not in self.figures:
            name = "hens_per_cock"
        return HensPerCock(int(self.value(f"{name}_few")), int(self.value(f"{name}_many")))

    def review_days(self, reason: ApartReason) -> int:
        """After how many days a bird set apart for `reason` is thought about again."""
        return int(self.value(f"review_{reason.value}_days"))


class FaultKind(Enum):
    """What is wrong with a figure the keeper would set."""

    UNKNOWN = "unknown"
    OUT_OF_RANGE = "out of range"
    NOT_WHOLE = "not whole"
    CONTRADICTION = "contradiction"


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong with the figure `name`; of a contradiction it is the smaller that exceeds `greater`."""

    kind: FaultKind
    name: str
    greater: str = ""


def least_value(name: str) -> float:
    """The least a figure may be."""
    return _SHORTEST_HALVING if name == "halving_days" else 0


def faults(species_code: str, overrides: Mapping[str, float]) -> tuple[Fault, ...]:
    """Everything wrong with the keeper's own figures of a species.

    Raises
    ------
    KeyError
        If there is no such species.
    """
    figures = _published(species_code)
    found = []
    for name, value in overrides.items():
        if name not in figures:
            found.append(Fault(FaultKind.UNKNOWN, name))
        elif not least_value(name) <= value <= MOST:
            found.append(Fault(FaultKind.OUT_OF_RANGE, name))
        elif name != "halving_days" and value != int(value):
            found.append(Fault(FaultKind.NOT_WHOLE, name))
    values = {name: overrides.get(name, figure.value) for name, figure in figures.items()}
    for smaller, greater in (*_ORDERED, *_few_and_many(figures)):
        if values[smaller] > values[greater]:
            found.append(Fault(FaultKind.CONTRADICTION, smaller, greater))
    return tuple(found)


def practice(species_code: str, overrides: Mapping[str, float] | None = None) -> Practice:
    """The figures of a species, with the keeper's own in `overrides`, by the names of ``Practice.figures``.

    Raises
    ------
    KeyError
        If there is no such species.
    ValueError
        If a figure of `overrides` is not known for it, lies outside 0 to 366 or is no whole number (only
        ``halving_days`` may be a fraction, of half a day or more), or if two spans contradict each other.
    """
    own = overrides or {}
    for fault in faults(species_code, own):
        if fault.kind is FaultKind.UNKNOWN:
            raise ValueError(f"{fault.name!r} is no figure of practice for {species_code}")
        if fault.kind is FaultKind.CONTRADICTION:
            raise ValueError(f"{fault.name} is more than {fault.greater}")
        raise ValueError(f"{fault.name} cannot be {own[fault.name]}")
    figures = dict(_published(species_code))
    for name, value in own.items():
        figures[name] = Figure(value, figures[name].unit, Evidence.KEEPER, "")
    return Practice(species_code, figures)


MOST = 366
"""No figure is more, whatever its unit."""

_SHORTEST_HALVING = 0.5
_ORDERED = (
    ("earliest_days", "covered_days"),
    ("usual_lasting_days", "lasting_days"),
    ("clear_days", "strict_clear_days"),
    ("storage_warn_days", "storage_most_days"),
)


def _few_and_many(names: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """The fewest and the most hens for a cock, by class of weight where there are classes."""
    return tuple((name, f"{name[:-4]}_many") for name in names if name.endswith("_few"))


@cache
def _published(species_code: str) -> Mapping[str, Figure]:
    """The figures of the table, those of every species first and then the species' own."""
    table = json.loads(resource("practice.json").read_text(encoding="utf-8"))
    row = species(species_code)
    return {
        name: Figure(
            getattr(row, figure["of_species"]) if "of_species" in figure else figure["value"],
            figure["unit"],
            Evidence(figure["evidence"]),
            figure["source"],
        )
        for name, figure in {**table["every_species"], **table["species"][species_code]}.items()
    }
