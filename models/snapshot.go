package models

import (
	"context"
	"fmt"
	"time"

	"gorm.io/gorm"

	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

// Snapshot reads the whole firm, all open projects together since they share crews, as the planner wants it at a data date.
// It takes a fixed number of queries, whatever the number of rows. Given a DB it reads in one transaction of its own.
//
// Days become instants at this edge, in the project's zone: a promise or handover is the start of that day's first shift on the
// project's calendar, the end of a GC date is the midnight after it.
func Snapshot(ctx context.Context, r Reader, dataDate time.Time) (firm pattern.Firm, err error) {
	if db, ok := r.(*DB); ok {
		err = db.ReadTogether(ctx, func(tx *Tx) error {
			firm, err = Snapshot(ctx, tx, dataDate)
			return err
		})
		return firm, err
	}
	s := &snapshot{ctx: ctx, r: r, firm: pattern.Firm{
		DataDate: minute(dataDate), Pins: map[pattern.TaskKey]problem.Pin{}, States: map[pattern.TaskKey]pattern.State{},
	}}
	for _, read := range []func() error{
		s.readSettings, s.readCalendars, s.readSites, s.readLimits, s.readCrews, s.readRates, s.readExperience, s.readPatterns,
		s.readSuppliers, s.readProjects, s.readAreas, s.readHandovers, s.readReleases, s.readOpenings, s.readGCDates,
		s.readTasks, s.readPins, s.readIssued, s.readBreakage,
	} {
		if err := read(); err != nil {
			return pattern.Firm{}, fmt.Errorf("read the firm: %w", err)
		}
	}
	s.finish()
	return s.firm, nil
}

// snapshot is a Firm being read, with the ids of rows already read.
type snapshot struct {
	ctx  context.Context
	r    Reader
	firm pattern.Firm

	settings  *FirmSettings
	calendars map[int64]*Calendar
	sites     map[int64]string
	limits    map[int64]string
	crews     map[int64]string
	crewRows  []Crew
	suppliers map[int64]*Supplier
	projects  map[int64]*projectRead
	order     []*projectRead
	areas     map[int64]*Area
	releases  map[int64]*Release
}

// projectRead is a project being read, with what its dates need.
type projectRead struct {
	row       *Project
	zone      *time.Location
	out       pattern.Project
	suppliers map[int64]bool // those that its material names
}

func (s *snapshot) db() *gorm.DB { return s.r.in(s.ctx) }

// minute is an instant on the planner's grid.
func minute(t time.Time) time.Time { return t.UTC().Truncate(time.Minute) }

func minutePtr(t *time.Time) *time.Time {
	if t == nil {
		return nil
	}
	m := minute(*t)
	return &m
}

func (s *snapshot) readSettings() (err error) {
	s.settings, err = Settings(s.ctx, s.r)
	if err != nil {
		return err
	}
	assumed, err := ForecastSettingsOf(s.ctx, s.r)
	if err != nil {
		return err
	}
	f := &s.firm
	f.Zone, f.Risk = s.settings.Zone, new(assumed.Risk())
	f.Rules = s.settings.TakeoffRules.V
	f.Settings = pattern.Settings{
		OverdueHandoverMinutes: s.settings.OverdueHandoverMinutes,
		OverdueDeliveryDays:    s.settings.OverdueDeliveryDays,
		SealantCureMinutes:     s.settings.SealantCureMinutes,
		SurveyNeeds:            s.settings.SurveyNeeds,
		Crowding:               s.settings.Crowding,
	}
	w := s.settings
	if w.WeightLateness != nil && w.WeightChange != nil && w.WeightTravel != nil && w.WeightEarly != nil {
		f.Weights = &problem.Weights{
			Lateness: *w.WeightLateness, Change: *w.WeightChange, Travel: *w.WeightTravel, Early: *w.WeightEarly,
		}
	}
	return nil
}

func (s *snapshot) readCalendars() error {
	var rows []*Calendar
	err := s.db().Preload("Shifts").Preload("Holidays").Preload("Exceptions.Shifts").Order("code").Find(&rows).Error
	if err != nil {
		return wrap(err, "calendars")
	}
	s.calendars = map[int64]*Calendar{}
	for _, c := range rows {
		s.calendars[c.ID] = c
		s.firm.Calendars = append(s.firm.Calendars, c.problem(s.firm.DataDate.Year()))
	}
	if id := s.settings.BuyerCalendarID; id != nil {
		s.firm.BuyerCalendar = s.calendars[*id].Code
	}
	return nil
}

func (s *snapshot) readSites() error {
	var sites []Site
	var travel []SiteTravel
	if err := s.db().Order("code").Find(&sites).Error; err != nil {
		return wrap(err, "sites")
	}
	if err := s.db().Order("from_site_id, to_site_id").Find(&travel).Error; err != nil {
		return wrap(err, "travel between sites")
	}
	s.sites = map[int64]string{}
	for _, site := range sites {
		s.sites[site.ID] = site.Code
		s.firm.Sites = append(s.firm.Sites, problem.Site{ID: site.Code})
	}
	for _, t := range travel {
		s.firm.Travel = append(s.firm.Travel, problem.Travel{
			From: s.sites[t.FromSiteID], To: s.sites[t.ToSiteID], Minutes: t.Minutes,
		})
	}
	return nil
}

func (s *snapshot) readLimits() error {
	var rows []Limit
	if err := s.db().Order("code").Find(&rows).Error; err != nil {
		return wrap(err, "limits")
	}
	s.limits = map[int64]string{}
	for _, l := range rows {
		s.limits[l.ID] = l.Code
		limit := problem.Limit{ID: l.Code, Capacity: l.Capacity}
		if l.CalendarID != nil {
			limit.Calendar = s.calendars[*l.CalendarID].Code
		}
		s.firm.Limits = append(s.firm.Limits, limit)
	}
	if id := s.settings.BuyerLimitID; id != nil {
		s.firm.BuyerDesk = s.limits[*id]
	}
	return nil
}

func (s *snapshot) readCrews() error {
	var rows []Crew
	err := s.db().Preload("Skills", func(q *gorm.DB) *gorm.DB { return q.Order("id") }).Preload("Sites").
		Preload("Absences", func(q *gorm.DB) *gorm.DB { return q.Order("starts_at, id") }).Order("code").Find(&rows).Error
	if err != nil {
		return wrap(err, "crews")
	}
	s.crews, s.crewRows = map[int64]string{}, rows
	for i := range rows {
		s.crews[rows[i].ID] = rows[i].Code
		if rows[i].Active {
			s.firm.Crews = append(s.firm.Crews, s.crew(&rows[i]))
		}
	}
	return nil
}

func (s *snapshot) crew(c *Crew) problem.Crew {
	crew := problem.Crew{
		ID: c.Code, Heads: c.Heads, Calendar: s.calendars[c.CalendarID].Code,
		Productivity: map[string]float64{}, CostPerHour: float64(c.CostCentsPerHour) / 100,
	}
	if c.HomeSiteID != nil {
		crew.HomeSite = s.sites[*c.HomeSiteID]
	}
	for _, skill := range c.Skills {
		crew.Skills = append(crew.Skills, string(skill.Kind))
		if skill.Productivity != 1 {
			crew.Productivity[string(skill.Kind)] = skill.Productivity
		}
	}
	for _, site := range c.Sites {
		crew.Sites = append(crew.Sites, s.sites[site.SiteID])
	}
	for _, a := range c.Absences {
		if a.FinishesAt.After(s.firm.DataDate) {
			crew.Away = append(crew.Away, problem.Span{From: minute(a.StartsAt), To: minute(a.FinishesAt)})
		}
	}
	return crew
}

func (s *snapshot) readRates() error {
	rates, err := CompanyRates(s.ctx, s.r)
	s.firm.Rates = rates
	return err
}

func (s *snapshot) readPatterns() error {
	var rows []WorkPattern
	if err := s.db().Order("opening_type").Find(&rows).Error; err != nil {
		return wrap(err, "work patterns")
	}
	for _, w := range rows {
		s.firm.Patterns = append(s.firm.Patterns, w.Body.V)
	}
	return nil
}

// CompanyRates reads the company table; a zero value means that it is empty and the planner's defaults hold.
func CompanyRates(ctx context.Context, r Reader) (rates takeoff.Rates, err error) {
	var rows []Rate
	var factors []RateFactor
	var learning []RateLearning
	if err := r.in(ctx).Order("kind, opening_type, driver").Find(&rows).Error; err != nil {
		return rates, wrap(err, "rates")
	}
	if err := r.in(ctx).Order("condition, kind").Find(&factors).Error; err != nil {
		return rates, wrap(err, "rate factors")
	}
	if err := r.in(ctx).Order("kind").Find(&learning).Error; err != nil {
		return rates, wrap(err, "learning rates")
	}
	for _, row := range rows {
		rates.Rates = append(rates.Rates, takeoff.Rate{
			Kind: row.Kind, Type: row.OpeningType, Driver: row.Driver, Hours: row.Hours, Source: row.Source,
		})
	}
	for _, f := range factors {
		rates.Factors = append(rates.Factors, takeoff.Factor{
			Condition: f.Condition, Kind: f.Kind, Factor: f.Factor, Source: f.Source,
		})
	}
	for _, l := range learning {
		rates.Learning = append(rates.Learning, takeoff.Learning{
			Kind: l.Kind, Rate: l.Rate, Standard: l.StandardUnit, Floor: l.Floor,
		})
	}
	return rates, nil
}
