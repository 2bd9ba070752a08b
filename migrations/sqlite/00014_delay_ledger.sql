-- Who caused which days: the ledger of each window between two plans, what people confirmed of it, notices and contract terms.

-- +goose Up
-- One row a project: days from an event to the notice that the contract asks for, by kind of cause; NULL where none is agreed.
CREATE TABLE delay_terms (
    project_id    INTEGER PRIMARY KEY REFERENCES projects (id) ON DELETE CASCADE,
    trade_days    INTEGER CHECK (trade_days >= 0),
    gc_days       INTEGER CHECK (gc_days >= 0),
    supplier_days INTEGER CHECK (supplier_days >= 0),
    weather_days  INTEGER CHECK (weather_days >= 0),
    float_owner   TEXT NOT NULL DEFAULT 'first_use' CHECK (float_owner IN ('first_use', 'gc', 'us')),
    pacing        BOOLEAN NOT NULL DEFAULT FALSE,
    version       INTEGER NOT NULL DEFAULT 1,
    created_at    DATETIME NOT NULL,
    updated_at    DATETIME NOT NULL
);

-- A computed window: from a plan that a project issued to the next one, or to the latest draft. Computed once and never changed.
CREATE TABLE ledger_windows (
    id           INTEGER PRIMARY KEY AUTOINCREMENT,
    project_id   INTEGER NOT NULL REFERENCES projects (id) ON DELETE CASCADE,
    from_plan_id INTEGER NOT NULL REFERENCES plans (id) ON DELETE CASCADE,
    to_plan_id   INTEGER NOT NULL REFERENCES plans (id) ON DELETE CASCADE,
    computed_at  DATETIME NOT NULL,
    replans      INTEGER NOT NULL,
    UNIQUE (project_id, from_plan_id, to_plan_id)
);

CREATE TABLE ledger_dates (
    id              INTEGER PRIMARY KEY AUTOINCREMENT,
    window_id       INTEGER NOT NULL REFERENCES ledger_windows (id) ON DELETE CASCADE,
    gc_date_id      INTEGER NOT NULL REFERENCES gc_dates (id) ON DELETE CASCADE,
    due_before      DATETIME,
    due_after       DATETIME,
    forecast_before DATETIME,
    forecast_after  DATETIME,
    moved_minutes   INTEGER NOT NULL,
    alone_minutes   INTEGER NOT NULL,
    UNIQUE (window_id, gc_date_id)
);
CREATE INDEX ledger_dates_by_date ON ledger_dates (gc_date_id);

-- line_key names the event for good: the same event has the same key in every window.
CREATE TABLE ledger_lines (
    id         INTEGER PRIMARY KEY AUTOINCREMENT,
    window_id  INTEGER NOT NULL REFERENCES ledger_windows (id) ON DELETE CASCADE,
    position   INTEGER NOT NULL,
    line_key   TEXT NOT NULL,
    cause      TEXT NOT NULL,
    kind       TEXT NOT NULL,
    at         DATETIME NOT NULL,
    text       TEXT NOT NULL,
    party      TEXT NOT NULL DEFAULT '',
    evidence   TEXT NOT NULL DEFAULT '[]' CHECK (json_valid(evidence)),
    UNIQUE (window_id, position)
);

-- What a line did to a GC date; counted_with and concurrent are positions of other lines of the window.
CREATE TABLE ledger_parts (
    id            INTEGER PRIMARY KEY AUTOINCREMENT,
    date_id       INTEGER NOT NULL REFERENCES ledger_dates (id) ON DELETE CASCADE,
    line_id       INTEGER NOT NULL REFERENCES ledger_lines (id) ON DELETE CASCADE,
    minutes       INTEGER NOT NULL,
    alone_minutes INTEGER NOT NULL,
    counted_with  INTEGER,
    concurrent    TEXT NOT NULL DEFAULT '[]' CHECK (json_valid(concurrent)),
    lost          BOOLEAN NOT NULL DEFAULT FALSE,
    UNIQUE (date_id, line_id)
);

-- What a person confirmed of an event for a GC date; it holds in every window in which the event shows.
CREATE TABLE ledger_confirmations (
    id          INTEGER PRIMARY KEY AUTOINCREMENT,
    gc_date_id  INTEGER NOT NULL REFERENCES gc_dates (id) ON DELETE CASCADE,
    line_key    TEXT NOT NULL,
    party       TEXT NOT NULL CHECK (party <> ''),
    excusable   BOOLEAN NOT NULL,
    compensable BOOLEAN NOT NULL,
    note        TEXT NOT NULL DEFAULT '',
    user_id     INTEGER REFERENCES users (id) ON DELETE SET NULL,
    actor       TEXT NOT NULL,
    version     INTEGER NOT NULL DEFAULT 1,
    created_at  DATETIME NOT NULL,
    updated_at  DATETIME NOT NULL,
    UNIQUE (gc_date_id, line_key),
    CHECK (excusable OR NOT compensable)
);

-- A notice of an event that was sent to the general contractor.
CREATE TABLE delay_notices (
    id         INTEGER PRIMARY KEY AUTOINCREMENT,
    project_id INTEGER NOT NULL REFERENCES projects (id) ON DELETE CASCADE,
    line_key   TEXT NOT NULL,
    sent_on    DATE NOT NULL,
    reference  TEXT NOT NULL DEFAULT '',
    user_id    INTEGER REFERENCES users (id) ON DELETE SET NULL,
    actor      TEXT NOT NULL,
    version    INTEGER NOT NULL DEFAULT 1,
    created_at DATETIME NOT NULL,
    updated_at DATETIME NOT NULL,
    UNIQUE (project_id, line_key)
);
