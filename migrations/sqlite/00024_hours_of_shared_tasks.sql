-- What the hours of tasks that several openings share hang on, so that what they took can be held against any table.

-- +goose Up
ALTER TABLE tasks ADD COLUMN basis TEXT NOT NULL DEFAULT '{}' CHECK (json_valid(basis));
