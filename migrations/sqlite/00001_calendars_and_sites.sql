-- Working calendars (weekly shifts, holidays, exceptions) and the sites that crews travel between.
-- Clock times are whole minutes after local midnight, half-open: from_minute <= t < to_minute.

-- +goose Up
CREATE TABLE calendars (
    id           INTEGER PRIMARY KEY AUTOINCREMENT,
    code         TEXT     NOT NULL UNIQUE CHECK (code <> ''),
    name         TEXT     NOT NULL CHECK (name <> ''),
    zone         TEXT     NOT NULL CHECK (zone <> ''),
    holiday_rule TEXT     NOT NULL DEFAULT 'none' CHECK (holiday_rule IN ('none', 'us_federal', 'building_trades')),
    version      INTEGER  NOT NULL DEFAULT 1,
    created_at   DATETIME NOT NULL,
    updated_at   DATETIME NOT NULL
);

-- weekday: 0 Sunday to 6 Saturday.
CREATE TABLE calendar_shifts (
    id          INTEGER PRIMARY KEY AUTOINCREMENT,
    calendar_id INTEGER NOT NULL REFERENCES calendars (id) ON DELETE CASCADE,
    weekday     INTEGER NOT NULL CHECK (weekday BETWEEN 0 AND 6),
    from_minute INTEGER NOT NULL CHECK (from_minute >= 0),
    to_minute   INTEGER NOT NULL CHECK (to_minute <= 1440),
    CHECK (from_minute < to_minute),
    UNIQUE (calendar_id, weekday, from_minute)
);

-- A shutdown is a holiday of several days: last_day is its last day without work.
CREATE TABLE calendar_holidays (
    id          INTEGER PRIMARY KEY AUTOINCREMENT,
    calendar_id INTEGER NOT NULL REFERENCES calendars (id) ON DELETE CASCADE,
    first_day   DATE    NOT NULL,
    last_day    DATE    NOT NULL,
    name        TEXT    NOT NULL DEFAULT '',
    CHECK (first_day <= last_day),
    UNIQUE (calendar_id, first_day)
);

-- The shifts of an exception replace those of its day; an exception without shifts is a day off.
CREATE TABLE calendar_exceptions (
    id          INTEGER PRIMARY KEY AUTOINCREMENT,
    calendar_id INTEGER NOT NULL REFERENCES calendars (id) ON DELETE CASCADE,
    day         DATE    NOT NULL,
    note        TEXT    NOT NULL DEFAULT '',
    UNIQUE (calendar_id, day)
);

CREATE TABLE calendar_exception_shifts (
    id           INTEGER PRIMARY KEY AUTOINCREMENT,
    exception_id INTEGER NOT NULL REFERENCES calendar_exceptions (id) ON DELETE CASCADE,
    from_minute  INTEGER NOT NULL CHECK (from_minute >= 0),
    to_minute    INTEGER NOT NULL CHECK (to_minute <= 1440),
    CHECK (from_minute < to_minute),
    UNIQUE (exception_id, from_minute)
);

CREATE TABLE sites (
    id         INTEGER PRIMARY KEY AUTOINCREMENT,
    code       TEXT     NOT NULL UNIQUE CHECK (code <> ''),
    name       TEXT     NOT NULL CHECK (name <> ''),
    address    TEXT     NOT NULL DEFAULT '',
    zone       TEXT     NOT NULL CHECK (zone <> ''),
    version    INTEGER  NOT NULL DEFAULT 1,
    created_at DATETIME NOT NULL,
    updated_at DATETIME NOT NULL
);

-- Crew working minutes lost between two sites; counts both ways unless both directions are given.
CREATE TABLE site_travel (
    id           INTEGER PRIMARY KEY AUTOINCREMENT,
    from_site_id INTEGER NOT NULL REFERENCES sites (id) ON DELETE CASCADE,
    to_site_id   INTEGER NOT NULL REFERENCES sites (id) ON DELETE CASCADE,
    minutes      INTEGER NOT NULL CHECK (minutes >= 0),
    CHECK (from_site_id <> to_site_id),
    UNIQUE (from_site_id, to_site_id)
);
