"""The published method behind each figure."""

from dataclasses import dataclass
from enum import StrEnum


class Figure(StrEnum):
    """The figures of a report that are explained."""

    INBREEDING = "inbreeding"
    TREND = "trend"
    FOUNDERS = "founders"
    FOUNDER_EQUIVALENTS = "founder equivalents"
    ANCESTOR_EQUIVALENTS = "ancestor equivalents"
    MEAN_KINSHIP = "mean kinship"
    GENE_DIVERSITY = "gene diversity"
    FOUNDER_GENOME_EQUIVALENTS = "founder genome equivalents"
    ALLELE_RETENTION_EQUIVALENTS = "allele retention equivalents"
    REALISED_SIZE = "realised size"
    BREEDERS_SIZE = "breeders size"
    GENERATION_INTERVAL = "generation interval"
    COMPLETENESS = "completeness"
    RECENT_INBREEDING = "recent inbreeding"
    RANKING = "ranking"
    RETENTION = "retention"


@dataclass(frozen=True, slots=True)
class Method:
    """How a figure is found: its name, in words, and where it was published."""

    name: str
    text: str
    sources: tuple[str, ...]


def method(figure: Figure) -> Method:
    """The method of a figure, in the user's language."""
    raise NotImplementedError
