package server

import (
	"fmt"
	"math"
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/takeoff"
	"jambwright/web"
)

// How much of what was observed the page shows for a kind.
const (
	shownDots  = 120
	shownTasks = 40
)

// rates shows what work takes: the company table, finished tasks, and what they teach.
func (s *Server) rates(c *gin.Context, _ *person) error {
	ctx := c.Request.Context()
	page := web.RatesPage{Chrome: s.chrome(c)}
	book, err := models.ReadRateBook(ctx, s.db)
	if err != nil {
		return err
	}
	rows, factors, stored, err := models.RateTable(ctx, s.db)
	if err != nil {
		return err
	}
	keys, err := models.TaskKeys(ctx, s.db, observedTasks(book))
	if err != nil {
		return err
	}
	directory, err := models.ReadDirectory(ctx, s.db)
	if err != nil {
		return err
	}
	decisions, err := models.RateDecisions(ctx, s.db, 20)
	if err != nil {
		return err
	}
	page.Standard, page.Skipped, page.Factors = !stored, book.Skipped, factorRows(factors)
	v := &rateView{format: page.Format, book: book, keys: keys, names: newNamer(directory)}
	for _, kind := range takeoff.Kinds() {
		if kind.IsShared() {
			page.Shared = append(page.Shared, v.kind(kind, rows))
		} else {
			page.Kinds = append(page.Kinds, v.kind(kind, rows))
		}
	}
	for i := range decisions {
		page.Decisions = append(page.Decisions, decisionLine(&decisions[i]))
	}
	s.render(c, http.StatusOK, page)
	return nil
}

// observedTasks are the ids of the newest observed tasks of each kind.
func observedTasks(book *models.RateBook) (ids []int64) {
	seen := map[takeoff.Kind]int{}
	for i := range slices.Backward(book.Observations) {
		if seen[book.Observations[i].Kind]++; seen[book.Observations[i].Kind] <= shownTasks {
			ids = append(ids, book.Observations[i].TaskID)
		}
	}
	return ids
}

// rateView turns the book into what the page shows.
type rateView struct {
	format web.Format
	book   *models.RateBook
	keys   map[int64]string
	names  *namer
}

func (v *rateView) kind(kind takeoff.Kind, rows []models.Rate) web.RateKind {
	main := takeoff.MainDriver(kind)
	k := web.RateKind{Kind: kindOf(kind), Name: gerund(kind), Unit: driverWords(main, v.format), Note: teaches(kind)}
	for _, d := range takeoff.Drivers() {
		for i := range rows {
			if rows[i].Kind == kind && rows[i].Driver == d {
				k.Rows = append(k.Rows, v.row(&rows[i]))
			}
		}
	}
	usual := v.usual(kind)
	if usual == 0 {
		k.Unit = ""
	}
	for i := range v.book.Experience {
		e := &v.book.Experience[i]
		if e.Kind != kind {
			continue
		}
		learned := v.learned(e, usual)
		if e.Crew == "" {
			k.Whole = &learned
		} else {
			k.Crews = append(k.Crews, learned)
		}
	}
	v.tasks(&k, kind)
	return k
}

// teaches says how hours that no crew is planned for are counted; "" where a crew is.
func teaches(kind takeoff.Kind) string {
	if kind.IsCrewWork() {
		return ""
	}
	return "No crew is planned for this: it is planned with as many hours as one person would take. Report the hours of all who were at it."
}

func (v *rateView) row(r *models.Rate) web.RateRow {
	query := url.Values{"kind": {string(r.Kind)}, "driver": {string(r.Driver)}}
	if r.OpeningType != "" {
		query.Set("type", string(r.OpeningType))
	}
	return web.RateRow{
		Type: typeWords(r.OpeningType), What: driverWords(r.Driver, v.format), Hours: web.Decimal(r.Hours*driverUnit(r.Driver, v.format)) + " h",
		Source: r.Source, Edit: "/rates/edit?" + query.Encode(),
	}
}

// usual is labour hours a unit by the company table over all finished tasks of the kind; 0 where no unit was counted.
func (v *rateView) usual(kind takeoff.Kind) float64 {
	company := v.book.Rates.WithDefaults().Company()
	main := takeoff.MainDriver(kind)
	hours, units := 0.0, 0.0
	for i := range v.book.Finished {
		f := &v.book.Finished[i]
		if q := f.Basis.Quantities[main]; f.Kind == kind && q > 0 {
			hours += f.Expected(&company)
			units += q
		}
	}
	if units == 0 {
		return 0
	}
	return hours / units * driverUnit(main, v.format)
}

func (v *rateView) learned(e *pattern.Experience, usual float64) web.LearnedRate {
	l := e.Learned
	r := web.LearnedRate{
		ID: string(e.Kind), Kind: string(e.Kind), Name: "all crews", Count: l.Count, Bounded: l.Bounded, Usual: usual,
		Mean: l.Mean, Factor: l.Factor, Planned: e.Planned, Seen: "0",
	}
	r.Low, r.High = l.Sure()
	r.NextLow, r.NextTop = l.Next()
	if e.Crew != "" {
		for _, crew := range v.book.Crews() {
			if crew.Code == e.Crew {
				r.ID, r.CrewID, r.Name = fmt.Sprintf("%s-%d", e.Kind, crew.ID), strconv.FormatInt(crew.ID, 10), crew.Name
			}
		}
	}
	r.Dots = v.dots(e)
	for i := range v.book.Decisions {
		d := &v.book.Decisions[i]
		if d.Kind == e.Kind && rowRef(d.CrewID) == r.CrewID {
			line := decisionLine(d)
			r.Decision, r.Seen, r.Accepted = &line, strconv.FormatInt(d.ID, 10), d.InForce
		}
	}
	return r
}

func rowRef(id *int64) string {
	if id == nil {
		return ""
	}
	return strconv.FormatInt(*id, 10)
}

// dots are the ratios of the newest finished tasks, oldest first, in the measure of the learned factor.
func (v *rateView) dots(e *pattern.Experience) (dots []float64) {
	company := v.book.Rates.WithDefaults().Company()
	for i := range v.book.Finished {
		f := &v.book.Finished[i]
		if f.Kind != e.Kind || e.Crew != "" && f.Crew != e.Crew {
			continue
		}
		ratio := float64(f.ActualMinutes) / 60 / f.Expected(&company)
		if e.Crew == "" && f.Pace > 0 {
			ratio *= f.Pace
		}
		if ratio > 0 && !math.IsInf(ratio, 0) {
			dots = append(dots, ratio)
		}
	}
	return dots[max(0, len(dots)-shownDots):]
}

// tasks lists the newest finished tasks of the kind.
func (v *rateView) tasks(k *web.RateKind, kind takeoff.Kind) {
	company := v.book.Rates.WithDefaults().Company()
	main := takeoff.MainDriver(kind)
	unit := driverUnit(main, v.format)
	for i := range slices.Backward(v.book.Finished) {
		f, o := &v.book.Finished[i], &v.book.Observations[i]
		table := f.Expected(&company)
		if f.Kind != kind || table <= 0 || f.ActualMinutes <= 0 {
			continue
		}
		if len(k.Tasks) == shownTasks {
			k.More++
			continue
		}
		task := web.ObservedTask{At: o.At, Mark: v.mark(o.TaskID), Hours: float64(f.ActualMinutes) / 60, Table: table}
		if o.Crew != nil {
			task.Crew = o.Crew.Name
		}
		if q := f.Basis.Quantities[main] / unit; q > 0 {
			task.Amount, task.PerUnit = web.Decimal(q)+" "+driverPlural(main, v.format), task.Hours/q
		}
		k.Tasks = append(k.Tasks, task)
	}
}

func (v *rateView) mark(taskID int64) string {
	k, err := pattern.TaskKey(v.keys[taskID]).Parse()
	if err != nil {
		return "task"
	}
	if k.Kind.IsShared() {
		return k.Project + " " + v.names.task(k)
	}
	return k.Project + " " + k.Subject
}

func decisionLine(d *models.RateDecision) web.DecisionLine {
	line := web.DecisionLine{At: d.At, By: d.Actor, What: gerund(d.Kind), Accepted: d.InForce, Factor: d.Factor, Count: d.Observations, Note: d.Note}
	if d.Crew != nil {
		line.What += " by crew " + d.Crew.Name
	}
	return line
}
