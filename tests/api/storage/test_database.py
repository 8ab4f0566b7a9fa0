"""A database made by an earlier version opens, and nothing in it is lost."""

from __future__ import annotations

import hashlib
import sqlite3
import zlib
from typing import TYPE_CHECKING

from api.storage.database import FORMAT
from api.storage.kept import Draft
from api.storage.store import Store

if TYPE_CHECKING:
    from pathlib import Path

# The tables as version 0.1.0 of the program made them.
FORM_1 = """
CREATE TABLE about (format INTEGER NOT NULL, PRIMARY KEY (format));
CREATE TABLE plans (id VARCHAR(40) NOT NULL, cursor INTEGER NOT NULL, newest INTEGER NOT NULL,
    saved_at VARCHAR(32) NOT NULL, PRIMARY KEY (id));
CREATE TABLE pictures (name VARCHAR(64) NOT NULL, data BLOB NOT NULL, PRIMARY KEY (name));
CREATE TABLE revisions ("plan" VARCHAR(40) NOT NULL, number INTEGER NOT NULL,
    made_at VARCHAR(32) NOT NULL, what TEXT NOT NULL, title TEXT NOT NULL, body BLOB NOT NULL,
    PRIMARY KEY ("plan", number), FOREIGN KEY("plan") REFERENCES plans (id));
CREATE TABLE uses ("plan" VARCHAR(40) NOT NULL, picture VARCHAR(64) NOT NULL,
    PRIMARY KEY ("plan", picture), FOREIGN KEY("plan") REFERENCES plans (id),
    FOREIGN KEY(picture) REFERENCES pictures (name));
INSERT INTO about VALUES (1);
"""
PICTURE = b"a picture"
NAME = hashlib.sha256(PICTURE).hexdigest()
THEN = "2026-11-25T00:00:00.000Z"


def written_by_the_earlier_version(file: Path) -> None:
    with sqlite3.connect(file) as link:
        link.executescript(FORM_1)
        link.execute("INSERT INTO plans VALUES ('0123456789abcdef', 2, 3, ?)", (THEN,))
        for number, text in ((1, "one"), (2, "two"), (3, "three")):
            row = ("0123456789abcdef", number, THEN, f"Did {text}", text, text.encode())
            link.execute(
                "INSERT INTO revisions VALUES (?, ?, ?, ?, ?, ?)",
                (*row[:5], zlib.compress(row[5])),
            )
        link.execute("INSERT INTO pictures VALUES (?, ?)", (NAME, PICTURE))
        link.execute("INSERT INTO uses VALUES ('0123456789abcdef', ?)", (NAME,))
    link.close()


def test_a_database_of_the_earlier_version_opens_with_everything_in_it(tmp_path: Path) -> None:
    file, plan = tmp_path / "plans.sqlite3", "0123456789abcdef"
    written_by_the_earlier_version(file)
    for _ in range(2):
        store = Store(file)
        assert [(e.id, e.title, e.family) for e in store.plans()] == [(plan, "two", plan)]
        assert store.get(plan).body == "two"
        assert [line.what for line in store.revisions(plan)] == ["Did one", "Did two", "Did three"]
        assert store.redo(plan).body == "three"
        assert store.undo(plan).body == "two"
        assert store.picture(NAME) == PICTURE
        store.close()
    with sqlite3.connect(file) as link:
        assert link.execute("SELECT max(format) FROM about").fetchone() == (FORMAT,)
    link.close()


def test_a_plan_of_the_earlier_version_can_have_variants_and_a_link(tmp_path: Path) -> None:
    file, plan = tmp_path / "plans.sqlite3", "0123456789abcdef"
    written_by_the_earlier_version(file)
    store = Store(file)
    copy = store.add(Draft("copy", "two", "Began", {}), like=plan).id
    assert [entry.id for entry in store.family(copy)] == [plan, copy]
    assert store.linked(store.link(plan)) == plan
    store.delete(plan)
    assert store.picture(NAME) == PICTURE
    store.close()
