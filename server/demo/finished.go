package demo

import (
	"context"
	"hash/fnv"
	"math"
	"slices"
	"time"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/takeoff"
)

// pace is what a crew of the scenario takes beside the company table: below 1 it is quick.
type pace struct {
	crew   string
	factor float64
}

// finishedWork is one kind of work told on the first level.
type finishedWork struct {
	kind  takeoff.Kind
	crews []pace
	from  int // working day from today
	count int
}

// work tells what was framed, glazed and hung on the first level, so that rates have something to learn from: framing takes more
// than the table says, Alder is quicker than the others, Cedar and Maple slower, and one report is far off.
func (h *history) work(ctx context.Context) error {
	list, err := models.ListOpenings(ctx, h.db, models.OpeningQuery{ProjectID: h.project.ID})
	if err != nil {
		return err
	}
	var first []models.OpeningStanding
	for _, o := range list.Openings {
		if slices.Contains([]string{"L1-East", "L1-West"}, o.Area.Code) {
			first = append(first, o)
		}
	}
	free := map[string]time.Time{}
	for _, part := range []finishedWork{
		{takeoff.Frame, paces(takeoff.Frame), framesFrom, 32},
		{takeoff.Glaze, paces(takeoff.Glaze), glazeFrom, 14},
		{takeoff.Hang, paces(takeoff.Hang), hangFrom, 8},
	} {
		if err := h.many(ctx, first, part, free); err != nil {
			return err
		}
	}
	return nil
}

// paces are the crews that were at a kind of work, with what they take.
func paces(kind takeoff.Kind) []pace {
	switch kind {
	case takeoff.Frame:
		return []pace{{"Alder", 0.95}, {"Birch", 1.2}, {"Cedar", 1.45}}
	case takeoff.Glaze:
		return []pace{{"Hazel", 0.85}, {"Juniper", 1.1}}
	case takeoff.Hang:
		return []pace{{"Larch", 0.9}, {"Maple", 1.3}}
	}
	return nil
}

// hoursOf are the labour minutes that a crew books for work that it began and ended as planned.
func (h *history) hoursOf(w *models.Work) int {
	minutes := float64(*w.Task.LabourMinutes) * scatter(w.Task.Key)
	for _, p := range paces(w.Task.Kind) {
		if p.crew == w.Plan.Crew.Name {
			minutes *= p.factor
		}
	}
	return max(10, int(minutes))
}

// slip is the finished framing whose foreman booked the whole day on one opening.
const slip = 11

// many tells one kind of work on the first openings that need it, each by the crew that is free first. What does not fit before
// today is left.
func (h *history) many(ctx context.Context, openings []models.OpeningStanding, w finishedWork, free map[string]time.Time) error {
	n := 0
	for i := range openings {
		at := slices.IndexFunc(openings[i].Tasks, func(t models.Task) bool { return t.Kind == w.kind })
		if at < 0 || n == w.count {
			continue
		}
		task := &openings[i].Tasks[at]
		for _, c := range w.crews {
			if free[c.crew].Before(h.day(w.from, 7, 0)) {
				free[c.crew] = h.day(w.from, 7, 0)
			}
		}
		crew := slices.MinFunc(w.crews, func(a, b pace) int { return free[a.crew].Compare(free[b.crew]) })
		length := h.taken(task, crew)
		if w.kind == takeoff.Frame && n == slip {
			length = 7 * time.Hour
		}
		from := h.fits(free[crew.crew], length)
		if !from.Before(h.day(0, 7, 0)) {
			break
		}
		if err := h.done(ctx, pattern.TaskKey(task.Key), crew.crew, from, length); err != nil {
			return err
		}
		free[crew.crew] = from.Add(length + 5*time.Minute)
		n++
	}
	return nil
}

// taken is the time that a crew took for a task: the planned hours, its pace, and what differs from task to task.
func (h *history) taken(task *models.Task, c pace) time.Duration {
	minutes := float64(*task.LabourMinutes) / float64(h.crews[c.crew].Heads) * c.factor * scatter(task.Key)
	return max(20*time.Minute, time.Duration(minutes)*time.Minute)
}

// scatter is a factor around 1 that follows from a name alone.
func scatter(key string) float64 {
	hash := fnv.New64a()
	hash.Write([]byte(key))
	sum := hash.Sum64()
	const range32 = 1 << 32
	a, b := float64(sum>>32)/range32, float64(sum%range32)/range32
	return math.Exp(0.55 * (a + b - 1))
}

// fits is the start of work so long that it ends by half past three, on the next working day where it does not.
func (h *history) fits(at time.Time, length time.Duration) time.Time {
	local := at.In(h.zone)
	closing := time.Date(local.Year(), local.Month(), local.Day(), 15, 30, 0, 0, h.zone)
	if !at.Add(length).After(closing) {
		return at
	}
	next := time.Date(local.Year(), local.Month(), local.Day()+1, 7, 0, 0, 0, h.zone)
	for next.Weekday() == time.Saturday || next.Weekday() == time.Sunday {
		next = next.AddDate(0, 0, 1)
	}
	return next
}
