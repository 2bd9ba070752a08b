package server

import (
	"cmp"
	"strconv"
	"strings"
	"time"

	"jambwright/models"
	"jambwright/scheduler/leadtime"
	"jambwright/scheduler/pattern"
	"jambwright/server/buying"
	"jambwright/web"
)

// readMaterialEdit turns the form into an edit; every field that cannot be read is a fault. What happened on a day happened by
// its close, today by now.
func readMaterialEdit(form web.MaterialForm, m materialSubject, f web.Format, now time.Time) (e buying.Edit, faults web.Faults) {
	fault := func(field, message string) { faults = append(faults, web.FieldFault{Field: field, Message: message}) }
	e = buying.Edit{
		Action: buying.Action(form.Do), Name: strings.TrimSpace(form.Name), Basis: pattern.OrderBasis(form.Basis),
		Cause: strings.TrimSpace(form.Cause), Source: strings.TrimSpace(form.Source),
	}
	if m.remake != nil {
		e.RemakeID = m.remake.ID
	} else {
		e.ReleaseID = m.release.ID
	}
	e.Version, _ = strconv.ParseInt(form.Version, 10, 64)
	e.Drop, _ = strconv.Atoi(cmp.Or(form.Drop, "1"))
	zone := f.In(time.Time{}).Location()
	if form.Date != "" {
		day, err := models.ParseDate(strings.TrimSpace(form.Date))
		if err != nil {
			fault("date", "Write the date as 2026-11-25.")
		}
		e.At = day.At(12*60, zone)
		if day == models.DateIn(now, zone) {
			e.At = now
		}
	}
	if form.Promised != "" {
		day, err := models.ParseDate(strings.TrimSpace(form.Promised))
		if err != nil {
			fault("promised", "Write the date as 2026-11-25.")
		}
		e.Date = &day
	}
	for _, text := range form.Items {
		id, err := strconv.ParseInt(text, 10, 64)
		if err != nil {
			fault("item", "There is no such item.")
		}
		e.Items = append(e.Items, id)
	}
	e.SupplierID, _ = strconv.ParseInt(form.Supplier, 10, 64)
	readLead(form, &e, fault)
	if e.Action == buying.Move {
		readTarget(form, &e, fault)
	}
	return e, faults
}

func readLead(form web.MaterialForm, e *buying.Edit, fault func(field, message string)) {
	if strings.TrimSpace(form.Least+form.Likely+form.Most) == "" {
		return
	}
	var days [3]int
	for i, text := range []string{form.Least, form.Likely, form.Most} {
		n, err := strconv.Atoi(strings.TrimSpace(text))
		if err != nil {
			fault("lead", "Write all three lead times as whole working days, or leave all three empty.")
			return
		}
		days[i] = n
	}
	e.Lead = &leadtime.Days{Least: days[0], Likely: days[1], Most: days[2]}
}

func readTarget(form web.MaterialForm, e *buying.Edit, fault func(field, message string)) {
	if form.Target == "new" {
		return
	}
	release, drop, _ := strings.Cut(form.Target, ".")
	id, err := strconv.ParseInt(release, 10, 64)
	n, dropErr := strconv.Atoi(drop)
	if err != nil || dropErr != nil || n < 0 {
		fault("target", "Choose where the items go.")
		return
	}
	e.Target = buying.Target{ReleaseID: id, Drop: n}
}
