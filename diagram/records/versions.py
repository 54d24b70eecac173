"""The tables, version by version: each entry turns the version before it into the next one.

All tables are strict. Lengths are whole millimetres, dates are text (``2026-03-28``), rows are
in order of their ids and never of a time.
"""

from __future__ import annotations

APPLICATION_ID = 1413566533
"""Marks a file as a record, in the file's own head."""

FIRST = (
    """CREATE TABLE person (
  person_id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE,
  birth_year INTEGER CHECK (birth_year BETWEEN 1900 AND 2200),
  since TEXT NOT NULL CHECK (since GLOB '????-??-??'), until TEXT,
  note TEXT NOT NULL DEFAULT '') STRICT""",
    """CREATE TABLE horse (
  horse_id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE,
  size TEXT NOT NULL CHECK (size IN ('horse','pony large','pony medium','pony small')),
  stride_mm INTEGER CHECK (stride_mm BETWEEN 1500 AND 5000),
  since TEXT NOT NULL, until TEXT, note TEXT NOT NULL DEFAULT '') STRICT""",
    """CREATE TABLE pair (
  pair_id INTEGER PRIMARY KEY, person_id INTEGER NOT NULL REFERENCES person ON DELETE CASCADE,
  horse_id INTEGER NOT NULL REFERENCES horse, UNIQUE (person_id, horse_id)) STRICT""",
    """CREATE TABLE exercise (
  exercise_id INTEGER PRIMARY KEY, title TEXT NOT NULL, digest TEXT NOT NULL UNIQUE,
  file TEXT NOT NULL) STRICT""",
    """CREATE TABLE element (
  element_id INTEGER PRIMARY KEY, exercise_id INTEGER NOT NULL REFERENCES exercise,
  place INTEGER NOT NULL CHECK (place >= 1), name TEXT NOT NULL,
  shape TEXT NOT NULL CHECK (shape IN
    ('start','line','bend','turn','circle','combination','transition','finish')),
  rein TEXT CHECK (rein IN ('left','right')), strides_asked INTEGER, strides_out_asked INTEGER,
  lead_asked TEXT CHECK (lead_asked IN ('left','right')), canter_mm INTEGER,
  landing_mm INTEGER, take_off_mm INTEGER, seconds_asked REAL, pass_mark TEXT,
  tags TEXT NOT NULL DEFAULT '[]' CHECK (json_valid(tags)),
  UNIQUE (exercise_id, place)) STRICT""",
    """CREATE TABLE day (
  day_id INTEGER PRIMARY KEY, on_date TEXT NOT NULL CHECK (on_date GLOB '????-??-??'),
  seen_by TEXT NOT NULL DEFAULT '', arena TEXT NOT NULL DEFAULT '',
  footing TEXT NOT NULL DEFAULT '', sheet INTEGER, note TEXT NOT NULL DEFAULT '') STRICT""",
    """CREATE TABLE round (
  round_id INTEGER PRIMARY KEY, day_id INTEGER NOT NULL REFERENCES day,
  pair_id INTEGER NOT NULL REFERENCES pair ON DELETE CASCADE,
  exercise_id INTEGER NOT NULL REFERENCES exercise,
  number INTEGER NOT NULL CHECK (number BETWEEN 1 AND 99),
  height_mm INTEGER NOT NULL CHECK (height_mm BETWEEN 0 AND 2500),
  complete INTEGER NOT NULL DEFAULT 1 CHECK (complete IN (0,1)),
  note TEXT NOT NULL DEFAULT '', UNIQUE (day_id, pair_id, exercise_id, number)) STRICT""",
    """CREATE TABLE seen (
  round_id INTEGER NOT NULL REFERENCES round ON DELETE CASCADE,
  element_id INTEGER NOT NULL REFERENCES element,
  mark TEXT NOT NULL CHECK (mark IN ('as asked','with work','not as asked','not jumped')),
  whose TEXT CHECK (whose IN ('horse','rider','both','unknown')),
  strides INTEGER CHECK (strides BETWEEN 0 AND 99), strides_out INTEGER,
  seconds REAL CHECK (seconds > 0), lead TEXT CHECK (lead IN ('left','right')),
  height_mm INTEGER, CHECK ((mark = 'as asked') = (whose IS NULL)),
  PRIMARY KEY (round_id, element_id)) STRICT, WITHOUT ROWID""",
    """CREATE TABLE change (
  change_id INTEGER PRIMARY KEY, at TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('add','correct','undo','import','forget')),
  table_name TEXT NOT NULL, row_key TEXT NOT NULL CHECK (json_valid(row_key)),
  before TEXT CHECK (before IS NULL OR json_valid(before)),
  after TEXT CHECK (after IS NULL OR json_valid(after))) STRICT""",
    "CREATE INDEX round_pair ON round (pair_id, day_id)",
    "CREATE INDEX seen_element ON seen (element_id)",
)

SECOND = (
    # A printed sheet is remembered as it was printed, so that paper can be typed in years later.
    """CREATE TABLE sheet (
  sheet_id INTEGER PRIMARY KEY, title TEXT NOT NULL, arena TEXT NOT NULL DEFAULT '',
  height_mm INTEGER NOT NULL CHECK (height_mm BETWEEN 0 AND 2500),
  rounds INTEGER NOT NULL CHECK (rounds BETWEEN 1 AND 9)) STRICT""",
    """CREATE TABLE sheet_row (
  sheet_id INTEGER NOT NULL REFERENCES sheet ON DELETE CASCADE,
  place INTEGER NOT NULL CHECK (place >= 1),
  pair_id INTEGER NOT NULL REFERENCES pair ON DELETE CASCADE,
  PRIMARY KEY (sheet_id, place)) STRICT, WITHOUT ROWID""",
    """CREATE TABLE sheet_exercise (
  sheet_id INTEGER NOT NULL REFERENCES sheet ON DELETE CASCADE,
  place INTEGER NOT NULL CHECK (place >= 1),
  exercise_id INTEGER NOT NULL REFERENCES exercise, timed TEXT NOT NULL DEFAULT '[]'
    CHECK (json_valid(timed)),
  PRIMARY KEY (sheet_id, place)) STRICT, WITHOUT ROWID""",
    """CREATE TABLE yard (
  yard_id INTEGER PRIMARY KEY CHECK (yard_id = 1), name TEXT NOT NULL DEFAULT '',
  note TEXT NOT NULL DEFAULT '') STRICT""",
    # Changes made together are undone together.
    "ALTER TABLE change ADD COLUMN batch INTEGER NOT NULL DEFAULT 0",
    "ALTER TABLE change ADD COLUMN undoes INTEGER",
    "UPDATE change SET batch = change_id",
    "CREATE INDEX change_batch ON change (batch)",
)

THIRD = (
    # Copies made on purpose, so that who is forgotten can be forgotten there too.
    """CREATE TABLE copy (
  copy_id INTEGER PRIMARY KEY, path TEXT NOT NULL UNIQUE, made TEXT NOT NULL) STRICT""",
)

VERSIONS: tuple[tuple[str, ...], ...] = (FIRST, SECOND, THIRD)
NEWEST = len(VERSIONS)

TABLES = (
    "yard", "person", "horse", "pair", "exercise", "element", "sheet", "sheet_exercise",
    "sheet_row", "day", "round", "seen", "change", "copy",
)  # fmt: skip
"""Every table of the newest version, so that what is referred to comes first."""

NEW_IN = {"copy": 3}
"""Tables that an export of an older version does not have."""
