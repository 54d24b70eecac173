"""Where names stand in a record besides their own row: in what people wrote freely.

Found as words, in any case and with any spaces, also with letters put together; where one is part
of the name of another rider or of a horse, that one stays.
"""

from __future__ import annotations

import contextlib
import json
import re
import sqlite3
import unicodedata
from pathlib import Path

from diagram.records.people import alike

FORGOTTEN = "(forgotten)"
FREE_TEXT = {
    "person": ("note",), "horse": ("note",), "day": ("seen_by", "arena", "footing", "note"),
    "round": ("note",), "yard": ("name", "note"), "sheet": ("title", "arena"),
}  # fmt: skip
"""Columns in which people write what they like."""


def mention_of(names: set[str], others: set[str]) -> re.Pattern[str]:
    """Finds names in a text, as words and in any case; where one of them is part of the name of
    another rider or of a horse, that one is found as group ``other``."""
    taken = {alike(one) for one in others}
    # What is somebody else's name as well goes only where it is the person's own of today.
    gone = [one for one in names if alike(one) not in taken] or list(names)
    longer = [one for one in others if any(re.search(_word(name), one) for name in gone)
              and alike(one) not in {alike(name) for name in gone}]  # fmt: skip
    parts = [_words(name) for name in sorted(gone, key=len, reverse=True)]
    kept = [_words(name) for name in sorted(longer, key=len, reverse=True)]
    other = f"(?P<other>{'|'.join(kept)})" if kept else "(?P<other>(?!))"
    return re.compile(rf"(?<!\w)(?:{other}|{'|'.join(parts)})(?!\w)", re.IGNORECASE)


def _words(name: str) -> str:
    """A name with any space between its words, as a pattern."""
    return r"\s+".join(map(re.escape, name.split()))


def _word(name: str) -> str:
    return rf"(?i)(?<!\w){_words(name)}(?!\w)"


def redacted(text: str, mention: re.Pattern[str]) -> str:
    """A text without the mentions found by a pattern; the same text where there are none."""
    composed = unicodedata.normalize("NFC", text)
    new = mention.sub(lambda found: found[0] if found["other"] else FORGOTTEN, composed)
    return text if new == composed else new


def redact(connection: sqlite3.Connection, mention: re.Pattern[str]) -> int:
    """Take mentions out of all free text and of what stood there before; notes changed."""
    tables = {row[0] for row in connection.execute("SELECT name FROM sqlite_master")}
    notes = 0
    for table, columns in FREE_TEXT.items():
        for column in columns if table in tables else ():
            notes += _redact(connection, table, column, mention)
    _redact_changes(connection, mention)
    return notes


def _redact(
    connection: sqlite3.Connection, table: str, column: str, mention: re.Pattern[str]
) -> int:  # fmt: skip
    changed = 0
    select = f"SELECT rowid, {column} FROM {table} WHERE {column} IS NOT NULL"
    for key, text in list(connection.execute(select)):
        new = redacted(text, mention)
        if new != text:
            connection.execute(f"UPDATE {table} SET {column} = ? WHERE rowid = ?", (new, key))
            changed += 1
    return changed


def _redact_changes(connection: sqlite3.Connection, mention: re.Pattern[str]) -> None:
    """What was in notes before. Names of others in the same rows are left as they are."""
    select = "SELECT change_id, table_name, before, after FROM change"
    for key, table, *sides in list(connection.execute(select)):
        for column, text in zip(("before", "after"), sides, strict=True):
            row = json.loads(text) if text else {}
            free = {k: v for k, v in row.items() if k in FREE_TEXT.get(table, ()) and v}
            new = row | {k: redacted(v, mention) for k, v in free.items()}
            if new != row:
                connection.execute(
                    f"UPDATE change SET {column} = ? WHERE change_id = ?",
                    (json.dumps(new, ensure_ascii=False), key),
                )


def places_with(file: Path, name: str) -> list[str]:
    """Tables and columns in which a text still has the name; ``free pages`` for stray bytes."""
    word = re.compile(_word(name))
    found, alive = [], False
    with contextlib.closing(sqlite3.connect(f"{file.resolve().as_uri()}?mode=ro", uri=True)) as c:
        tables = c.execute("SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name")
        for (table,) in tables.fetchall():
            for column in [row[1] for row in c.execute(f"PRAGMA table_info({table})")]:
                rows = c.execute(f"SELECT {column} FROM {table}")
                texts = [_plain(table, column, text) for (text,) in rows if isinstance(text, str)]
                alive = alive or any(name in text for text in texts)
                if any(word.search(text) for text in texts):
                    found.append(f"{table}.{column}")
    raw = file.read_bytes()
    written = {name, json.dumps(name, ensure_ascii=False)[1:-1], unicodedata.normalize("NFD", name)}
    if not alive and any(one.encode() in raw for one in written):
        found.append("free pages")
    return found


def _plain(table: str, column: str, text: str) -> str:
    """A text as somebody would read it: the values of a row among the changes, composed."""
    if table == "change" and column in ("before", "after"):
        text = " ".join(str(value) for value in json.loads(text).values())
    return unicodedata.normalize("NFC", text)
