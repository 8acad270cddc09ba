"""The policies of a flock kept in the settings, so that they are there again next time."""

import json
from dataclasses import asdict
from typing import Any

from PySide6.QtCore import QSettings

from studbook.book.ids import OriginId
from studbook.book.records import Snapshot
from studbook.genetics.breeding_policy import Keep
from studbook.planning.forecast.policy import MOST_POLICIES, BuyIn, Policy, Yard


def keep_policies(
    settings: QSettings, snapshot: Snapshot, species: str, policies: tuple[Policy, ...]
) -> None:
    """Keep the policies of a species of this book."""
    settings.setValue(_key(snapshot, species), json.dumps([asdict(policy) for policy in policies]))


def kept_policies(settings: QSettings, snapshot: Snapshot, species: str) -> tuple[Policy, ...]:
    """The policies kept of a species of this book; none where there are none that can still be read."""
    written = settings.value(_key(snapshot, species))
    if not isinstance(written, str):
        return ()
    try:
        return tuple(_policy(each, snapshot) for each in json.loads(written)[:MOST_POLICIES])
    except (ValueError, TypeError, KeyError, AttributeError):
        # written by another version
        return ()


def forget_policies(settings: QSettings, snapshot: Snapshot, species: str) -> None:
    """Keep them no longer."""
    settings.remove(_key(snapshot, species))


def _key(snapshot: Snapshot, species: str) -> str:
    return f"forecast/{snapshot.details.id}/{species}"


def _policy(written: dict[str, Any], snapshot: Snapshot) -> Policy:
    bought = written.pop("buy_in")
    buy_in = None
    if bought is not None:
        yard = bought["yard"]
        origin = None if yard["origin"] is None else OriginId(yard["origin"])
        # a yard that is gone is taken for an unrelated one
        known = origin is None or snapshot.origin(origin) is not None
        buy_in = BuyIn(
            bought["every"], bought["first"], Yard(origin if known else None, float(yard["kinship"]))
        )
    return Policy(**{**written, "keep": Keep(written["keep"]), "buy_in": buy_in})
