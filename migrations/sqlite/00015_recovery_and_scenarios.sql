-- Moves that win days back: what was looked for and found, what they cost with us, and the sets of moves that are planned by.

-- +goose Up
-- The firm's one row; without it the planner's defaults hold. Money in cents.
CREATE TABLE recovery_settings (
    id                     INTEGER  PRIMARY KEY CHECK (id = 1),
    loss                   REAL     NOT NULL CHECK (loss >= 0 AND loss < 1),
    overtime_premium       REAL     NOT NULL CHECK (overtime_premium >= 1),
    saturday_premium       REAL     NOT NULL CHECK (saturday_premium >= 1),
    hire_premium           REAL     NOT NULL CHECK (hire_premium > 0),
    hire_days              INTEGER  NOT NULL CHECK (hire_days >= 0),
    hire_at_least_days     INTEGER  NOT NULL CHECK (hire_at_least_days >= 0),
    hire_cents             INTEGER  NOT NULL CHECK (hire_cents >= 0),
    expedite_cents_per_day INTEGER  NOT NULL CHECK (expedite_cents_per_day >= 0),
    version                INTEGER  NOT NULL DEFAULT 1,
    created_at             DATETIME NOT NULL,
    updated_at             DATETIME NOT NULL
);

-- One search for moves for a GC date on a plan; result is compressed JSON.
CREATE TABLE recovery_runs (
    id          INTEGER  PRIMARY KEY AUTOINCREMENT,
    gc_date_id  INTEGER  NOT NULL REFERENCES gc_dates (id) ON DELETE CASCADE,
    plan_id     INTEGER  NOT NULL REFERENCES plans (id) ON DELETE CASCADE,
    user_id     INTEGER  REFERENCES users (id) ON DELETE SET NULL,
    asked_at    DATETIME NOT NULL,
    finished_at DATETIME,
    status      TEXT     NOT NULL CHECK (status IN ('waiting', 'running', 'done', 'failed', 'cancelled')),
    done        INTEGER  NOT NULL DEFAULT 0,
    total       INTEGER  NOT NULL DEFAULT 0,
    error       TEXT     NOT NULL DEFAULT '',
    result      BLOB
);
CREATE INDEX recovery_runs_by_date ON recovery_runs (gc_date_id, id);

-- A set of moves. In force, every problem that is made from stored rows has them in it. The forecasts and the cost are those of
-- the plan that it was tried with; plan_id is the plan that was made when it came into force.
CREATE TABLE scenarios (
    id              INTEGER  PRIMARY KEY AUTOINCREMENT,
    project_id      INTEGER  NOT NULL REFERENCES projects (id) ON DELETE CASCADE,
    gc_date_id      INTEGER  REFERENCES gc_dates (id) ON DELETE SET NULL,
    name            TEXT     NOT NULL CHECK (name <> ''),
    state           TEXT     NOT NULL CHECK (state IN ('draft', 'in_force', 'withdrawn')),
    moves           TEXT     NOT NULL CHECK (json_valid(moves)),
    forecast_before DATETIME,
    forecast_after  DATETIME,
    cost_cents      INTEGER  NOT NULL DEFAULT 0,
    user_id         INTEGER  REFERENCES users (id) ON DELETE SET NULL,
    made_by         TEXT     NOT NULL,
    plan_id         INTEGER  REFERENCES plans (id) ON DELETE SET NULL,
    in_force_at     DATETIME,
    in_force_by     TEXT     NOT NULL DEFAULT '',
    withdrawn_at    DATETIME,
    withdrawn_by    TEXT     NOT NULL DEFAULT '',
    version         INTEGER  NOT NULL DEFAULT 1,
    created_at      DATETIME NOT NULL,
    updated_at      DATETIME NOT NULL
);
CREATE INDEX scenarios_by_state ON scenarios (state, id);
