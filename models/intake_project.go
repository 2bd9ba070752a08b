package models

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"
	"unicode"
)

// NewProject is what is needed to begin a job. Zone "" takes that of the firm.
type NewProject struct {
	Name  string
	Code  string // "" is made from the name's initials
	Zone  string // IANA
	Units Units
	Rule  HolidayRule
}

// The usual week of a site until somebody says otherwise: eight hours with half an hour for lunch (common practice).
const (
	usualStart, usualLunch = 7 * 60, 11 * 60
	usualBack, usualFinish = 11*60 + 30, 15*60 + 30
	usualNight             = 20 // local hour of the nightly re-plan
)

// BeginProject begins a job with a site and a calendar of its own. The firm's zone is that of its first project.
func BeginProject(ctx context.Context, tx *Tx, n NewProject, actor Actor) (*Project, error) {
	settings, err := Settings(ctx, tx)
	if err != nil {
		return nil, err
	}
	if n.Zone == "" {
		n.Zone = settings.Zone
	}
	if n.Units == "" {
		n.Units = settings.Units
	}
	if _, err := time.LoadLocation(n.Zone); err != nil {
		return nil, fmt.Errorf("zone %q is not an IANA zone such as America/Chicago: %w", n.Zone, err)
	}
	var projects int64
	if err := tx.in(ctx).Model(&Project{}).Count(&projects).Error; err != nil {
		return nil, wrap(err, "count projects")
	}
	if projects == 0 {
		settings.Zone = n.Zone
		if err := SaveSettings(ctx, tx, settings, actor); err != nil {
			return nil, err
		}
	}
	if n.Code, err = freeCode(ctx, tx, n); err != nil {
		return nil, err
	}
	site := &Site{Code: n.Code, Name: n.Name, Zone: n.Zone}
	if err := CreateSite(ctx, tx, site, actor); err != nil {
		return nil, err
	}
	week := usualWeek(n)
	if err := CreateCalendar(ctx, tx, week, actor); err != nil {
		return nil, err
	}
	p := &Project{
		Code: n.Code, Name: n.Name, SiteID: site.ID, CalendarID: week.ID, Zone: n.Zone, NightlyHour: usualNight, Units: n.Units,
	}
	if err := CreateProject(ctx, tx, p, actor); err != nil {
		return nil, err
	}
	p.Site, p.Calendar = *site, *week
	return p, nil
}

// freeCode is the wanted code, or the initials of the name with a number where they are taken.
func freeCode(ctx context.Context, r Reader, n NewProject) (string, error) {
	base := n.Code
	if base == "" {
		for _, word := range strings.Fields(n.Name) {
			if first := []rune(word)[0]; unicode.IsLetter(first) || unicode.IsDigit(first) {
				base += strings.ToUpper(string(first))
			}
		}
	}
	if base == "" {
		base = "P"
	}
	code := base
	for i := 2; ; i++ {
		var taken int64
		for _, row := range []any{&Project{}, &Site{}, &Calendar{}} {
			var n int64
			if err := r.in(ctx).Model(row).Where("code = ?", code).Count(&n).Error; err != nil {
				return "", wrap(err, "look for a free code")
			}
			taken += n
		}
		if taken == 0 {
			return code, nil
		}
		if n.Code != "" {
			return "", errors.Join(ErrDuplicate, fmt.Errorf("the code %q is taken", n.Code))
		}
		code = fmt.Sprintf("%s%d", base, i)
	}
}

func usualWeek(n NewProject) *Calendar {
	c := &Calendar{Code: n.Code, Name: "hours of " + n.Name, Zone: n.Zone, HolidayRule: n.Rule}
	if c.HolidayRule == "" {
		c.HolidayRule = NoHolidayRule
	}
	for day := time.Monday; day <= time.Friday; day++ {
		c.Shifts = append(c.Shifts,
			CalendarShift{Weekday: day, FromMinute: usualStart, ToMinute: usualLunch},
			CalendarShift{Weekday: day, FromMinute: usualBack, ToMinute: usualFinish})
	}
	return c
}

// Sites lists all sites by name.
func Sites(ctx context.Context, r Reader) ([]Site, error) {
	var rows []Site
	err := r.in(ctx).Order("name, id").Find(&rows).Error
	return rows, wrap(err, "list sites")
}

// Calendars lists all calendars by name, with their weekly shifts.
func Calendars(ctx context.Context, r Reader) ([]Calendar, error) {
	var rows []Calendar
	err := r.in(ctx).Preload("Shifts").Order("name, id").Find(&rows).Error
	return rows, wrap(err, "list calendars")
}

// TravelTimes are the crew minutes between sites by their ids, both ways unless the two directions differ.
func TravelTimes(ctx context.Context, r Reader) (map[[2]int64]int, error) {
	var rows []SiteTravel
	if err := r.in(ctx).Find(&rows).Error; err != nil {
		return nil, wrap(err, "read travel times")
	}
	times := make(map[[2]int64]int, 2*len(rows))
	for _, row := range rows {
		times[[2]int64{row.ToSiteID, row.FromSiteID}] = row.Minutes
	}
	for _, row := range rows {
		times[[2]int64{row.FromSiteID, row.ToSiteID}] = row.Minutes
	}
	return times, nil
}

// SetupTimes are the crew minutes lost on entering areas, by their ids; an area without its own has its parent's.
func SetupTimes(ctx context.Context, r Reader) (map[int64]int, error) {
	var rows []Area
	if err := r.in(ctx).Find(&rows).Error; err != nil {
		return nil, wrap(err, "read set-up times")
	}
	byID := make(map[int64]*Area, len(rows))
	for i := range rows {
		byID[rows[i].ID] = &rows[i]
	}
	times := make(map[int64]int, len(rows))
	for i := range rows {
		for a, n := &rows[i], 0; a != nil && n <= len(rows); n++ {
			if a.SetupMinutes != nil {
				times[rows[i].ID] = *a.SetupMinutes
				break
			}
			if a.ParentID == nil {
				break
			}
			a = byID[*a.ParentID]
		}
	}
	return times, nil
}
