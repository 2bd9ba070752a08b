-- The system of measure that new projects begin with.

-- +goose Up
ALTER TABLE firm_settings ADD COLUMN units TEXT NOT NULL DEFAULT 'imperial' CHECK (units IN ('imperial', 'metric'));
