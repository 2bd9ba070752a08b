package models

import (
	"context"
	"errors"

	"gorm.io/gorm"

	"jambwright/scheduler/pattern"
)

// ForecastSettings is the one row of what forecasts assume where nothing has been recorded yet; see pattern.Risk.
type ForecastSettings struct {
	ID             int64
	HoursSpread    float64
	PaceSpread     float64
	AreaShare      float64
	LeadLeast      float64
	LeadMost       float64
	SupplierShare  float64
	TradeShare     float64
	Late           List[pattern.DayChance]
	PromiseLate    List[pattern.DayChance]
	Breakage       float64
	PriorWeight    float64
	BreakageWeight float64
	Versioned
}

// TableName keeps the plural that the word already is.
func (ForecastSettings) TableName() string { return "forecast_settings" }

// ForecastSettingsOf reads what forecasts assume; a firm that never saved any has the defaults, with version 0.
func ForecastSettingsOf(ctx context.Context, r Reader) (*ForecastSettings, error) {
	var row ForecastSettings
	err := r.in(ctx).Take(&row, firmRow).Error
	if errors.Is(err, gorm.ErrRecordNotFound) {
		row.set(pattern.DefaultRisk())
		row.Version = 0
		return &row, nil
	}
	return &row, wrap(err, "read what forecasts assume")
}

// Risk is the settings as the planner reads them.
func (s *ForecastSettings) Risk() pattern.Risk {
	return pattern.Risk{
		HoursSpread: s.HoursSpread, PaceSpread: s.PaceSpread, AreaShare: s.AreaShare, LeadLeast: s.LeadLeast, LeadMost: s.LeadMost,
		SupplierShare: s.SupplierShare, TradeShare: s.TradeShare, Late: s.Late, PromiseLate: s.PromiseLate,
		Breakage: s.Breakage, PriorWeight: s.PriorWeight, BreakageWeight: s.BreakageWeight,
	}
}

func (s *ForecastSettings) set(r pattern.Risk) {
	*s = ForecastSettings{
		ID: firmRow, HoursSpread: r.HoursSpread, PaceSpread: r.PaceSpread, AreaShare: r.AreaShare, LeadLeast: r.LeadLeast, LeadMost: r.LeadMost,
		SupplierShare: r.SupplierShare, TradeShare: r.TradeShare, Late: r.Late, PromiseLate: r.PromiseLate,
		Breakage: r.Breakage, PriorWeight: r.PriorWeight, BreakageWeight: r.BreakageWeight,
	}
}

// SaveForecastSettings stores what forecasts assume, based on a version; 0 when there was none.
func SaveForecastSettings(ctx context.Context, tx *Tx, version int64, r pattern.Risk, actor Actor) error {
	var row ForecastSettings
	row.set(r)
	var err error
	if version == 0 {
		err = createFirst(ctx, tx, "what forecasts assume", &row)
	} else {
		err = edit[ForecastSettings](ctx, tx, "what forecasts assume", firmRow, version, map[string]any{
			"hours_spread": row.HoursSpread, "pace_spread": row.PaceSpread, "area_share": row.AreaShare,
			"lead_least": row.LeadLeast, "lead_most": row.LeadMost, "supplier_share": row.SupplierShare, "trade_share": row.TradeShare,
			"late": row.Late, "promise_late": row.PromiseLate, "breakage": row.Breakage,
			"prior_weight": row.PriorWeight, "breakage_weight": row.BreakageWeight,
		})
	}
	if err != nil {
		return err
	}
	return record(ctx, tx, actor, "change", subject{kind: "forecast settings", id: firmRow}, map[string]any{"settings": r})
}
