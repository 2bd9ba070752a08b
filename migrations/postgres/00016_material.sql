-- Releases by a name of one's own, the rest of a drop that came in part, how much material an area can store, and the history
-- of what a release holds and how it is ordered.

-- +goose Up
ALTER TABLE releases ADD COLUMN name TEXT NOT NULL DEFAULT '';

-- The number of the drop of which this one brings what did not come with it.
ALTER TABLE release_drops ADD COLUMN rest_of BIGINT CHECK (rest_of >= 1);

-- Items of openings that can lie in an area between delivery and use; null is without limit.
ALTER TABLE areas ADD COLUMN max_stored BIGINT CHECK (max_stored >= 1);

ALTER TABLE material_changes DROP CONSTRAINT material_changes_field_check;
ALTER TABLE material_changes ADD CONSTRAINT material_changes_field_check
    CHECK (field IN ('ordered', 'promised', 'shipped', 'received', 'contents', 'basis', 'supplier', 'lead'));
