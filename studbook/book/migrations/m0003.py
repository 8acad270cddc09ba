"""The tables of the year: houses, pens and stays, eggs and sittings, trials, birds apart, jobs."""

import sqlite3

_TABLES = """
CREATE TABLE figure (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    species TEXT NOT NULL,
    name TEXT NOT NULL,
    value REAL NOT NULL,
    note TEXT NOT NULL,
    CONSTRAINT pk_figure PRIMARY KEY ("key"),
    CONSTRAINT uq_figure_uuid UNIQUE (uuid)
) STRICT;

CREATE TABLE house (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    name TEXT NOT NULL,
    position INTEGER NOT NULL,
    note TEXT NOT NULL,
    CONSTRAINT pk_house PRIMARY KEY ("key"),
    CONSTRAINT uq_house_uuid UNIQUE (uuid)
) STRICT;

CREATE TABLE machine (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    name TEXT NOT NULL,
    places INTEGER,
    note TEXT NOT NULL,
    retired TEXT,
    CONSTRAINT pk_machine PRIMARY KEY ("key"),
    CONSTRAINT uq_machine_uuid UNIQUE (uuid)
) STRICT;

CREATE TABLE tick (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    task TEXT NOT NULL,
    "on" TEXT NOT NULL,
    note TEXT NOT NULL,
    CONSTRAINT pk_tick PRIMARY KEY ("key"),
    CONSTRAINT uq_tick_uuid UNIQUE (uuid)
) STRICT;

CREATE TABLE job (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    text TEXT NOT NULL,
    starts TEXT NOT NULL,
    every TEXT NOT NULL,
    count INTEGER NOT NULL,
    until TEXT,
    house_key INTEGER,
    note TEXT NOT NULL,
    CONSTRAINT pk_job PRIMARY KEY ("key"),
    CONSTRAINT ck_job_count CHECK (count > 0),
    CONSTRAINT uq_job_uuid UNIQUE (uuid),
    CONSTRAINT fk_job_house_key FOREIGN KEY(house_key) REFERENCES house ("key")
) STRICT;

CREATE TABLE pen (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    name TEXT NOT NULL,
    house_key INTEGER,
    position INTEGER NOT NULL,
    room_large INTEGER,
    room_bantams INTEGER,
    closed TEXT,
    note TEXT NOT NULL,
    CONSTRAINT pk_pen PRIMARY KEY ("key"),
    CONSTRAINT uq_pen_uuid UNIQUE (uuid),
    CONSTRAINT fk_pen_house_key FOREIGN KEY(house_key) REFERENCES house ("key")
) STRICT;

CREATE TABLE apart (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    bird_key INTEGER NOT NULL,
    reason TEXT NOT NULL,
    since TEXT NOT NULL,
    place TEXT NOT NULL,
    review TEXT,
    until TEXT,
    outcome TEXT NOT NULL,
    note TEXT NOT NULL,
    CONSTRAINT pk_apart PRIMARY KEY ("key"),
    CONSTRAINT uq_apart_uuid UNIQUE (uuid),
    CONSTRAINT fk_apart_bird_key FOREIGN KEY(bird_key) REFERENCES bird ("key")
) STRICT;

CREATE INDEX ix_apart_bird_key ON apart (bird_key);

CREATE TABLE collection (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    "on" TEXT NOT NULL,
    eggs INTEGER NOT NULL,
    pen_key INTEGER,
    hen_key INTEGER,
    weights TEXT NOT NULL,
    colour TEXT NOT NULL,
    note TEXT NOT NULL,
    CONSTRAINT pk_collection PRIMARY KEY ("key"),
    CONSTRAINT ck_collection_eggs CHECK (eggs >= 0),
    CONSTRAINT uq_collection_uuid UNIQUE (uuid),
    CONSTRAINT fk_collection_pen_key FOREIGN KEY(pen_key) REFERENCES pen ("key"),
    CONSTRAINT fk_collection_hen_key FOREIGN KEY(hen_key) REFERENCES bird ("key")
) STRICT;

CREATE INDEX ix_collection_hen_key ON collection (hen_key);

CREATE INDEX ix_collection_pen_key ON collection (pen_key);

CREATE TABLE condition (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    bird_key INTEGER NOT NULL,
    kind TEXT NOT NULL,
    since TEXT NOT NULL,
    until TEXT,
    text TEXT NOT NULL,
    CONSTRAINT pk_condition PRIMARY KEY ("key"),
    CONSTRAINT uq_condition_uuid UNIQUE (uuid),
    CONSTRAINT fk_condition_bird_key FOREIGN KEY(bird_key) REFERENCES bird ("key")
) STRICT;

CREATE INDEX ix_condition_bird_key ON condition (bird_key);

CREATE TABLE egg_use (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    "on" TEXT NOT NULL,
    kind TEXT NOT NULL,
    eggs INTEGER NOT NULL,
    pen_key INTEGER,
    hen_key INTEGER,
    taker_key INTEGER,
    note TEXT NOT NULL,
    CONSTRAINT pk_egg_use PRIMARY KEY ("key"),
    CONSTRAINT ck_egg_use_eggs CHECK (eggs > 0),
    CONSTRAINT uq_egg_use_uuid UNIQUE (uuid),
    CONSTRAINT fk_egg_use_pen_key FOREIGN KEY(pen_key) REFERENCES pen ("key"),
    CONSTRAINT fk_egg_use_hen_key FOREIGN KEY(hen_key) REFERENCES bird ("key"),
    CONSTRAINT fk_egg_use_taker_key FOREIGN KEY(taker_key) REFERENCES contact ("key")
) STRICT;

CREATE INDEX ix_egg_use_hen_key ON egg_use (hen_key);

CREATE INDEX ix_egg_use_pen_key ON egg_use (pen_key);

CREATE TABLE mating (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    hen_key INTEGER NOT NULL,
    kind TEXT NOT NULL,
    since TEXT NOT NULL,
    until TEXT NOT NULL,
    cock_key INTEGER,
    outside TEXT NOT NULL,
    note TEXT NOT NULL,
    CONSTRAINT pk_mating PRIMARY KEY ("key"),
    CONSTRAINT uq_mating_uuid UNIQUE (uuid),
    CONSTRAINT fk_mating_hen_key FOREIGN KEY(hen_key) REFERENCES bird ("key"),
    CONSTRAINT fk_mating_cock_key FOREIGN KEY(cock_key) REFERENCES bird ("key")
) STRICT;

CREATE INDEX ix_mating_cock_key ON mating (cock_key);

CREATE INDEX ix_mating_hen_key ON mating (hen_key);

CREATE TABLE move (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    bird_key INTEGER NOT NULL,
    pen_key INTEGER,
    "on" TEXT NOT NULL,
    note TEXT NOT NULL,
    CONSTRAINT pk_move PRIMARY KEY ("key"),
    CONSTRAINT uq_move_uuid UNIQUE (uuid),
    CONSTRAINT fk_move_bird_key FOREIGN KEY(bird_key) REFERENCES bird ("key"),
    CONSTRAINT fk_move_pen_key FOREIGN KEY(pen_key) REFERENCES pen ("key")
) STRICT;

CREATE INDEX ix_move_bird_key ON move (bird_key);

CREATE INDEX ix_move_pen_key ON move (pen_key);

CREATE TABLE sitting (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    set_on TEXT NOT NULL,
    name TEXT NOT NULL,
    species TEXT NOT NULL,
    broody_key INTEGER,
    second_broody_key INTEGER,
    machine_key INTEGER,
    days INTEGER,
    parted TEXT,
    closed TEXT,
    note TEXT NOT NULL,
    CONSTRAINT pk_sitting PRIMARY KEY ("key"),
    CONSTRAINT uq_sitting_uuid UNIQUE (uuid),
    CONSTRAINT fk_sitting_broody_key FOREIGN KEY(broody_key) REFERENCES bird ("key"),
    CONSTRAINT fk_sitting_second_broody_key FOREIGN KEY(second_broody_key) REFERENCES bird ("key"),
    CONSTRAINT fk_sitting_machine_key FOREIGN KEY(machine_key) REFERENCES machine ("key")
) STRICT;

CREATE TABLE stay (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    bird_key INTEGER NOT NULL,
    pen_key INTEGER NOT NULL,
    since TEXT NOT NULL,
    until TEXT,
    note TEXT NOT NULL,
    CONSTRAINT pk_stay PRIMARY KEY ("key"),
    CONSTRAINT uq_stay_uuid UNIQUE (uuid),
    CONSTRAINT fk_stay_bird_key FOREIGN KEY(bird_key) REFERENCES bird ("key"),
    CONSTRAINT fk_stay_pen_key FOREIGN KEY(pen_key) REFERENCES pen ("key")
) STRICT;

CREATE INDEX ix_stay_bird_key ON stay (bird_key);

CREATE INDEX ix_stay_pen_key ON stay (pen_key);

CREATE TABLE trial (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    cock_key INTEGER NOT NULL,
    begun TEXT NOT NULL,
    counts_from TEXT NOT NULL,
    ends TEXT,
    pen_key INTEGER,
    eggs_wanted INTEGER NOT NULL,
    share REAL NOT NULL,
    confidence REAL NOT NULL,
    decision TEXT NOT NULL,
    decided TEXT,
    reason TEXT NOT NULL,
    note TEXT NOT NULL,
    CONSTRAINT pk_trial PRIMARY KEY ("key"),
    CONSTRAINT uq_trial_uuid UNIQUE (uuid),
    CONSTRAINT fk_trial_cock_key FOREIGN KEY(cock_key) REFERENCES bird ("key"),
    CONSTRAINT fk_trial_pen_key FOREIGN KEY(pen_key) REFERENCES pen ("key")
) STRICT;

CREATE INDEX ix_trial_cock_key ON trial (cock_key);

CREATE INDEX ix_trial_pen_key ON trial (pen_key);

CREATE TABLE batch (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    sitting_key INTEGER NOT NULL,
    eggs INTEGER NOT NULL,
    pen_key INTEGER,
    hen_key INTEGER,
    laid_from TEXT,
    laid_to TEXT,
    colour TEXT NOT NULL,
    compartment TEXT NOT NULL,
    moved_from_key INTEGER,
    outside TEXT NOT NULL,
    origin_key INTEGER,
    trial_key INTEGER,
    note TEXT NOT NULL,
    CONSTRAINT pk_batch PRIMARY KEY ("key"),
    CONSTRAINT ck_batch_eggs CHECK (eggs > 0),
    CONSTRAINT uq_batch_uuid UNIQUE (uuid),
    CONSTRAINT fk_batch_sitting_key FOREIGN KEY(sitting_key) REFERENCES sitting ("key"),
    CONSTRAINT fk_batch_pen_key FOREIGN KEY(pen_key) REFERENCES pen ("key"),
    CONSTRAINT fk_batch_hen_key FOREIGN KEY(hen_key) REFERENCES bird ("key"),
    CONSTRAINT fk_batch_moved_from_key FOREIGN KEY(moved_from_key) REFERENCES batch ("key"),
    CONSTRAINT fk_batch_origin_key FOREIGN KEY(origin_key) REFERENCES origin ("key"),
    CONSTRAINT fk_batch_trial_key FOREIGN KEY(trial_key) REFERENCES trial ("key")
) STRICT;

CREATE INDEX ix_batch_hen_key ON batch (hen_key);

CREATE INDEX ix_batch_pen_key ON batch (pen_key);

CREATE INDEX ix_batch_sitting_key ON batch (sitting_key);

CREATE INDEX ix_batch_trial_key ON batch (trial_key);

CREATE TABLE reading (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    sitting_key INTEGER NOT NULL,
    "on" TEXT NOT NULL,
    at TEXT NOT NULL,
    temperature REAL,
    humidity REAL,
    weight REAL,
    weighed INTEGER,
    note TEXT NOT NULL,
    CONSTRAINT pk_reading PRIMARY KEY ("key"),
    CONSTRAINT uq_reading_uuid UNIQUE (uuid),
    CONSTRAINT fk_reading_sitting_key FOREIGN KEY(sitting_key) REFERENCES sitting ("key")
) STRICT;

CREATE INDEX ix_reading_sitting_key ON reading (sitting_key);

CREATE TABLE trial_hen (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    trial_key INTEGER NOT NULL,
    hen_key INTEGER NOT NULL,
    CONSTRAINT pk_trial_hen PRIMARY KEY ("key"),
    CONSTRAINT uq_trial_hen_uuid UNIQUE (uuid),
    CONSTRAINT fk_trial_hen_trial_key FOREIGN KEY(trial_key) REFERENCES trial ("key"),
    CONSTRAINT fk_trial_hen_hen_key FOREIGN KEY(hen_key) REFERENCES bird ("key")
) STRICT;

CREATE INDEX ix_trial_hen_hen_key ON trial_hen (hen_key);

CREATE INDEX ix_trial_hen_trial_key ON trial_hen (trial_key);

CREATE TABLE batch_pair (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    batch_key INTEGER NOT NULL,
    sire_key INTEGER,
    dam_key INTEGER,
    weight REAL NOT NULL,
    reason TEXT NOT NULL,
    CONSTRAINT pk_batch_pair PRIMARY KEY ("key"),
    CONSTRAINT ck_batch_pair_weight CHECK (weight > 0 AND weight <= 1),
    CONSTRAINT uq_batch_pair_uuid UNIQUE (uuid),
    CONSTRAINT fk_batch_pair_batch_key FOREIGN KEY(batch_key) REFERENCES batch ("key"),
    CONSTRAINT fk_batch_pair_sire_key FOREIGN KEY(sire_key) REFERENCES bird ("key"),
    CONSTRAINT fk_batch_pair_dam_key FOREIGN KEY(dam_key) REFERENCES bird ("key")
) STRICT;

CREATE INDEX ix_batch_pair_batch_key ON batch_pair (batch_key);

CREATE TABLE candling (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    batch_key INTEGER NOT NULL,
    "on" TEXT NOT NULL,
    alive INTEGER NOT NULL,
    clear INTEGER NOT NULL,
    early_dead INTEGER NOT NULL,
    late_dead INTEGER NOT NULL,
    doubtful INTEGER NOT NULL,
    pipped INTEGER NOT NULL,
    note TEXT NOT NULL,
    CONSTRAINT pk_candling PRIMARY KEY ("key"),
    CONSTRAINT uq_candling_uuid UNIQUE (uuid),
    CONSTRAINT fk_candling_batch_key FOREIGN KEY(batch_key) REFERENCES batch ("key")
) STRICT;

CREATE INDEX ix_candling_batch_key ON candling (batch_key);

CREATE TABLE egg_fate (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    batch_key INTEGER NOT NULL,
    fate TEXT NOT NULL,
    eggs INTEGER NOT NULL,
    "on" TEXT,
    helped INTEGER NOT NULL,
    died INTEGER NOT NULL,
    note TEXT NOT NULL,
    CONSTRAINT pk_egg_fate PRIMARY KEY ("key"),
    CONSTRAINT ck_egg_fate_eggs CHECK (eggs > 0),
    CONSTRAINT uq_egg_fate_uuid UNIQUE (uuid),
    CONSTRAINT fk_egg_fate_batch_key FOREIGN KEY(batch_key) REFERENCES batch ("key")
) STRICT;

CREATE INDEX ix_egg_fate_batch_key ON egg_fate (batch_key);

CREATE TABLE hatchling (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    bird_key INTEGER NOT NULL,
    batch_key INTEGER NOT NULL,
    CONSTRAINT pk_hatchling PRIMARY KEY ("key"),
    CONSTRAINT uq_hatchling_uuid UNIQUE (uuid),
    CONSTRAINT fk_hatchling_bird_key FOREIGN KEY(bird_key) REFERENCES bird ("key"),
    CONSTRAINT fk_hatchling_batch_key FOREIGN KEY(batch_key) REFERENCES batch ("key")
) STRICT;

CREATE INDEX ix_hatchling_batch_key ON hatchling (batch_key);

CREATE INDEX ix_hatchling_bird_key ON hatchling (bird_key);

CREATE TABLE mixed_in (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    batch_key INTEGER NOT NULL,
    eggs INTEGER NOT NULL,
    pen_key INTEGER,
    hen_key INTEGER,
    laid_from TEXT,
    laid_to TEXT,
    CONSTRAINT pk_mixed_in PRIMARY KEY ("key"),
    CONSTRAINT ck_mixed_in_eggs CHECK (eggs > 0),
    CONSTRAINT uq_mixed_in_uuid UNIQUE (uuid),
    CONSTRAINT fk_mixed_in_batch_key FOREIGN KEY(batch_key) REFERENCES batch ("key"),
    CONSTRAINT fk_mixed_in_pen_key FOREIGN KEY(pen_key) REFERENCES pen ("key"),
    CONSTRAINT fk_mixed_in_hen_key FOREIGN KEY(hen_key) REFERENCES bird ("key")
) STRICT;

CREATE INDEX ix_mixed_in_batch_key ON mixed_in (batch_key);

CREATE INDEX ix_mixed_in_hen_key ON mixed_in (hen_key);

CREATE INDEX ix_mixed_in_pen_key ON mixed_in (pen_key);
"""


def create_tables(connection: sqlite3.Connection) -> None:
    """Make the tables of the year."""
    for statement in _TABLES.split(";\n"):
        if statement.strip():
            connection.execute(statement)
