-- Photos as evidence, what a survey finds beside the size, the tolerances it is held against, and handover news that wait for
-- their person to confirm.

-- +goose Up
-- A photo belongs to one line of a handover's history or to one field report. What is stored has been cleared of what a
-- camera writes beside the picture, such as the place.
CREATE TABLE photos (
    id                 INTEGER PRIMARY KEY AUTOINCREMENT,
    project_id         INTEGER  NOT NULL REFERENCES projects (id) ON DELETE CASCADE,
    handover_change_id INTEGER  REFERENCES handover_changes (id) ON DELETE CASCADE,
    report_id          INTEGER  REFERENCES field_reports (id) ON DELETE CASCADE,
    media_type         TEXT     NOT NULL CHECK (media_type IN ('image/jpeg', 'image/png', 'image/webp')),
    width              INTEGER  NOT NULL CHECK (width > 0),
    height             INTEGER  NOT NULL CHECK (height > 0),
    at                 DATETIME NOT NULL,
    user_id            INTEGER  REFERENCES users (id) ON DELETE SET NULL,
    CHECK ((handover_change_id IS NULL) <> (report_id IS NULL))
);
CREATE INDEX photos_by_handover_change ON photos (handover_change_id);
CREATE INDEX photos_by_report ON photos (report_id);

-- The picture whole and small; apart, so that lists of photos stay light.
CREATE TABLE photo_files (
    photo_id INTEGER PRIMARY KEY REFERENCES photos (id) ON DELETE CASCADE,
    whole    BLOB NOT NULL,
    small    BLOB NOT NULL
);

-- How far the opening is off over its own height, width or diagonal, in the unit of every length; not given is null.
ALTER TABLE field_reports ADD COLUMN out_of_plumb INTEGER CHECK (out_of_plumb >= 0);
ALTER TABLE field_reports ADD COLUMN out_of_level INTEGER CHECK (out_of_level >= 0);
ALTER TABLE field_reports ADD COLUMN out_of_square INTEGER CHECK (out_of_square >= 0);

-- A figure that a project leaves out is the firm's, one that the firm leaves out the usual one.
ALTER TABLE firm_settings ADD COLUMN tolerances TEXT NOT NULL DEFAULT '{}' CHECK (json_valid(tolerances));
ALTER TABLE projects ADD COLUMN tolerances TEXT NOT NULL DEFAULT '{}' CHECK (json_valid(tolerances));

-- The purposes are the code's own list; forms that wait live for hours.
CREATE TABLE kept_forms_anew (
    token_hash TEXT     PRIMARY KEY NOT NULL,
    purpose    TEXT     NOT NULL CHECK (purpose <> ''),
    user_id    INTEGER  NOT NULL REFERENCES users (id) ON DELETE CASCADE,
    about      TEXT     NOT NULL DEFAULT '{}' CHECK (json_valid(about)),
    body       BLOB     NOT NULL,
    expires_at DATETIME NOT NULL
);
INSERT INTO kept_forms_anew (token_hash, purpose, user_id, about, body, expires_at)
SELECT token_hash, purpose, user_id, about, body, expires_at FROM kept_forms;
DROP TABLE kept_forms;
ALTER TABLE kept_forms_anew RENAME TO kept_forms;
CREATE INDEX kept_forms_by_expiry ON kept_forms (expires_at);
