-- What forecasts assume where nothing has been recorded yet.

-- +goose Up
-- The firm's one row; without it the planner's defaults hold. Spreads and shares as fractions; late lists hold days with chances.
CREATE TABLE forecast_settings (
    id              BIGINT PRIMARY KEY CHECK (id = 1),
    hours_spread    DOUBLE PRECISION NOT NULL CHECK (hours_spread > 0),
    pace_spread     DOUBLE PRECISION NOT NULL CHECK (pace_spread >= 0),
    area_share      DOUBLE PRECISION NOT NULL CHECK (area_share >= 0 AND area_share <= 1),
    lead_least      DOUBLE PRECISION NOT NULL CHECK (lead_least > 0 AND lead_least <= 1),
    lead_most       DOUBLE PRECISION NOT NULL CHECK (lead_most >= 1),
    supplier_share  DOUBLE PRECISION NOT NULL CHECK (supplier_share >= 0 AND supplier_share <= 1),
    trade_share     DOUBLE PRECISION NOT NULL CHECK (trade_share >= 0 AND trade_share <= 1),
    late            JSONB NOT NULL,
    promise_late    JSONB NOT NULL,
    breakage        DOUBLE PRECISION NOT NULL CHECK (breakage >= 0 AND breakage <= 1),
    prior_weight    DOUBLE PRECISION NOT NULL CHECK (prior_weight > 0),
    breakage_weight DOUBLE PRECISION NOT NULL CHECK (breakage_weight > 0),
    version         BIGINT NOT NULL DEFAULT 1,
    created_at      TIMESTAMPTZ NOT NULL,
    updated_at      TIMESTAMPTZ NOT NULL
);
