package intake

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"strings"
	"time"

	"jambwright/models"
	"jambwright/scheduler/problem"
	"jambwright/server/importing"
)

// centsPerUnit turns the money of sheets into what is stored.
const centsPerUnit = 100

func cents(amount *float64) *int64 {
	if amount == nil {
		return nil
	}
	c := int64(math.Round(*amount * centsPerUnit))
	return &c
}

func money(c int64) *float64 {
	amount := float64(c) / centsPerUnit
	return &amount
}

// crewSaver turns crews of a sheet into rows; what a sheet leaves out stays as it is, or is the project's for a new crew.
type crewSaver struct {
	tx        *models.Tx
	project   *models.Project
	actor     models.Actor
	sites     []models.Site
	calendars []models.Calendar // those made on the way too
	faults    []importing.Fault
}

func saveCrews(ctx context.Context, tx *models.Tx, project *models.Project, changes importing.RowChanges[importing.CrewRow], actor models.Actor) error {
	s := &crewSaver{tx: tx, project: project, actor: actor}
	var err error
	if s.sites, err = models.Sites(ctx, tx); err != nil {
		return err
	}
	if s.calendars, err = models.Calendars(ctx, tx); err != nil {
		return err
	}
	stored, err := models.Crews(ctx, tx)
	if err != nil {
		return err
	}
	rows := upserts(changes)
	for i := range rows {
		old := find(stored, func(c *models.Crew) bool { return sameName(c.Name, rows[i].Name) })
		if err := s.save(ctx, old, &rows[i]); err != nil {
			return err
		}
	}
	if len(s.faults) > 0 {
		return &RefusedError{Faults: s.faults}
	}
	return s.retire(ctx, stored, changes.Remove)
}

// retire makes crews that are no longer in the sheet inactive: what they did stays theirs.
func (s *crewSaver) retire(ctx context.Context, stored []models.Crew, gone []importing.CrewRow) error {
	for _, row := range gone {
		if old := find(stored, func(c *models.Crew) bool { return sameName(c.Name, row.Name) }); old != nil {
			old.Active = false
			if err := models.UpdateCrew(ctx, s.tx, old, s.actor); err != nil {
				return err
			}
		}
	}
	return nil
}

func find[T any](list []T, matches func(*T) bool) *T {
	for i := range list {
		if matches(&list[i]) {
			return &list[i]
		}
	}
	return nil
}

// sameName compares names as people do: without case and spare spaces.
func sameName(a, b string) bool {
	return strings.EqualFold(strings.Join(strings.Fields(a), " "), strings.Join(strings.Fields(b), " "))
}

func (s *crewSaver) save(ctx context.Context, old *models.Crew, r *importing.CrewRow) error {
	crew := models.Crew{Code: r.Name, Name: r.Name, CalendarID: s.project.CalendarID, HomeSiteID: &s.project.SiteID, Active: true}
	if old != nil {
		crew = *old
		crew.Active = true
	}
	crew.Heads, crew.Foreman, crew.Note = r.Heads, cmp.Or(r.Foreman, crew.Foreman), cmp.Or(r.Notes, crew.Note)
	if c := cents(r.CostPerHour); c != nil {
		crew.CostCentsPerHour = *c
	}
	s.skills(&crew, r)
	s.place(&crew, r)
	if err := s.hours(ctx, &crew, r); err != nil {
		return err
	}
	s.away(&crew, r)
	if len(s.faults) > 0 {
		return nil // go on to find the other rows' faults; nothing is kept
	}
	if old != nil {
		return models.UpdateCrew(ctx, s.tx, &crew, s.actor)
	}
	return models.CreateCrew(ctx, s.tx, &crew, s.actor)
}

func (s *crewSaver) skills(crew *models.Crew, r *importing.CrewRow) {
	crew.Skills = nil
	for _, kind := range r.Skills {
		skill := models.CrewSkill{Kind: kind, Productivity: 1}
		if r.Productivity != nil {
			skill.Productivity = *r.Productivity
		}
		crew.Skills = append(crew.Skills, skill)
	}
}

// place finds the sites that the row names.
func (s *crewSaver) place(crew *models.Crew, r *importing.CrewRow) {
	if r.HomeSite != "" {
		if site := s.site(r, "Home site", r.HomeSite); site != nil {
			crew.HomeSiteID = &site.ID
		}
	}
	crew.Sites = nil
	for _, name := range r.Sites {
		if site := s.site(r, "Sites", name); site != nil {
			crew.Sites = append(crew.Sites, models.CrewSite{SiteID: site.ID})
		}
	}
}

func (s *crewSaver) site(r *importing.CrewRow, column, name string) *models.Site {
	site := find(s.sites, func(site *models.Site) bool { return sameName(site.Name, name) || sameName(site.Code, name) })
	if site == nil {
		names := make([]string, len(s.sites))
		for i := range s.sites {
			names[i] = s.sites[i].Name
		}
		s.refuse(r, column, name, "there is no such site", "write one of: "+strings.Join(names, ", "))
	}
	return site
}

func (s *crewSaver) refuse(r *importing.CrewRow, column, value, message, remedy string) {
	s.faults = append(s.faults, importing.Fault{Place: r.Place, Column: column, Value: value, Message: message, Remedy: remedy})
}

// away sets the absences; both dates of a sheet are included. Days are those of the crew's own calendar, whichever
// project the sheet is imported into.
func (s *crewSaver) away(crew *models.Crew, r *importing.CrewRow) {
	zone := zoneOf(s.calendars, crew.CalendarID)
	crew.Absences = nil
	for _, a := range r.Away {
		crew.Absences = append(crew.Absences, models.CrewAbsence{
			StartsAt: midnight(a.From, zone), FinishesAt: midnight(a.To, zone).AddDate(0, 0, 1), Note: r.Notes,
		})
	}
}

// zoneOf is the zone of a calendar by its id; UTC where there is no such calendar.
func zoneOf(calendars []models.Calendar, id int64) *time.Location {
	if c := find(calendars, func(c *models.Calendar) bool { return c.ID == id }); c != nil {
		return zoneNamed(c.Zone)
	}
	return time.UTC
}

func midnight(d problem.Date, zone *time.Location) time.Time {
	return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, zone)
}

// hours finds the calendar that the row names, or makes the one of its shift. A crew whose own calendar has the row's
// hours already keeps it, though another project's sheet repeats them.
func (s *crewSaver) hours(ctx context.Context, crew *models.Crew, r *importing.CrewRow) error {
	own := find(s.calendars, func(c *models.Calendar) bool { return c.ID == crew.CalendarID })
	if own != nil && own.ID != s.project.CalendarID {
		if shift, name := hoursOf(own); shift == r.Shift && sameName(name, r.Calendar) {
			return nil
		}
	}
	switch {
	case r.Calendar != "":
		c := find(s.calendars, func(c *models.Calendar) bool { return sameName(c.Name, r.Calendar) || sameName(c.Code, r.Calendar) })
		if c == nil {
			s.refuse(r, "Calendar", r.Calendar, "there is no such calendar", "leave it empty for the hours of the site")
			return nil
		}
		crew.CalendarID = c.ID
	case r.Shift != importing.Shift{}:
		id, err := s.shift(ctx, r.Shift)
		if err != nil {
			return err
		}
		crew.CalendarID = id
	}
	return nil
}

// shift finds or makes the calendar of a daily shift from Monday to Friday; it keeps the holidays of the project's.
func (s *crewSaver) shift(ctx context.Context, shift importing.Shift) (int64, error) {
	code := fmt.Sprintf("%s-%02d%02d-%02d%02d", s.project.Code, shift.Start/60, shift.Start%60, shift.Finish/60, shift.Finish%60)
	if c := find(s.calendars, func(c *models.Calendar) bool { return c.Code == code }); c != nil {
		return c.ID, nil
	}
	own := find(s.calendars, func(c *models.Calendar) bool { return c.ID == s.project.CalendarID })
	c := &models.Calendar{Code: code, Name: "hours " + shift.String(), Zone: s.project.Zone, HolidayRule: own.HolidayRule}
	for day := time.Monday; day <= time.Friday; day++ {
		c.Shifts = append(c.Shifts, models.CalendarShift{Weekday: day, FromMinute: shift.Start, ToMinute: shift.Finish})
	}
	if err := models.CreateCalendar(ctx, s.tx, c, s.actor); err != nil {
		return 0, err
	}
	s.calendars = append(s.calendars, *c)
	return c.ID, nil
}

// RefusedError says which rows of a sheet do not fit what is stored. Nothing was saved.
type RefusedError struct{ Faults []importing.Fault }

// Error names each row on a line of its own.
func (e *RefusedError) Error() string {
	lines := make([]string, len(e.Faults))
	for i, f := range e.Faults {
		lines[i] = fmt.Sprintf("row %d, %s %q: %s", f.Row, f.Column, f.Value, f.Message)
	}
	return strings.Join(lines, "\n")
}

// zoneNamed is a zone by its name; stored zones load.
func zoneNamed(name string) *time.Location {
	zone, err := time.LoadLocation(name)
	if err != nil {
		return time.UTC
	}
	return zone
}
