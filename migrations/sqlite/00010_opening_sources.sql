-- What the opening schedule says of an opening beside its geometry, so that reading it again finds nothing changed.

-- +goose Up
ALTER TABLE openings ADD COLUMN release_name TEXT NOT NULL DEFAULT '';
ALTER TABLE openings ADD COLUMN supplier_name TEXT NOT NULL DEFAULT '';
ALTER TABLE openings ADD COLUMN fire_rating TEXT NOT NULL DEFAULT '';
