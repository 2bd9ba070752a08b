-- Up to when everything known had been read when a plan was made; null in older plans, which say it by their data date.

-- +goose Up
ALTER TABLE plans ADD COLUMN read_at TIMESTAMPTZ;
