"""The tables of choosing: who may breed, pairs not wanted, plans of pens, rotations."""

import sqlite3

_TABLES = """
CREATE TABLE "plan" (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    season INTEGER NOT NULL,
    made TEXT NOT NULL,
    name TEXT NOT NULL,
    wishes TEXT NOT NULL,
    reasons TEXT NOT NULL,
    weight REAL NOT NULL,
    inbreeding REAL NOT NULL,
    kinship REAL NOT NULL,
    bound REAL,
    present_inbreeding REAL,
    present_kinship REAL,
    chicks INTEGER,
    note TEXT NOT NULL,
    CONSTRAINT pk_plan PRIMARY KEY ("key"),
    CONSTRAINT uq_plan_uuid UNIQUE (uuid)
) STRICT;

CREATE TABLE rotation (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    name TEXT NOT NULL,
    begun TEXT NOT NULL,
    ended TEXT,
    note TEXT NOT NULL,
    CONSTRAINT pk_rotation PRIMARY KEY ("key"),
    CONSTRAINT uq_rotation_uuid UNIQUE (uuid)
) STRICT;

CREATE TABLE ban (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    cock_key INTEGER NOT NULL,
    hen_key INTEGER NOT NULL,
    since TEXT NOT NULL,
    reason TEXT NOT NULL,
    CONSTRAINT pk_ban PRIMARY KEY ("key"),
    CONSTRAINT uq_ban_uuid UNIQUE (uuid),
    CONSTRAINT fk_ban_cock_key FOREIGN KEY(cock_key) REFERENCES bird ("key"),
    CONSTRAINT fk_ban_hen_key FOREIGN KEY(hen_key) REFERENCES bird ("key")
) STRICT;

CREATE INDEX ix_ban_cock_key ON ban (cock_key);

CREATE INDEX ix_ban_hen_key ON ban (hen_key);

CREATE TABLE choice (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    bird_key INTEGER NOT NULL,
    season INTEGER NOT NULL,
    verdict TEXT NOT NULL,
    "on" TEXT NOT NULL,
    reason TEXT NOT NULL,
    CONSTRAINT pk_choice PRIMARY KEY ("key"),
    CONSTRAINT uq_choice_uuid UNIQUE (uuid),
    CONSTRAINT fk_choice_bird_key FOREIGN KEY(bird_key) REFERENCES bird ("key")
) STRICT;

CREATE INDEX ix_choice_bird_key ON choice (bird_key);

CREATE TABLE planned_pen (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    plan_key INTEGER NOT NULL,
    position INTEGER NOT NULL,
    expected REAL NOT NULL,
    pen_key INTEGER,
    CONSTRAINT pk_planned_pen PRIMARY KEY ("key"),
    CONSTRAINT uq_planned_pen_uuid UNIQUE (uuid),
    CONSTRAINT fk_planned_pen_plan_key FOREIGN KEY(plan_key) REFERENCES "plan" ("key"),
    CONSTRAINT fk_planned_pen_pen_key FOREIGN KEY(pen_key) REFERENCES pen ("key")
) STRICT;

CREATE INDEX ix_planned_pen_pen_key ON planned_pen (pen_key);

CREATE INDEX ix_planned_pen_plan_key ON planned_pen (plan_key);

CREATE TABLE rotation_pen (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    rotation_key INTEGER NOT NULL,
    pen_key INTEGER NOT NULL,
    position INTEGER NOT NULL,
    CONSTRAINT pk_rotation_pen PRIMARY KEY ("key"),
    CONSTRAINT uq_rotation_pen_uuid UNIQUE (uuid),
    CONSTRAINT fk_rotation_pen_rotation_key FOREIGN KEY(rotation_key) REFERENCES rotation ("key"),
    CONSTRAINT fk_rotation_pen_pen_key FOREIGN KEY(pen_key) REFERENCES pen ("key")
) STRICT;

CREATE INDEX ix_rotation_pen_pen_key ON rotation_pen (pen_key);

CREATE INDEX ix_rotation_pen_rotation_key ON rotation_pen (rotation_key);

CREATE TABLE planned_bird (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    planned_pen_key INTEGER NOT NULL,
    bird_key INTEGER NOT NULL,
    share REAL NOT NULL,
    expected REAL,
    reason TEXT NOT NULL,
    CONSTRAINT pk_planned_bird PRIMARY KEY ("key"),
    CONSTRAINT ck_planned_bird_share CHECK (share >= 0 AND share <= 1),
    CONSTRAINT uq_planned_bird_uuid UNIQUE (uuid),
    CONSTRAINT fk_planned_bird_planned_pen_key FOREIGN KEY(planned_pen_key) REFERENCES planned_pen ("key"),
    CONSTRAINT fk_planned_bird_bird_key FOREIGN KEY(bird_key) REFERENCES bird ("key")
) STRICT;

CREATE INDEX ix_planned_bird_bird_key ON planned_bird (bird_key);

CREATE INDEX ix_planned_bird_planned_pen_key ON planned_bird (planned_pen_key);
"""


def create_tables(connection: sqlite3.Connection) -> None:
    """Make the tables of choosing."""
    for statement in _TABLES.split(";\n"):
        if statement.strip():
            connection.execute(statement)
