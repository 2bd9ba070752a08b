-- Releases by a name of one's own, the rest of a drop that came in part, how much material an area can store, and the history
-- of what a release holds and how it is ordered.

-- +goose Up
ALTER TABLE releases ADD COLUMN name TEXT NOT NULL DEFAULT '';

-- The number of the drop of which this one brings what did not come with it.
ALTER TABLE release_drops ADD COLUMN rest_of INTEGER CHECK (rest_of >= 1);

-- Items of openings that can lie in an area between delivery and use; null is without limit.
ALTER TABLE areas ADD COLUMN max_stored INTEGER CHECK (max_stored >= 1);

CREATE TABLE material_changes_wide (
    id          INTEGER PRIMARY KEY AUTOINCREMENT,
    release_id  INTEGER  REFERENCES releases (id) ON DELETE CASCADE,
    drop_number INTEGER,
    item_id     INTEGER  REFERENCES material_items (id) ON DELETE CASCADE,
    at          DATETIME NOT NULL,
    user_id     INTEGER  REFERENCES users (id) ON DELETE SET NULL,
    field       TEXT     NOT NULL
                CHECK (field IN ('ordered', 'promised', 'shipped', 'received', 'contents', 'basis', 'supplier', 'lead')),
    old_value   TEXT     NOT NULL DEFAULT '',
    new_value   TEXT     NOT NULL DEFAULT '',
    cause       TEXT     NOT NULL DEFAULT '',
    source      TEXT     NOT NULL DEFAULT '',
    CHECK ((release_id IS NULL) <> (item_id IS NULL))
);
INSERT INTO material_changes_wide (id, release_id, drop_number, item_id, at, user_id, field, old_value, new_value, cause, source)
SELECT id, release_id, drop_number, item_id, at, user_id, field, old_value, new_value, cause, source FROM material_changes;
DROP TABLE material_changes;
ALTER TABLE material_changes_wide RENAME TO material_changes;
CREATE INDEX material_changes_by_time ON material_changes (at);
CREATE INDEX material_changes_by_release ON material_changes (release_id, at);
CREATE INDEX material_changes_by_item ON material_changes (item_id, at);
