-- Projects with their settings, and their areas, which nest: building, level, zone.

-- +goose Up
CREATE TABLE projects (
    id             INTEGER PRIMARY KEY AUTOINCREMENT,
    code           TEXT     NOT NULL UNIQUE CHECK (code <> ''),
    name           TEXT     NOT NULL CHECK (name <> ''),
    site_id        INTEGER  NOT NULL REFERENCES sites (id),
    calendar_id    INTEGER  NOT NULL REFERENCES calendars (id),
    zone           TEXT     NOT NULL CHECK (zone <> ''),
    nightly_hour   INTEGER  NOT NULL DEFAULT 2 CHECK (nightly_hour BETWEEN 0 AND 23),
    nightly_minute INTEGER  NOT NULL DEFAULT 0 CHECK (nightly_minute BETWEEN 0 AND 59),
    out_of_order   TEXT     NOT NULL DEFAULT 'let_run' CHECK (out_of_order IN ('let_run', 'keep_order')),
    auto_issue     BOOLEAN  NOT NULL DEFAULT FALSE,
    units          TEXT     NOT NULL DEFAULT 'imperial' CHECK (units IN ('imperial', 'metric')),
    dock_id        INTEGER  REFERENCES limits (id),
    hoist_id       INTEGER  REFERENCES limits (id),
    closed_at      DATETIME,
    version        INTEGER  NOT NULL DEFAULT 1,
    created_at     DATETIME NOT NULL,
    updated_at     DATETIME NOT NULL
);

-- code is unique in the project and stable: it is part of task keys. walk_order is the order in which a foreman walks the
-- areas. A number left empty is the parent's; what is hoisted hoists the areas inside too.
CREATE TABLE areas (
    id            INTEGER PRIMARY KEY AUTOINCREMENT,
    project_id    INTEGER  NOT NULL REFERENCES projects (id) ON DELETE CASCADE,
    parent_id     INTEGER  REFERENCES areas (id),
    code          TEXT     NOT NULL CHECK (code <> ''),
    name          TEXT     NOT NULL CHECK (name <> ''),
    kind          TEXT     NOT NULL CHECK (kind IN ('building', 'level', 'zone')),
    walk_order    INTEGER  NOT NULL DEFAULT 0,
    max_crews     INTEGER  CHECK (max_crews >= 1),
    setup_minutes INTEGER  CHECK (setup_minutes >= 0),
    hoisted       BOOLEAN  NOT NULL DEFAULT FALSE,
    version       INTEGER  NOT NULL DEFAULT 1,
    created_at    DATETIME NOT NULL,
    updated_at    DATETIME NOT NULL,
    CHECK (parent_id <> id),
    UNIQUE (project_id, code)
);
CREATE INDEX areas_by_parent ON areas (parent_id);
