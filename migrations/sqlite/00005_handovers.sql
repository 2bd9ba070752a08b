-- What other trades must bring an area to, and the history of what they promised.

-- +goose Up
-- A date left empty is not known. actual rules, then forecast (our own view), then promised.
CREATE TABLE handovers (
    id         INTEGER PRIMARY KEY AUTOINCREMENT,
    area_id    INTEGER  NOT NULL REFERENCES areas (id) ON DELETE CASCADE,
    condition  TEXT     NOT NULL CHECK (condition <> ''),
    trade      TEXT     NOT NULL DEFAULT '',
    promised   DATE,
    forecast   DATE,
    actual     DATE,
    note       TEXT     NOT NULL DEFAULT '',
    version    INTEGER  NOT NULL DEFAULT 1,
    created_at DATETIME NOT NULL,
    updated_at DATETIME NOT NULL,
    UNIQUE (area_id, condition)
);

-- Append-only: one line for each date that changed.
CREATE TABLE handover_changes (
    id          INTEGER PRIMARY KEY AUTOINCREMENT,
    handover_id INTEGER  NOT NULL REFERENCES handovers (id) ON DELETE CASCADE,
    at          DATETIME NOT NULL,
    user_id     INTEGER  REFERENCES users (id) ON DELETE SET NULL,
    field       TEXT     NOT NULL CHECK (field IN ('promised', 'forecast', 'actual')),
    old_date    DATE,
    new_date    DATE,
    cause       TEXT     NOT NULL DEFAULT '',
    source      TEXT     NOT NULL DEFAULT ''
);
CREATE INDEX handover_changes_by_handover ON handover_changes (handover_id, at);
CREATE INDEX handover_changes_by_time ON handover_changes (at);
