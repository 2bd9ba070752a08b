-- What forecasts assume where nothing has been recorded yet.

-- +goose Up
-- The firm's one row; without it the planner's defaults hold. Spreads and shares as fractions; late lists hold days with chances.
CREATE TABLE forecast_settings (
    id              INTEGER  PRIMARY KEY CHECK (id = 1),
    hours_spread    REAL NOT NULL CHECK (hours_spread > 0),
    pace_spread     REAL NOT NULL CHECK (pace_spread >= 0),
    area_share      REAL NOT NULL CHECK (area_share >= 0 AND area_share <= 1),
    lead_least      REAL NOT NULL CHECK (lead_least > 0 AND lead_least <= 1),
    lead_most       REAL NOT NULL CHECK (lead_most >= 1),
    supplier_share  REAL NOT NULL CHECK (supplier_share >= 0 AND supplier_share <= 1),
    trade_share     REAL NOT NULL CHECK (trade_share >= 0 AND trade_share <= 1),
    late            TEXT NOT NULL CHECK (json_valid(late)),
    promise_late    TEXT NOT NULL CHECK (json_valid(promise_late)),
    breakage        REAL NOT NULL CHECK (breakage >= 0 AND breakage <= 1),
    prior_weight    REAL NOT NULL CHECK (prior_weight > 0),
    breakage_weight REAL NOT NULL CHECK (breakage_weight > 0),
    version         INTEGER  NOT NULL DEFAULT 1,
    created_at      DATETIME NOT NULL,
    updated_at      DATETIME NOT NULL
);
