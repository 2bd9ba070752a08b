-- Forecasts of the GC dates of a plan: every night's and every one that a person asked for.

-- +goose Up
-- A forecast that a person asks for is a job: it waits, runs with its progress in samples_done of samples_most, and ends. Where
-- cancel_at is set it stops at the next batch of samples. spread is by how much all spreads were widened.
CREATE TABLE forecasts (
    id           INTEGER PRIMARY KEY AUTOINCREMENT,
    plan_id      INTEGER  NOT NULL REFERENCES plans (id) ON DELETE CASCADE,
    because      TEXT     NOT NULL CHECK (because IN ('night', 'person')),
    state        TEXT     NOT NULL CHECK (state IN ('waiting', 'running', 'done', 'failed', 'cancelled')),
    asked_at     DATETIME NOT NULL,
    user_id      INTEGER  REFERENCES users (id) ON DELETE SET NULL,
    asked_by     TEXT     NOT NULL DEFAULT '',
    made_at      DATETIME,
    cancel_at    DATETIME,
    samples_done INTEGER  NOT NULL DEFAULT 0,
    samples_most INTEGER  NOT NULL DEFAULT 0,
    seed         TEXT     NOT NULL DEFAULT '0',
    stopped_by   TEXT     NOT NULL DEFAULT '',
    spread       REAL     NOT NULL DEFAULT 1,
    elapsed_ms   INTEGER  NOT NULL DEFAULT 0,
    failure      TEXT     NOT NULL DEFAULT '',
    notes        TEXT     NOT NULL DEFAULT '[]' CHECK (json_valid(notes))
);
CREATE INDEX forecasts_by_plan ON forecasts (plan_id, state);
CREATE INDEX forecasts_by_state ON forecasts (state, id);

-- done_at is when the last work of the date was finished, once all of it is: what the forecasts before it are held against.
CREATE TABLE forecast_dates (
    id            INTEGER PRIMARY KEY AUTOINCREMENT,
    forecast_id   INTEGER  NOT NULL REFERENCES forecasts (id) ON DELETE CASCADE,
    gc_date_id    INTEGER  NOT NULL REFERENCES gc_dates (id) ON DELETE CASCADE,
    due_at        DATETIME NOT NULL,
    plan_at       DATETIME,
    p10_at        DATETIME,
    p50_at        DATETIME,
    p80_at        DATETIME,
    p90_at        DATETIME,
    p80_low_at    DATETIME,
    p80_high_at   DATETIME,
    settled       BOOLEAN  NOT NULL,
    chance        REAL,
    late_days     REAL     NOT NULL,
    damages       REAL     NOT NULL,
    unfinished    INTEGER  NOT NULL,
    done_at       DATETIME,
    sensitivities TEXT     NOT NULL DEFAULT '[]' CHECK (json_valid(sensitivities)),
    criticality   TEXT     NOT NULL DEFAULT '[]' CHECK (json_valid(criticality)),
    UNIQUE (forecast_id, gc_date_id)
);
CREATE INDEX forecast_dates_by_date ON forecast_dates (gc_date_id, forecast_id);

-- Why the night has a plan and no forecast; empty when it has both.
ALTER TABLE nights ADD COLUMN forecast_trouble TEXT NOT NULL DEFAULT '';
