package server

import (
	"time"

	"jambwright/models"
	"jambwright/scheduler/calendar"
	"jambwright/scheduler/pattern"
	"jambwright/web"
)

// dockDays says how much a site can unload on a day.
type dockDays struct {
	view     *materialView
	site     *calendar.Calendar // working time of the site, within that of the dock
	zone     *time.Location
	capacity int // deliveries unloaded at once; 0: no limit
}

// dock compiles the working time of a project's dock for some days from today. Without a dock its capacity is 0.
func (v *materialView) dock(days int) (*dockDays, error) {
	d := &dockDays{view: v, zone: v.format.In(time.Time{}).Location()}
	from, to := calendar.FromTime(v.format.Now.AddDate(0, 0, -days)), calendar.FromTime(v.format.Now.AddDate(1, 0, days))
	d.site = calendar.Always(from, to)
	var project *pattern.Project
	for i := range v.board.Firm.Projects {
		if v.board.Firm.Projects[i].Code == v.project.Code {
			project = &v.board.Firm.Projects[i]
		}
	}
	if project == nil {
		return d, nil // a closed project
	}
	narrow := func(id string) error {
		for i := range v.board.Firm.Calendars {
			if v.board.Firm.Calendars[i].ID == id {
				c, err := calendar.Compile(v.board.Firm.Calendars[i], from, to)
				if err != nil {
					return err
				}
				d.site = d.site.Intersect(c)
			}
		}
		return nil
	}
	if err := narrow(project.Calendar); err != nil {
		return nil, err
	}
	for _, l := range v.board.Firm.Limits {
		if l.ID == project.Dock && l.ID != "" {
			d.capacity = l.Capacity
			if err := narrow(l.Calendar); err != nil {
				return nil, err
			}
		}
	}
	return d, nil
}

// minutes is the working time of a day.
func (d *dockDays) minutes(day models.Date) int {
	return int(d.site.Count(calendar.FromTime(day.At(0, d.zone)), calendar.FromTime(day.AddDays(1).At(0, d.zone))))
}

// unloading is the time that a line takes at the dock, as planned; 0 when the plan does not have it.
func (d *dockDays) unloading(l web.Delivery) int {
	span, planned := d.view.board.Spans[pattern.TaskKey(l.DeliverKey)]
	if !planned {
		return 0
	}
	return int(d.site.Count(calendar.FromTime(span.Start), calendar.FromTime(span.Finish)))
}
