-- What people decided about hours learned from finished tasks, what those tasks were, and how many find room at one opening.

-- +goose Up
-- Only ever appended; the newest line of a kind and crew is in force. factor is labour hours against the company table, of the
-- crew when there is one, else of the kind: 1 where the table itself is kept. A decision for a crew that keeps its stated pace
-- has in_force false.
CREATE TABLE rate_decisions (
    id           INTEGER PRIMARY KEY AUTOINCREMENT,
    kind         TEXT NOT NULL CHECK (kind IN ('survey', 'order', 'deliver', 'frame', 'glaze', 'hang', 'punch')),
    crew_id      INTEGER REFERENCES crews (id) ON DELETE CASCADE,
    in_force     BOOLEAN NOT NULL,
    factor       REAL NOT NULL CHECK (factor > 0),
    spread       REAL NOT NULL DEFAULT 0 CHECK (spread >= 0),
    observations INTEGER NOT NULL DEFAULT 0 CHECK (observations >= 0),
    at           DATETIME NOT NULL,
    user_id      INTEGER REFERENCES users (id) ON DELETE SET NULL,
    actor        TEXT NOT NULL,
    note         TEXT NOT NULL DEFAULT ''
);
CREATE INDEX rate_decisions_by_kind ON rate_decisions (kind, crew_id, id);

-- The quantities and conditions of the finished task, so that its hours can be held against any table.
ALTER TABLE rate_observations ADD COLUMN basis TEXT    NOT NULL DEFAULT '{}' CHECK (json_valid(basis));

-- How many people of one crew find room at one opening, by kind of task.
ALTER TABLE firm_settings ADD COLUMN crowding TEXT NOT NULL DEFAULT '[]' CHECK (json_valid(crowding));
