-- Which tasks come before which, as the problem planned last has it: what a task that may not start yet waits for.

-- +goose Up
-- The drop of a release that a lead or delivery is about, from 1.
ALTER TABLE tasks ADD COLUMN drop_number INTEGER CHECK (drop_number >= 1);

CREATE TABLE task_links (
    id        INTEGER PRIMARY KEY AUTOINCREMENT,
    before_id INTEGER NOT NULL REFERENCES tasks (id) ON DELETE CASCADE,
    after_id  INTEGER NOT NULL REFERENCES tasks (id) ON DELETE CASCADE,
    link_type TEXT    NOT NULL CHECK (link_type IN ('FS', 'SS', 'FF', 'SF')),
    CHECK (before_id <> after_id),
    UNIQUE (after_id, before_id, link_type)
);
CREATE INDEX task_links_by_before ON task_links (before_id);

CREATE INDEX material_changes_by_release ON material_changes (release_id, at);
CREATE INDEX material_changes_by_item ON material_changes (item_id, at);
