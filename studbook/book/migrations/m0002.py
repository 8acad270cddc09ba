"""Origins related to each other, and figures of inbreeding kept beside the record."""

import sqlite3

_TABLES = """
CREATE TABLE origin_relation (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    origin_key INTEGER NOT NULL,
    other_key INTEGER NOT NULL,
    relationship REAL NOT NULL,
    CONSTRAINT pk_origin_relation PRIMARY KEY ("key"),
    CONSTRAINT ck_origin_relation_relationship CHECK (relationship > 0 AND relationship <= 2),
    CONSTRAINT ck_origin_relation_others CHECK (origin_key <> other_key),
    CONSTRAINT uq_origin_relation_origin_key UNIQUE (origin_key, other_key),
    CONSTRAINT uq_origin_relation_uuid UNIQUE (uuid),
    CONSTRAINT fk_origin_relation_origin_key FOREIGN KEY(origin_key) REFERENCES origin ("key"),
    CONSTRAINT fk_origin_relation_other_key FOREIGN KEY(other_key) REFERENCES origin ("key")
) STRICT;

CREATE TABLE stored_diagonal (
    way TEXT NOT NULL,
    stamp BLOB NOT NULL,
    bird_key INTEGER,
    self_relationship REAL NOT NULL,
    sampling_variance REAL NOT NULL,
    CONSTRAINT pk_stored_diagonal PRIMARY KEY (way, stamp)
) STRICT;

CREATE INDEX ix_stored_diagonal_bird_key ON stored_diagonal (bird_key);
"""


def relate_origins(connection: sqlite3.Connection) -> None:
    """Make the tables of related origins and of stored figures."""
    for statement in _TABLES.split(";\n"):
        if statement.strip():
            connection.execute(statement)
