"""Finding birds by part of a mark or name: a trigram index over a case- and accent-folded key."""

from collections.abc import Iterable

from sqlalchemy import select
from sqlalchemy.orm import Session

from studbook.book import models
from studbook.book.records import Bird, BirdId
from studbook.words import fold


def search_key(bird: Bird) -> str:
    """The folded text a bird is found by: every mark it wears or wore, and its name."""
    return fold(" ".join([*(mark.code for mark in bird.marks), bird.name]))


def index_birds(session: Session, birds: Iterable[Bird], gone: Iterable[int] = ()) -> None:
    """Put the search keys of `birds` in place of what the index held; `gone` are keys of birds no more."""
    connection = session.connection()
    by_uuid = {bird.id: bird for bird in birds}
    keys = _keys(session, list(by_uuid))
    forget = [*gone, *keys.values()]
    if forget:
        connection.exec_driver_sql("DELETE FROM bird_search WHERE rowid = ?", [(key,) for key in forget])
    rows = [(keys[bird_id], search_key(bird)) for bird_id, bird in by_uuid.items()]
    if rows:
        connection.exec_driver_sql("INSERT INTO bird_search (rowid, words) VALUES (?, ?)", rows)


def _keys(session: Session, ids: list[BirdId]) -> dict[BirdId, int]:
    found: dict[BirdId, int] = {}
    for start in range(0, len(ids), 500):
        query = select(models.BirdRow.uuid, models.BirdRow.key)
        rows = session.execute(query.where(models.BirdRow.uuid.in_(ids[start : start + 500])))
        found.update((BirdId(uuid), key) for uuid, key in rows)
    return found


def find_birds(session: Session, text: str, limit: int) -> tuple[BirdId, ...]:
    """The birds whose marks or name hold every word of `text`, living ones first, at most `limit`."""
    words = fold(text).split()
    if not words:
        return ()
    long = [word for word in words if len(word) >= 3]
    clauses = ["words LIKE ? ESCAPE '\\'" for word in words if len(word) < 3]
    values: list[object] = [f"%{_literal(word)}%" for word in words if len(word) < 3]
    if long:
        clauses.append("bird_search MATCH ?")
        values.append(" ".join('"' + word.replace('"', '""') + '"' for word in long))
    statement = (
        "SELECT bird.uuid FROM bird_search JOIN bird ON bird.key = bird_search.rowid "
        f"WHERE bird.struck IS NULL AND {' AND '.join(clauses)} "
        "ORDER BY bird.status <> 'living', bird_search.words <> ?, bird_search.words NOT LIKE ? ESCAPE '\\', "
        "length(bird_search.words), bird.key DESC LIMIT ?"
    )
    values += [words[0], f"{_literal(words[0])}%", limit]
    rows = session.connection().exec_driver_sql(statement, tuple(values))
    return tuple(BirdId(row[0]) for row in rows)


def _literal(word: str) -> str:
    return word.replace("\\", "\\\\").replace("%", "\\%").replace("_", "\\_")
