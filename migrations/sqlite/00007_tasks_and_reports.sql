-- The dates we are held to, the tasks, what foremen reported of them, and what people pinned.

-- +goose Up
-- All work of the kind in the area (and the areas inside it) is done by the end of the day due. No area means the whole
-- project, no kind means all work.
CREATE TABLE gc_dates (
    id                    INTEGER PRIMARY KEY AUTOINCREMENT,
    project_id            INTEGER  NOT NULL REFERENCES projects (id) ON DELETE CASCADE,
    code                  TEXT     NOT NULL CHECK (code <> ''),
    name                  TEXT     NOT NULL CHECK (name <> ''),
    area_id               INTEGER  REFERENCES areas (id),
    kind                  TEXT     NOT NULL DEFAULT ''
                          CHECK (kind IN ('', 'survey', 'order', 'deliver', 'frame', 'glaze', 'hang', 'punch')),
    due                   DATE     NOT NULL,
    damages_cents_per_day INTEGER  CHECK (damages_cents_per_day >= 0),
    note                  TEXT     NOT NULL DEFAULT '',
    version               INTEGER  NOT NULL DEFAULT 1,
    created_at            DATETIME NOT NULL,
    updated_at            DATETIME NOT NULL,
    UNIQUE (project_id, code)
);

-- key is what the planner calls the task and never changes. Lead times and handovers are tasks too, without a crew. The state
-- columns are folded from field_reports, in the transaction that appends a report, and can be folded anew from them.
-- dropped_at: the task is no longer part of the work.
CREATE TABLE tasks (
    id                INTEGER PRIMARY KEY AUTOINCREMENT,
    project_id        INTEGER  NOT NULL REFERENCES projects (id) ON DELETE CASCADE,
    key               TEXT     NOT NULL UNIQUE CHECK (key <> ''),
    kind              TEXT     NOT NULL CHECK (kind IN
                      ('survey', 'order', 'lead', 'deliver', 'handover', 'frame', 'glaze', 'hang', 'punch')),
    opening_id        INTEGER  REFERENCES openings (id) ON DELETE SET NULL,
    release_id        INTEGER  REFERENCES releases (id) ON DELETE SET NULL,
    item_id           INTEGER  REFERENCES material_items (id) ON DELETE SET NULL,
    handover_id       INTEGER  REFERENCES handovers (id) ON DELETE SET NULL,
    area_id           INTEGER  REFERENCES areas (id) ON DELETE SET NULL,
    labour_minutes    INTEGER  CHECK (labour_minutes >= 0),
    min_heads         INTEGER  NOT NULL DEFAULT 1 CHECK (min_heads >= 1),
    started_at        DATETIME,
    finished_at       DATETIME,
    crew_id           INTEGER  REFERENCES crews (id),
    remaining_minutes INTEGER  CHECK (remaining_minutes >= 0),
    labour_reported   INTEGER  NOT NULL DEFAULT 0 CHECK (labour_reported >= 0),
    held              BOOLEAN  NOT NULL DEFAULT FALSE,
    held_until        DATETIME,
    hold_cause        TEXT     NOT NULL DEFAULT '',
    hold_party        TEXT     NOT NULL DEFAULT '',
    dropped_at        DATETIME,
    created_at        DATETIME NOT NULL,
    updated_at        DATETIME NOT NULL,
    CHECK (finished_at IS NULL OR started_at IS NOT NULL)
);
CREATE INDEX tasks_by_project ON tasks (project_id, kind);
CREATE INDEX tasks_by_opening ON tasks (opening_id);
CREATE INDEX tasks_by_release ON tasks (release_id);

-- Append-only. client_id is made by the device that reports: a report sent twice is one row. at is when it happened,
-- received_at when it reached us.
CREATE TABLE field_reports (
    id                INTEGER PRIMARY KEY AUTOINCREMENT,
    client_id         TEXT     NOT NULL UNIQUE CHECK (client_id <> ''),
    task_id           INTEGER  NOT NULL REFERENCES tasks (id),
    kind              TEXT     NOT NULL CHECK (kind IN
                      ('start', 'done', 'part_done', 'hours', 'hold', 'release_hold', 'damaged', 'measured', 'punch')),
    crew_id           INTEGER  REFERENCES crews (id),
    user_id           INTEGER  REFERENCES users (id) ON DELETE SET NULL,
    reporter          TEXT     NOT NULL,
    at                DATETIME NOT NULL,
    received_at       DATETIME NOT NULL,
    remaining_minutes INTEGER  CHECK (remaining_minutes >= 0),
    labour_minutes    INTEGER  CHECK (labour_minutes >= 0),
    until             DATETIME,
    cause             TEXT     NOT NULL DEFAULT '',
    party             TEXT     NOT NULL DEFAULT '',
    item_kind         TEXT     NOT NULL DEFAULT '' CHECK (item_kind IN ('', 'frame_kit', 'glass', 'leaf', 'hardware')),
    width             INTEGER  CHECK (width > 0),
    height            INTEGER  CHECK (height > 0),
    note              TEXT     NOT NULL DEFAULT '',
    CHECK (kind <> 'hold' OR cause <> ''),
    CHECK (kind <> 'damaged' OR item_kind <> ''),
    CHECK (kind <> 'measured' OR (width IS NOT NULL AND height IS NOT NULL)),
    CHECK (kind <> 'part_done' OR remaining_minutes IS NOT NULL),
    CHECK (kind <> 'hours' OR labour_minutes IS NOT NULL)
);
CREATE INDEX field_reports_by_task ON field_reports (task_id, at);
CREATE INDEX field_reports_by_arrival ON field_reports (received_at);

-- A person's decision that planning must not move: a crew, a start, or both. One a task.
CREATE TABLE pins (
    id         INTEGER PRIMARY KEY AUTOINCREMENT,
    task_id    INTEGER  NOT NULL UNIQUE REFERENCES tasks (id) ON DELETE CASCADE,
    crew_id    INTEGER  REFERENCES crews (id),
    start_at   DATETIME,
    user_id    INTEGER  REFERENCES users (id) ON DELETE SET NULL,
    note       TEXT     NOT NULL DEFAULT '',
    version    INTEGER  NOT NULL DEFAULT 1,
    created_at DATETIME NOT NULL,
    updated_at DATETIME NOT NULL,
    CHECK (crew_id IS NOT NULL OR start_at IS NOT NULL)
);

-- What one finished task taught about the hours of its kind.
CREATE TABLE rate_observations (
    id               INTEGER PRIMARY KEY AUTOINCREMENT,
    task_id          INTEGER  NOT NULL UNIQUE REFERENCES tasks (id) ON DELETE CASCADE,
    crew_id          INTEGER  REFERENCES crews (id),
    kind             TEXT     NOT NULL,
    opening_type     TEXT     NOT NULL DEFAULT '',
    at               DATETIME NOT NULL,
    labour_minutes   INTEGER  NOT NULL CHECK (labour_minutes >= 0),
    expected_minutes INTEGER  NOT NULL CHECK (expected_minutes >= 0)
);
CREATE INDEX rate_observations_by_kind ON rate_observations (kind, opening_type, at);
