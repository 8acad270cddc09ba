"""The first schema: book details, birds, marks, parentage, photos, contacts, certificates, journal."""

import sqlite3

_TABLES = """
CREATE TABLE contact (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    name TEXT NOT NULL,
    address TEXT NOT NULL,
    phone TEXT NOT NULL,
    email TEXT NOT NULL,
    note TEXT NOT NULL,
    CONSTRAINT pk_contact PRIMARY KEY ("key"),
    CONSTRAINT uq_contact_uuid UNIQUE (uuid)
) STRICT;

CREATE TABLE details (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    keeper TEXT NOT NULL,
    yard TEXT NOT NULL,
    address TEXT NOT NULL,
    flock_registration TEXT NOT NULL,
    species TEXT NOT NULL,
    breed TEXT NOT NULL,
    sample INTEGER NOT NULL,
    CONSTRAINT pk_details PRIMARY KEY ("key"),
    CONSTRAINT uq_details_uuid UNIQUE (uuid)
) STRICT;

CREATE TABLE journal (
    number INTEGER NOT NULL,
    at TEXT NOT NULL,
    kind TEXT NOT NULL,
    target INTEGER,
    label TEXT NOT NULL,
    why TEXT NOT NULL,
    schema_version INTEGER NOT NULL,
    images TEXT NOT NULL,
    hash TEXT NOT NULL,
    CONSTRAINT pk_journal PRIMARY KEY (number)
) STRICT;

CREATE TABLE origin (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    name TEXT NOT NULL,
    self_relationship REAL NOT NULL,
    note TEXT NOT NULL,
    CONSTRAINT pk_origin PRIMARY KEY ("key"),
    CONSTRAINT ck_origin_self_relationship CHECK (self_relationship BETWEEN 0 AND 2),
    CONSTRAINT uq_origin_uuid UNIQUE (uuid)
) STRICT;

CREATE TABLE picture (
    sha256 TEXT NOT NULL,
    content BLOB NOT NULL,
    thumbnail BLOB NOT NULL,
    CONSTRAINT pk_picture PRIMARY KEY (sha256)
) STRICT;

CREATE TABLE bird (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    name TEXT NOT NULL,
    species TEXT NOT NULL,
    breed TEXT NOT NULL,
    sex TEXT NOT NULL,
    hatched TEXT NOT NULL,
    colour TEXT NOT NULL,
    comb TEXT NOT NULL,
    note TEXT NOT NULL,
    placeholder INTEGER NOT NULL,
    founder INTEGER NOT NULL,
    origin_key INTEGER,
    breeder_key INTEGER,
    rearer_key INTEGER,
    arrived TEXT,
    status TEXT NOT NULL,
    "left" TEXT NOT NULL,
    cause TEXT NOT NULL,
    taker_key INTEGER,
    struck TEXT,
    CONSTRAINT pk_bird PRIMARY KEY ("key"),
    CONSTRAINT uq_bird_uuid UNIQUE (uuid),
    CONSTRAINT fk_bird_origin_key FOREIGN KEY(origin_key) REFERENCES origin ("key"),
    CONSTRAINT fk_bird_breeder_key FOREIGN KEY(breeder_key) REFERENCES contact ("key"),
    CONSTRAINT fk_bird_rearer_key FOREIGN KEY(rearer_key) REFERENCES bird ("key"),
    CONSTRAINT fk_bird_taker_key FOREIGN KEY(taker_key) REFERENCES contact ("key")
) STRICT;

CREATE INDEX ix_bird_rearer_key ON bird (rearer_key);

CREATE TABLE certificate (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    number TEXT NOT NULL,
    bird_key INTEGER NOT NULL,
    issued TEXT NOT NULL,
    owner TEXT NOT NULL,
    checksum TEXT NOT NULL,
    generations INTEGER NOT NULL,
    paper TEXT NOT NULL,
    CONSTRAINT pk_certificate PRIMARY KEY ("key"),
    CONSTRAINT uq_certificate_uuid UNIQUE (uuid),
    CONSTRAINT uq_certificate_number UNIQUE (number),
    CONSTRAINT fk_certificate_bird_key FOREIGN KEY(bird_key) REFERENCES bird ("key")
) STRICT;

CREATE INDEX ix_certificate_bird_key ON certificate (bird_key);

CREATE TABLE mark (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    bird_key INTEGER NOT NULL,
    kind TEXT NOT NULL,
    code TEXT NOT NULL,
    place TEXT NOT NULL,
    colour TEXT NOT NULL,
    size TEXT NOT NULL,
    since TEXT NOT NULL,
    until TEXT,
    CONSTRAINT pk_mark PRIMARY KEY ("key"),
    CONSTRAINT ck_mark_code CHECK (code <> ''),
    CONSTRAINT uq_mark_uuid UNIQUE (uuid),
    CONSTRAINT fk_mark_bird_key FOREIGN KEY(bird_key) REFERENCES bird ("key")
) STRICT;

CREATE INDEX ix_mark_bird_key ON mark (bird_key);

CREATE INDEX ix_mark_code ON mark (code);

CREATE TABLE note (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    bird_key INTEGER NOT NULL,
    "on" TEXT NOT NULL,
    text TEXT NOT NULL,
    CONSTRAINT pk_note PRIMARY KEY ("key"),
    CONSTRAINT uq_note_uuid UNIQUE (uuid),
    CONSTRAINT fk_note_bird_key FOREIGN KEY(bird_key) REFERENCES bird ("key")
) STRICT;

CREATE INDEX ix_note_bird_key ON note (bird_key);

CREATE TABLE parentage (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    bird_key INTEGER NOT NULL,
    sire_key INTEGER,
    dam_key INTEGER,
    weight REAL NOT NULL,
    basis TEXT NOT NULL,
    reason TEXT NOT NULL,
    CONSTRAINT pk_parentage PRIMARY KEY ("key"),
    CONSTRAINT ck_parentage_weight CHECK (weight > 0 AND weight <= 1),
    CONSTRAINT uq_parentage_uuid UNIQUE (uuid),
    CONSTRAINT fk_parentage_bird_key FOREIGN KEY(bird_key) REFERENCES bird ("key"),
    CONSTRAINT fk_parentage_sire_key FOREIGN KEY(sire_key) REFERENCES bird ("key"),
    CONSTRAINT fk_parentage_dam_key FOREIGN KEY(dam_key) REFERENCES bird ("key")
) STRICT;

CREATE INDEX ix_parentage_bird_key ON parentage (bird_key);

CREATE INDEX ix_parentage_dam_key ON parentage (dam_key);

CREATE INDEX ix_parentage_sire_key ON parentage (sire_key);

CREATE TABLE photo (
    "key" INTEGER NOT NULL,
    uuid TEXT NOT NULL,
    bird_key INTEGER NOT NULL,
    sha256 TEXT NOT NULL,
    width INTEGER NOT NULL,
    height INTEGER NOT NULL,
    caption TEXT NOT NULL,
    taken TEXT NOT NULL,
    CONSTRAINT pk_photo PRIMARY KEY ("key"),
    CONSTRAINT uq_photo_uuid UNIQUE (uuid),
    CONSTRAINT fk_photo_bird_key FOREIGN KEY(bird_key) REFERENCES bird ("key"),
    CONSTRAINT fk_photo_sha256 FOREIGN KEY(sha256) REFERENCES picture (sha256)
) STRICT;

CREATE INDEX ix_photo_bird_key ON photo (bird_key);

CREATE VIRTUAL TABLE bird_search USING fts5(words, tokenize='trigram');
"""


def create_tables(connection: sqlite3.Connection) -> None:
    """Make every table of the first schema."""
    for statement in _TABLES.split(";\n"):
        if statement.strip():
            connection.execute(statement)
