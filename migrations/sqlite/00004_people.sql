-- Who may sign in, what they did, and the links that let in people without an account.

-- +goose Up
-- email is stored in lower case; it is the name a person signs in with.
CREATE TABLE users (
    id            INTEGER PRIMARY KEY AUTOINCREMENT,
    name          TEXT     NOT NULL CHECK (name <> ''),
    email         TEXT     NOT NULL UNIQUE CHECK (email <> '' AND email = lower(email)),
    password_hash TEXT     NOT NULL DEFAULT '',
    role          TEXT     NOT NULL CHECK (role IN ('operations_manager', 'project_manager', 'foreman')),
    crew_id       INTEGER  REFERENCES crews (id) ON DELETE SET NULL,
    active        BOOLEAN  NOT NULL DEFAULT TRUE,
    version       INTEGER  NOT NULL DEFAULT 1,
    created_at    DATETIME NOT NULL,
    updated_at    DATETIME NOT NULL
);

-- The projects that a project manager runs.
CREATE TABLE user_projects (
    id         INTEGER PRIMARY KEY AUTOINCREMENT,
    user_id    INTEGER NOT NULL REFERENCES users (id) ON DELETE CASCADE,
    project_id INTEGER NOT NULL REFERENCES projects (id) ON DELETE CASCADE,
    UNIQUE (user_id, project_id)
);

-- token_hash is the SHA-256 of the token in the cookie; the token itself is stored nowhere.
CREATE TABLE sessions (
    token_hash TEXT     PRIMARY KEY NOT NULL,
    data       BLOB     NOT NULL,
    expires_at DATETIME NOT NULL
);
CREATE INDEX sessions_by_expiry ON sessions (expires_at);

CREATE TABLE sign_in_failures (
    id      INTEGER PRIMARY KEY AUTOINCREMENT,
    account TEXT     NOT NULL,
    address TEXT     NOT NULL,
    at      DATETIME NOT NULL
);
CREATE INDEX sign_in_failures_by_account ON sign_in_failures (account, at);
CREATE INDEX sign_in_failures_by_address ON sign_in_failures (address, at);

-- Links that expire. All but the general contractor's guest link work once.
CREATE TABLE one_time_links (
    id         INTEGER PRIMARY KEY AUTOINCREMENT,
    token_hash TEXT     NOT NULL UNIQUE,
    purpose    TEXT     NOT NULL CHECK (purpose IN ('first_account', 'invitation', 'password', 'guest')),
    user_id    INTEGER  REFERENCES users (id) ON DELETE CASCADE,
    project_id INTEGER  REFERENCES projects (id) ON DELETE CASCADE,
    created_by INTEGER  REFERENCES users (id) ON DELETE SET NULL,
    created_at DATETIME NOT NULL,
    expires_at DATETIME NOT NULL,
    used_at    DATETIME,
    CHECK (purpose <> 'guest' OR project_id IS NOT NULL),
    CHECK (purpose NOT IN ('invitation', 'password') OR user_id IS NOT NULL)
);

-- One line a change. actor stays readable when the user is gone; detail holds the values before and after.
CREATE TABLE audit_entries (
    id           INTEGER PRIMARY KEY AUTOINCREMENT,
    at           DATETIME NOT NULL,
    user_id      INTEGER  REFERENCES users (id) ON DELETE SET NULL,
    actor        TEXT     NOT NULL,
    action       TEXT     NOT NULL CHECK (action <> ''),
    subject_kind TEXT     NOT NULL,
    subject_id   INTEGER  NOT NULL,
    project_id   INTEGER  REFERENCES projects (id) ON DELETE SET NULL,
    detail       TEXT     NOT NULL DEFAULT '{}' CHECK (json_valid(detail))
);
CREATE INDEX audit_entries_by_subject ON audit_entries (subject_kind, subject_id, at);
CREATE INDEX audit_entries_by_project ON audit_entries (project_id, at);
