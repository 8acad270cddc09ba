"""The words for the figures of practice: what each is called, and what is wrong with one."""

from studbook.season.practice import MOST, Evidence, Fault, FaultKind, least_value
from studbook.words import _, later, plural

_WORDS = {
    "earliest_days": later("first egg that may be a new cock's"),
    "covered_days": later("pen covered by a new cock"),
    "usual_lasting_days": later("a cock's eggs after him, as a rule"),
    "lasting_days": later("a cock's eggs after him, at most"),
    "halving_days": later("what a cock left behind halves in"),
    "clear_days": later("wait until a hen is clear"),
    "strict_clear_days": later("wait until a hen is clear, strict"),
    "laying_age_days": later("youngest age of laying"),
    "fertile_age_days": later("youngest age of a fertile cock"),
    "trial_hens": later("fewest hens for a fertility trial"),
    "hens_per_cock_few": later("fewest hens for a cock"),
    "hens_per_cock_many": later("most hens for a cock"),
    "hens_per_cock_light_few": later("fewest hens for a cock, light breeds"),
    "hens_per_cock_light_many": later("most hens for a cock, light breeds"),
    "hens_per_cock_medium_few": later("fewest hens for a cock, medium breeds"),
    "hens_per_cock_medium_many": later("most hens for a cock, medium breeds"),
    "hens_per_cock_heavy_few": later("fewest hens for a cock, heavy breeds"),
    "hens_per_cock_heavy_many": later("most hens for a cock, heavy breeds"),
    "hens_per_cock_bantam_few": later("fewest hens for a cock, bantams"),
    "hens_per_cock_bantam_many": later("most hens for a cock, bantams"),
    "storage_warn_days": later("stored eggs begin to suffer"),
    "storage_most_days": later("oldest egg worth setting"),
    "remark_days": later("chick's mark changed for an adult's"),
    "ring_check_days": later("rings of growing birds looked at every"),
    "toe_punch_check_days": later("toe punch looked at again"),
    "review_ill_days": later("apart, ill: looked at again"),
    "review_hurt_days": later("apart, hurt: looked at again"),
    "review_trial_days": later("apart, fertility trial: looked at again"),
    "review_bought_days": later("apart, newly bought: looked at again"),
    "review_show_days": later("apart, back from a show: looked at again"),
    "review_broody_days": later("apart, broody being broken: looked at again"),
    "review_bullied_days": later("apart, bullied: looked at again"),
    "review_buyer_days": later("apart, waiting for a buyer: looked at again"),
    "review_other_days": later("apart, other: looked at again"),
}

ORDER = tuple(_WORDS)
"""The names of the figures as they are told: whose egg, pens, eggs, marks, birds apart."""


def figure_word(name: str) -> str:
    """What a figure is called; one without words is called by its name."""
    return _(_WORDS[name]) if name in _WORDS else name


def unit_word(unit: str) -> str:
    """The unit of a figure."""
    return {"days": _("days"), "hens": _("hens")}[unit]


def amount_text(value: float, unit: str) -> str:
    """A value with its unit: "1 day", "3.5 days", "6 hens"."""
    number = 1 if value == 1 else 2
    text = {
        "days": plural("{count} day", "{count} days", number),
        "hens": plural("{count} hen", "{count} hens", number),
    }
    return text[unit].format(count=f"{value:g}")


def evidence_word(evidence: Evidence) -> str:
    """How sure a figure is."""
    return {
        Evidence.CONFIRMED: _("confirmed"),
        Evidence.COMMON_PRACTICE: _("common practice"),
        Evidence.MEMORY: _("from memory"),
        Evidence.KEEPER: _("your own"),
    }[evidence]


def fault_text(fault: Fault, species_name: str, value: float, greater: float) -> str:
    """What is wrong with a figure, and what to do; `greater` is the value a smaller one exceeds."""
    called = figure_word(fault.name)
    match fault.kind:
        case FaultKind.UNKNOWN:
            text = _("“{figure}” is no figure of practice of the {species}: choose one of the list.")
            return text.format(figure=called, species=species_name)
        case FaultKind.OUT_OF_RANGE:
            text = _("“{figure}” cannot be {value}: enter {least} to {most}.")
            return text.format(
                figure=called, value=f"{value:g}", least=f"{least_value(fault.name):g}", most=MOST
            )
        case FaultKind.NOT_WHOLE:
            text = _("“{figure}” cannot be {value}: enter a whole number.")
            return text.format(figure=called, value=f"{value:g}")
        case FaultKind.CONTRADICTION:
            text = _(
                "“{figure}” would be {value} and so more than “{other}”, which is {greater}: correct one of the two."
            )
            return text.format(
                figure=called, value=f"{value:g}", other=figure_word(fault.greater), greater=f"{greater:g}"
            )
