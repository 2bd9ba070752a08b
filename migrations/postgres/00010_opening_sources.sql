-- How the opening schedule names an opening's release and supplier, so that reading it again finds nothing changed.

-- +goose Up
ALTER TABLE openings ADD COLUMN release_name TEXT NOT NULL DEFAULT '';
ALTER TABLE openings ADD COLUMN supplier_name TEXT NOT NULL DEFAULT '';
