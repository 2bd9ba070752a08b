-- What the firm works with on every project: suppliers, crews, shared limits, rates.

-- +goose Up
-- A supplier without a calendar works every day.
CREATE TABLE suppliers (
    id          INTEGER PRIMARY KEY AUTOINCREMENT,
    code        TEXT     NOT NULL UNIQUE CHECK (code <> ''),
    name        TEXT     NOT NULL CHECK (name <> ''),
    calendar_id INTEGER  REFERENCES calendars (id),
    contact     TEXT     NOT NULL DEFAULT '',
    note        TEXT     NOT NULL DEFAULT '',
    version     INTEGER  NOT NULL DEFAULT 1,
    created_at  DATETIME NOT NULL,
    updated_at  DATETIME NOT NULL
);

-- What a supplier makes, with its lead time from order to arrival in working days of the supplier's calendar and with what
-- must be known before it can be ordered. An empty item kind holds for every kind without a line of its own.
CREATE TABLE supplier_items (
    id          INTEGER PRIMARY KEY AUTOINCREMENT,
    supplier_id INTEGER NOT NULL REFERENCES suppliers (id) ON DELETE CASCADE,
    item_kind   TEXT    NOT NULL DEFAULT '' CHECK (item_kind IN ('', 'frame_kit', 'glass', 'leaf', 'hardware')),
    basis       TEXT    NOT NULL DEFAULT 'drawings' CHECK (basis IN ('drawings', 'survey', 'after_framing')),
    least_days  INTEGER NOT NULL CHECK (least_days >= 0),
    likely_days INTEGER NOT NULL,
    most_days   INTEGER NOT NULL,
    CHECK (least_days <= likely_days AND likely_days <= most_days),
    UNIQUE (supplier_id, item_kind)
);

CREATE TABLE crews (
    id                  INTEGER PRIMARY KEY AUTOINCREMENT,
    code                TEXT     NOT NULL UNIQUE CHECK (code <> ''),
    name                TEXT     NOT NULL CHECK (name <> ''),
    heads               INTEGER  NOT NULL CHECK (heads >= 1),
    calendar_id         INTEGER  NOT NULL REFERENCES calendars (id),
    home_site_id        INTEGER  REFERENCES sites (id) ON DELETE SET NULL,
    foreman             TEXT     NOT NULL DEFAULT '',
    note                TEXT     NOT NULL DEFAULT '',
    cost_cents_per_hour INTEGER  NOT NULL DEFAULT 0 CHECK (cost_cents_per_hour >= 0),
    active              BOOLEAN  NOT NULL DEFAULT TRUE,
    version             INTEGER  NOT NULL DEFAULT 1,
    created_at          DATETIME NOT NULL,
    updated_at          DATETIME NOT NULL
);

-- One line a kind of task that the crew can do, with its productivity against the rate table (1 = as the table).
CREATE TABLE crew_skills (
    id           INTEGER PRIMARY KEY AUTOINCREMENT,
    crew_id      INTEGER NOT NULL REFERENCES crews (id) ON DELETE CASCADE,
    kind         TEXT    NOT NULL CHECK (kind IN ('survey', 'order', 'deliver', 'frame', 'glaze', 'hang', 'punch')),
    productivity REAL    NOT NULL DEFAULT 1 CHECK (productivity > 0),
    UNIQUE (crew_id, kind)
);

-- The sites a crew may work on; none listed means all.
CREATE TABLE crew_sites (
    id      INTEGER PRIMARY KEY AUTOINCREMENT,
    crew_id INTEGER NOT NULL REFERENCES crews (id) ON DELETE CASCADE,
    site_id INTEGER NOT NULL REFERENCES sites (id) ON DELETE CASCADE,
    UNIQUE (crew_id, site_id)
);

CREATE TABLE crew_absences (
    id          INTEGER PRIMARY KEY AUTOINCREMENT,
    crew_id     INTEGER  NOT NULL REFERENCES crews (id) ON DELETE CASCADE,
    starts_at   DATETIME NOT NULL,
    finishes_at DATETIME NOT NULL,
    note        TEXT     NOT NULL DEFAULT '',
    CHECK (starts_at < finishes_at)
);
CREATE INDEX crew_absences_by_crew ON crew_absences (crew_id, starts_at);

-- Renewable capacities shared by tasks: hoist, dock, the buyer's desk. Without a site it is the firm's.
CREATE TABLE limits (
    id          INTEGER PRIMARY KEY AUTOINCREMENT,
    code        TEXT     NOT NULL UNIQUE CHECK (code <> ''),
    name        TEXT     NOT NULL CHECK (name <> ''),
    kind        TEXT     NOT NULL CHECK (kind IN ('hoist', 'dock', 'buyer')),
    site_id     INTEGER  REFERENCES sites (id) ON DELETE CASCADE,
    capacity    INTEGER  NOT NULL CHECK (capacity >= 1),
    calendar_id INTEGER  REFERENCES calendars (id),
    version     INTEGER  NOT NULL DEFAULT 1,
    created_at  DATETIME NOT NULL,
    updated_at  DATETIME NOT NULL
);

-- Labour hours a unit of a quantity (the driver), by kind of task; an empty type holds for every opening type. The company
-- table is edited by people only: what reports teach is kept in rate_observations and never overwrites it.
CREATE TABLE rates (
    id           INTEGER PRIMARY KEY AUTOINCREMENT,
    kind         TEXT     NOT NULL CHECK (kind IN ('survey', 'order', 'deliver', 'frame', 'glaze', 'hang', 'punch')),
    opening_type TEXT     NOT NULL DEFAULT '',
    driver       TEXT     NOT NULL CHECK (driver <> ''),
    hours        REAL     NOT NULL CHECK (hours >= 0),
    source       TEXT     NOT NULL DEFAULT '',
    version      INTEGER  NOT NULL DEFAULT 1,
    created_at   DATETIME NOT NULL,
    updated_at   DATETIME NOT NULL,
    UNIQUE (kind, opening_type, driver)
);

-- Factors on hours under a condition; an empty kind holds for every kind without a line of its own.
CREATE TABLE rate_factors (
    id         INTEGER PRIMARY KEY AUTOINCREMENT,
    condition  TEXT     NOT NULL CHECK (condition <> ''),
    kind       TEXT     NOT NULL DEFAULT '',
    factor     REAL     NOT NULL CHECK (factor > 0),
    source     TEXT     NOT NULL DEFAULT '',
    version    INTEGER  NOT NULL DEFAULT 1,
    created_at DATETIME NOT NULL,
    updated_at DATETIME NOT NULL,
    UNIQUE (condition, kind)
);

-- Kinds of task that take less time each time: each doubling multiplies the hours by the rate (unit model, Crawford 1944).
CREATE TABLE rate_learning (
    id            INTEGER PRIMARY KEY AUTOINCREMENT,
    kind          TEXT     NOT NULL UNIQUE CHECK (kind IN ('survey', 'order', 'deliver', 'frame', 'glaze', 'hang', 'punch')),
    rate          REAL     NOT NULL CHECK (rate >= 0.5 AND rate <= 1),
    standard_unit INTEGER  NOT NULL DEFAULT 1 CHECK (standard_unit >= 1),
    floor         REAL     NOT NULL DEFAULT 0 CHECK (floor >= 0 AND floor <= 1),
    version       INTEGER  NOT NULL DEFAULT 1,
    created_at    DATETIME NOT NULL,
    updated_at    DATETIME NOT NULL
);

-- A work pattern of our own for an opening type, as the planner's pattern value in JSON; a type without one has the usual.
CREATE TABLE work_patterns (
    id           INTEGER PRIMARY KEY AUTOINCREMENT,
    opening_type TEXT     NOT NULL UNIQUE CHECK (opening_type <> ''),
    body         TEXT     NOT NULL CHECK (json_valid(body)),
    version      INTEGER  NOT NULL DEFAULT 1,
    created_at   DATETIME NOT NULL,
    updated_at   DATETIME NOT NULL
);

-- The firm's own settings: one row. A 0, or a rule of takeoff left out, reads as the planner's default.
CREATE TABLE firm_settings (
    id                       INTEGER PRIMARY KEY CHECK (id = 1),
    name                     TEXT     NOT NULL DEFAULT '',
    zone                     TEXT     NOT NULL CHECK (zone <> ''),
    buyer_calendar_id        INTEGER  REFERENCES calendars (id),
    buyer_limit_id           INTEGER  REFERENCES limits (id),
    frozen_days              INTEGER  NOT NULL DEFAULT 1 CHECK (frozen_days >= 0),
    overdue_handover_minutes INTEGER  NOT NULL DEFAULT 0 CHECK (overdue_handover_minutes >= 0),
    overdue_delivery_days    INTEGER  NOT NULL DEFAULT 0 CHECK (overdue_delivery_days >= 0),
    sealant_cure_minutes     INTEGER  NOT NULL DEFAULT 0 CHECK (sealant_cure_minutes >= 0),
    survey_needs             TEXT     NOT NULL DEFAULT '[]' CHECK (json_valid(survey_needs)),
    takeoff_rules            TEXT     NOT NULL DEFAULT '{}' CHECK (json_valid(takeoff_rules)),
    weight_lateness          REAL     CHECK (weight_lateness >= 0),
    weight_change            REAL     CHECK (weight_change >= 0),
    weight_travel            REAL     CHECK (weight_travel >= 0),
    weight_early             REAL     CHECK (weight_early >= 0),
    version                  INTEGER  NOT NULL DEFAULT 1,
    created_at               DATETIME NOT NULL,
    updated_at               DATETIME NOT NULL
);
