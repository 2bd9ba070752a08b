package web

func (ForecastRiskPage) template() string { return "forecast_risk" }

// ForecastRiskPage edits what forecasts assume where nothing has been recorded yet. GET and POST /dates/assumptions.
type ForecastRiskPage struct {
	Chrome
	Version int64 // 0: nothing was edited yet
	Groups  []SettingGroup
	Faults  Faults
}
