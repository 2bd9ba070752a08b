-- What a person sent and has yet to confirm: a sheet that was read, a move that was tried. Any replica can go on with it.

-- +goose Up
CREATE TABLE kept_forms (
    token_hash TEXT        PRIMARY KEY NOT NULL,
    purpose    TEXT        NOT NULL CHECK (purpose IN ('import', 'move')),
    user_id    BIGINT      NOT NULL REFERENCES users (id) ON DELETE CASCADE,
    about      JSONB       NOT NULL DEFAULT '{}',
    body       BYTEA       NOT NULL,
    expires_at TIMESTAMPTZ NOT NULL
);
CREATE INDEX kept_forms_by_expiry ON kept_forms (expires_at);
