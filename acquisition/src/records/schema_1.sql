-- Version 1. Times are pairs: microseconds since 1970 (UTC), and local time minus UTC in seconds.

CREATE TABLE people (
    code          TEXT    NOT NULL PRIMARY KEY CHECK (length(code) BETWEEN 1 AND 32),
    name          TEXT    CHECK (length(name) BETWEEN 1 AND 200),
    birth_year    INTEGER CHECK (birth_year BETWEEN 1850 AND 2200),
    height_m      REAL    CHECK (0.3 <= height_m AND height_m <= 3),
    mass_kg       REAL    CHECK (1 <= mass_kg AND mass_kg <= 1000),
    affected_side TEXT    CHECK (affected_side IN ('none', 'left', 'right', 'both'))
) STRICT, WITHOUT ROWID;

-- A plan is a document that is never changed: a change is a new version.
CREATE TABLE plans (
    id            TEXT    NOT NULL PRIMARY KEY,
    person        TEXT    NOT NULL REFERENCES people (code) ON DELETE CASCADE,
    version       INTEGER NOT NULL CHECK (1 <= version),
    author        TEXT    NOT NULL CHECK (length(author) BETWEEN 1 AND 200),
    made_unix_us  INTEGER NOT NULL,
    made_offset_s INTEGER NOT NULL,
    content       TEXT    NOT NULL,
    UNIQUE (person, version)
) STRICT, WITHOUT ROWID;

CREATE TABLE sessions (
    id               TEXT    NOT NULL PRIMARY KEY,
    person           TEXT    NOT NULL REFERENCES people (code) ON DELETE CASCADE,
    plan             TEXT    REFERENCES plans (id),
    place            TEXT    NOT NULL CHECK (place IN ('clinic', 'home')),
    started_unix_us  INTEGER NOT NULL,
    started_offset_s INTEGER NOT NULL,
    ended_unix_us    INTEGER CHECK (started_unix_us <= ended_unix_us)
) STRICT, WITHOUT ROWID;

CREATE INDEX sessions_of_person ON sessions (person, started_unix_us);

-- NULL is "not asked or not answered", never zero and never no.
CREATE TABLE answers (
    session                  TEXT    NOT NULL PRIMARY KEY REFERENCES sessions (id) ON DELETE CASCADE,
    pain_at_start            INTEGER CHECK (pain_at_start BETWEEN 0 AND 10),
    worst_pain_during        INTEGER CHECK (worst_pain_during BETWEEN 0 AND 10),
    pain_after               INTEGER CHECK (pain_after BETWEEN 0 AND 10),
    pain_next_morning        INTEGER CHECK (pain_next_morning BETWEEN 0 AND 10),
    next_morning_answered_us INTEGER,
    fall                     INTEGER CHECK (fall IN (0, 1)),
    warning_sign             INTEGER CHECK (warning_sign IN (0, 1)),
    leg_pain_further_down    INTEGER CHECK (leg_pain_further_down IN (0, 1)),
    numbness_or_weakness     INTEGER CHECK (numbness_or_weakness IN (0, 1)),
    CHECK ((pain_next_morning IS NULL) = (next_morning_answered_us IS NULL))
) STRICT, WITHOUT ROWID;

CREATE TABLE exercise_answers (
    session           TEXT    NOT NULL REFERENCES sessions (id) ON DELETE CASCADE,
    condition         TEXT    NOT NULL,
    difficulty        INTEGER CHECK (difficulty BETWEEN 0 AND 10),
    touched_something INTEGER CHECK (touched_something IN (0, 1)),
    PRIMARY KEY (session, condition)
) STRICT, WITHOUT ROWID;

-- What the trial files say, and the digest of each file. All of it can be read from them again.
CREATE TABLE trials (
    key              INTEGER PRIMARY KEY,
    id               TEXT    NOT NULL UNIQUE,
    digest           TEXT    NOT NULL CHECK (length(digest) = 64),
    person           TEXT    NOT NULL REFERENCES people (code) ON DELETE CASCADE,
    session          TEXT    REFERENCES sessions (id) ON DELETE SET NULL,
    plan             TEXT,
    condition        TEXT    NOT NULL,
    kind             TEXT    NOT NULL,
    board            TEXT    NOT NULL,
    sole_height_mm   REAL,
    facing           TEXT    NOT NULL,
    body_height_m    REAL,
    body_mass_kg     REAL,
    started_unix_us  INTEGER NOT NULL,
    started_offset_s INTEGER NOT NULL,
    settled_s        REAL    NOT NULL,
    asked_s          REAL    NOT NULL,
    program          TEXT    NOT NULL,
    n_samples        INTEGER NOT NULL CHECK (1 <= n_samples),
    ended            TEXT
) STRICT;

CREATE INDEX trials_of_person ON trials (person, started_unix_us);
CREATE INDEX trials_of_session ON trials (session);

-- What was measured in a trial, with the settings and the program that made it.
CREATE TABLE measurements (
    key                 INTEGER PRIMARY KEY,
    trial               INTEGER NOT NULL REFERENCES trials (key) ON DELETE CASCADE,
    processing          TEXT    NOT NULL,
    program             TEXT    NOT NULL,
    body_height_assumed INTEGER NOT NULL CHECK (body_height_assumed IN (0, 1)),
    not_available       TEXT,
    UNIQUE (trial, processing)
) STRICT;

CREATE TABLE measures (
    measurement INTEGER NOT NULL REFERENCES measurements (key) ON DELETE CASCADE,
    measure     TEXT    NOT NULL,
    value       REAL    NOT NULL,
    PRIMARY KEY (measurement, measure)
) STRICT, WITHOUT ROWID;

-- What a clinician decided, beside what the program had advised.
CREATE TABLE decisions (
    id            TEXT    NOT NULL PRIMARY KEY,
    person        TEXT    NOT NULL REFERENCES people (code) ON DELETE CASCADE,
    made_unix_us  INTEGER NOT NULL,
    made_offset_s INTEGER NOT NULL,
    author        TEXT    NOT NULL CHECK (length(author) BETWEEN 1 AND 200),
    condition     TEXT    NOT NULL,
    advice        TEXT,
    note          TEXT    NOT NULL CHECK (length(note) <= 10000)
) STRICT, WITHOUT ROWID;

CREATE INDEX decisions_of_person ON decisions (person, made_unix_us);

-- That a person's data were erased; the code stays, what it stood for does not.
CREATE TABLE erasures (
    key              INTEGER PRIMARY KEY,
    person           TEXT    NOT NULL,
    author           TEXT    NOT NULL CHECK (length(author) BETWEEN 1 AND 200),
    begun_unix_us    INTEGER NOT NULL,
    begun_offset_s   INTEGER NOT NULL,
    n_trials         INTEGER NOT NULL,
    finished         INTEGER NOT NULL CHECK (finished IN (0, 1))
) STRICT;
