package models

import (
	"context"
	"errors"
	"math"

	"gorm.io/gorm"

	"jambwright/scheduler/recovery"
)

// RecoverySettingsOf reads what moves cost; a firm that never saved any has the defaults, with version 0.
func RecoverySettingsOf(ctx context.Context, r Reader) (*RecoverySettings, error) {
	var row RecoverySettings
	err := r.in(ctx).Take(&row, firmRow).Error
	if errors.Is(err, gorm.ErrRecordNotFound) {
		row.set(recovery.DefaultSettings())
		row.Version = 0
		return &row, nil
	}
	return &row, wrap(err, "read what moves cost")
}

// Planner is the settings as the planner reads them.
func (s *RecoverySettings) Planner() recovery.Settings {
	return recovery.Settings{
		Loss: s.Loss, OvertimePremium: s.OvertimePremium, SaturdayPremium: s.SaturdayPremium,
		HirePremium: s.HirePremium, HireDays: s.HireDays, HireAtLeastDays: s.HireAtLeastDays,
		HirePrice: float64(s.HireCents) / 100, ExpeditePricePerDay: float64(s.ExpediteCentsPerDay) / 100,
	}
}

func (s *RecoverySettings) set(from recovery.Settings) {
	s.ID, s.Loss, s.OvertimePremium, s.SaturdayPremium = firmRow, from.Loss, from.OvertimePremium, from.SaturdayPremium
	s.HirePremium, s.HireDays, s.HireAtLeastDays = from.HirePremium, from.HireDays, from.HireAtLeastDays
	s.HireCents, s.ExpediteCentsPerDay = Cents(from.HirePrice), Cents(from.ExpeditePricePerDay)
}

// Cents is money in whole cents.
func Cents(money float64) int64 { return int64(math.Round(money * 100)) }

// SaveRecoverySettings stores what moves cost, based on a version; 0 when there was none.
func SaveRecoverySettings(ctx context.Context, tx *Tx, version int64, s recovery.Settings, actor Actor) error {
	var row RecoverySettings
	row.set(s)
	var err error
	if version == 0 {
		err = createFirst(ctx, tx, "what moves cost", &row)
	} else {
		err = edit[RecoverySettings](ctx, tx, "what moves cost", firmRow, version, map[string]any{
			"loss": row.Loss, "overtime_premium": row.OvertimePremium, "saturday_premium": row.SaturdayPremium,
			"hire_premium": row.HirePremium, "hire_days": row.HireDays, "hire_at_least_days": row.HireAtLeastDays,
			"hire_cents": row.HireCents, "expedite_cents_per_day": row.ExpediteCentsPerDay,
		})
	}
	if err != nil {
		return err
	}
	return record(ctx, tx, actor, "change", subject{kind: "recovery settings", id: firmRow}, map[string]any{"settings": s})
}
