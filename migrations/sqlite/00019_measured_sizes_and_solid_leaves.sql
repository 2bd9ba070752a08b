-- A measured size that was taken back, and leaves of fronts that are not of glass.

-- +goose Up
-- A report of a size that takes an earlier one back: it names that one and repeats its size, so that the history reads whole.
ALTER TABLE field_reports ADD COLUMN withdraws INTEGER REFERENCES field_reports (id);
CREATE INDEX field_reports_by_withdrawn ON field_reports (withdraws);

ALTER TABLE openings ADD COLUMN solid_leaf BOOLEAN NOT NULL DEFAULT FALSE;
