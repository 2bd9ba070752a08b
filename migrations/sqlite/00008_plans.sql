-- Plans, which cover the whole firm since crews are shared, their issue by project, baselines and nights.

-- +goose Up
CREATE TABLE plans (
    id                    INTEGER PRIMARY KEY AUTOINCREMENT,
    data_date             DATETIME NOT NULL,
    made_at               DATETIME NOT NULL,
    made_because          TEXT     NOT NULL CHECK (made_because IN ('person', 'night', 'import', 'report', 'demo')),
    user_id               INTEGER  REFERENCES users (id) ON DELETE SET NULL,
    schedules             INTEGER  NOT NULL,
    seed                  TEXT     NOT NULL,
    stopped_by            TEXT     NOT NULL,
    elapsed_ms            INTEGER  NOT NULL,
    lateness_cost         REAL     NOT NULL,
    changes               INTEGER  NOT NULL,
    travel_minutes        INTEGER  NOT NULL,
    idle_minutes          INTEGER  NOT NULL,
    makespan              DATETIME,
    objective_total       REAL     NOT NULL,
    bound_lateness_cost   REAL     NOT NULL,
    bound_lateness_proved BOOLEAN  NOT NULL,
    bound_makespan        DATETIME,
    bound_makespan_proved BOOLEAN  NOT NULL,
    bound_proved          BOOLEAN  NOT NULL,
    weight_lateness       REAL     NOT NULL,
    weight_change         REAL     NOT NULL,
    weight_travel         REAL     NOT NULL,
    weight_early          REAL     NOT NULL,
    notes                 TEXT     NOT NULL DEFAULT '[]' CHECK (json_valid(notes))
);
CREATE INDEX plans_by_time ON plans (made_at);

-- The two documents as the planner read and wrote them, compressed; apart, so that lists of plans stay light.
CREATE TABLE plan_documents (
    plan_id INTEGER PRIMARY KEY REFERENCES plans (id) ON DELETE CASCADE,
    problem BLOB NOT NULL,
    plan    BLOB NOT NULL
);

-- segments is the working time still to come, as pairs of minutes since 1970-01-01 UTC.
CREATE TABLE plan_tasks (
    id                  INTEGER PRIMARY KEY AUTOINCREMENT,
    plan_id             INTEGER  NOT NULL REFERENCES plans (id) ON DELETE CASCADE,
    task_id             INTEGER  NOT NULL REFERENCES tasks (id) ON DELETE CASCADE,
    crew_id             INTEGER  REFERENCES crews (id),
    start_at            DATETIME NOT NULL,
    resume_at           DATETIME,
    finish_at           DATETIME NOT NULL,
    segments            TEXT     NOT NULL DEFAULT '[]' CHECK (json_valid(segments)),
    early_start         DATETIME NOT NULL,
    early_finish        DATETIME NOT NULL,
    late_start          DATETIME NOT NULL,
    late_finish         DATETIME NOT NULL,
    total_float_minutes INTEGER  NOT NULL,
    free_float_minutes  INTEGER  NOT NULL,
    critical            BOOLEAN  NOT NULL,
    reason_kind         TEXT     NOT NULL,
    reason_ref          TEXT     NOT NULL DEFAULT '',
    reason_until        DATETIME,
    UNIQUE (plan_id, task_id)
);
CREATE INDEX plan_tasks_by_crew ON plan_tasks (plan_id, crew_id, start_at);
CREATE INDEX plan_tasks_by_task ON plan_tasks (task_id);

CREATE TABLE plan_dates (
    id            INTEGER PRIMARY KEY AUTOINCREMENT,
    plan_id       INTEGER  NOT NULL REFERENCES plans (id) ON DELETE CASCADE,
    gc_date_id    INTEGER  NOT NULL REFERENCES gc_dates (id) ON DELETE CASCADE,
    due_at        DATETIME NOT NULL,
    forecast_at   DATETIME,
    float_minutes INTEGER  NOT NULL,
    late_days     REAL     NOT NULL,
    driving_chain TEXT     NOT NULL DEFAULT '[]' CHECK (json_valid(driving_chain)),
    UNIQUE (plan_id, gc_date_id)
);

CREATE TABLE plan_unplanned (
    id      INTEGER PRIMARY KEY AUTOINCREMENT,
    plan_id INTEGER NOT NULL REFERENCES plans (id) ON DELETE CASCADE,
    task_id INTEGER NOT NULL REFERENCES tasks (id) ON DELETE CASCADE,
    why     TEXT    NOT NULL,
    UNIQUE (plan_id, task_id)
);

-- What differs from the plan that this one was compared with, task by task and GC date by GC date, and what caused it.
CREATE TABLE plan_changes (
    id            INTEGER PRIMARY KEY AUTOINCREMENT,
    plan_id       INTEGER  NOT NULL REFERENCES plans (id) ON DELETE CASCADE,
    project_id    INTEGER  NOT NULL REFERENCES projects (id) ON DELETE CASCADE,
    against_id    INTEGER  REFERENCES plans (id) ON DELETE SET NULL,
    task_id       INTEGER  REFERENCES tasks (id) ON DELETE CASCADE,
    gc_date_id    INTEGER  REFERENCES gc_dates (id) ON DELETE CASCADE,
    old_crew_id   INTEGER  REFERENCES crews (id),
    new_crew_id   INTEGER  REFERENCES crews (id),
    old_start     DATETIME,
    new_start     DATETIME,
    old_finish    DATETIME,
    new_finish    DATETIME,
    moved_minutes INTEGER  NOT NULL,
    cause_kind    TEXT     NOT NULL DEFAULT '',
    cause_ref     TEXT     NOT NULL DEFAULT '',
    cause_text    TEXT     NOT NULL DEFAULT '',
    report_id     INTEGER  REFERENCES field_reports (id) ON DELETE SET NULL,
    CHECK ((task_id IS NULL) <> (gc_date_id IS NULL))
);
CREATE INDEX plan_changes_by_plan ON plan_changes (plan_id, project_id);

-- The newest line of a project names the plan its crews follow.
CREATE TABLE plan_issues (
    id         INTEGER PRIMARY KEY AUTOINCREMENT,
    plan_id    INTEGER  NOT NULL REFERENCES plans (id),
    project_id INTEGER  NOT NULL REFERENCES projects (id) ON DELETE CASCADE,
    issued_at  DATETIME NOT NULL,
    user_id    INTEGER  REFERENCES users (id) ON DELETE SET NULL,
    automatic  BOOLEAN  NOT NULL DEFAULT FALSE
);
CREATE INDEX plan_issues_by_project ON plan_issues (project_id, issued_at);

CREATE TABLE baselines (
    id         INTEGER PRIMARY KEY AUTOINCREMENT,
    project_id INTEGER  NOT NULL REFERENCES projects (id) ON DELETE CASCADE,
    plan_id    INTEGER  NOT NULL REFERENCES plans (id),
    name       TEXT     NOT NULL CHECK (name <> ''),
    set_at     DATETIME NOT NULL,
    user_id    INTEGER  REFERENCES users (id) ON DELETE SET NULL,
    UNIQUE (project_id, name)
);

-- One row a project and local date, however many processes run; asked is empty for the timer's run and names a run asked for
-- by hand, of which a day may have several.
CREATE TABLE nights (
    id          INTEGER PRIMARY KEY AUTOINCREMENT,
    project_id  INTEGER  NOT NULL REFERENCES projects (id) ON DELETE CASCADE,
    local_date  DATE     NOT NULL,
    asked       TEXT     NOT NULL DEFAULT '',
    asked_by    TEXT     NOT NULL DEFAULT '',
    started_at  DATETIME NOT NULL,
    finished_at DATETIME,
    status      TEXT     NOT NULL CHECK (status IN ('running', 'ok', 'failed')),
    error       TEXT     NOT NULL DEFAULT '',
    read_from   DATETIME,
    read_to     DATETIME,
    reports     INTEGER  NOT NULL DEFAULT 0,
    handovers   INTEGER  NOT NULL DEFAULT 0,
    materials   INTEGER  NOT NULL DEFAULT 0,
    plan_id     INTEGER  REFERENCES plans (id) ON DELETE SET NULL,
    issued      BOOLEAN  NOT NULL DEFAULT FALSE,
    UNIQUE (project_id, local_date, asked)
);
