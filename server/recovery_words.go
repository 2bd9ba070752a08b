package server

import (
	"context"
	"fmt"
	"math"
	"strconv"
	"strings"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/recovery"
	"jambwright/scheduler/takeoff"
	"jambwright/web"
)

// moveWords writes moves in sentences.
type moveWords struct {
	names  *namer
	format web.Format
}

// text says what a move is.
func (w *moveWords) text(m recovery.Move) string {
	f := w.format
	switch m.Kind {
	case recovery.Overtime:
		return fmt.Sprintf("Crew %s works %s longer a day, %s to %s", w.crew(m.Crew), f.Hours(m.Minutes), f.Date(m.From), f.Date(m.Until))
	case recovery.Saturdays:
		if m.From == m.Until {
			return fmt.Sprintf("Crew %s works on %s", w.crew(m.Crew), f.Date(m.From))
		}
		return fmt.Sprintf("Crew %s works on Saturdays, %s to %s", w.crew(m.Crew), f.Date(m.From), f.Date(m.Until))
	case recovery.SecondCrew:
		return fmt.Sprintf("A second crew like %s, %s, from %s", w.crew(m.Crew), m.NewCrew, f.Date(m.From))
	case recovery.Expedite:
		return w.expedite(m)
	case recovery.EarlierHandover:
		return fmt.Sprintf("Ask the GC for %s by %s", w.task(m.Task), f.Day(m.By))
	case recovery.OtherBasis:
		what := w.material(m.Task).What
		if m.Basis == recovery.BasisSurvey {
			return "Order " + what + " from the survey, not from the set frames"
		}
		return "Order " + what + " from the drawings, not from the survey"
	}
	return string(m.Kind)
}

// expedite leaves out how the lead time is reckoned: it is the supplier's least one.
func (w *moveWords) expedite(m recovery.Move) string {
	material := w.material(m.Task)
	who := material.Supplier
	if who == "" {
		who = "the supplier"
	}
	if !m.By.IsZero() {
		return fmt.Sprintf("Pay %s to bring %s by %s", who, material.What, w.format.Day(m.By))
	}
	return fmt.Sprintf("Pay %s to make %s in the least lead time", who, material.What)
}

func (w *moveWords) crew(code string) string {
	if name := w.names.names.Crews[code]; name != "" {
		return name
	}
	return code
}

func (w *moveWords) task(key string) string { return w.names.know(key).names.Tasks[key] }

func (w *moveWords) material(key string) web.Material {
	if m, known := w.names.know(key).names.Materials[key]; known {
		return m
	}
	return web.Material{What: key}
}

func (w *moveWords) texts(moves []recovery.Move) []string {
	list := make([]string, len(moves))
	for i, m := range moves {
		list[i] = w.text(m)
	}
	return list
}

// cautions are what to mind of some moves, each once.
func (w *moveWords) cautions(moves []recovery.Move) (list []string) {
	told := map[string]bool{}
	for _, m := range moves {
		for _, text := range w.cautionsOf(m) {
			if !told[text] {
				told[text] = true
				list = append(list, text)
			}
		}
	}
	return list
}

func (w *moveWords) cautionsOf(m recovery.Move) []string {
	switch m.Kind {
	case recovery.Overtime, recovery.Saturdays:
		list := []string{
			fmt.Sprintf("In a week of 50 hours and more, %s %% less is done in each hour; the plan leaves that time out at the end of each part of the day, and it is paid.", percentWords(m.Loss)),
			"Tired people get hurt and break glass. Labour agreements and law say what hours may be asked for and what must be paid.",
		}
		if m.Kind == recovery.Overtime && m.Minutes >= 120 && recovery.DaysOf(m) > 14 {
			list = append(list, "Published figures differ on how long ten-hour days pay: a manufacturing study puts the best end after 8 of them and no gain after 12 (Adrian); the Business Roundtable's report of 1980 is quoted with seven weeks.")
		}
		return list
	case recovery.SecondCrew:
		return []string{
			fmt.Sprintf("It is paid for all its working time from its first day, %s at least. That it has to learn the job is not reckoned with.", w.format.Of(m.AtLeastDays, "working day", "working days")),
		}
	case recovery.Expedite:
		return []string{fmt.Sprintf("The price, %s, is what is reckoned with until the supplier names one.", w.format.Money(m.Price))}
	case recovery.EarlierHandover:
		return []string{"The GC and the other trade decide. Until they confirm, the plan rests on a hope: enter their new forecast on the handovers page."}
	case recovery.OtherBasis:
		return []string{"What is made before it is measured may not fit, and what does not fit is made again with its whole lead time."}
	}
	return nil
}

func percentWords(share float64) string { return web.Decimal(math.Round(share*1000) / 10) }

// isUnpriced reports whether something of the moves has no price.
func isUnpriced(moves []recovery.Move) bool {
	for _, m := range moves {
		if m.Kind == recovery.EarlierHandover || m.Kind == recovery.OtherBasis {
			return true
		}
	}
	return false
}

// holds says which task holds a date, as the reason why a move would not help.
func (w *moveWords) holds(key string) string {
	k, err := pattern.TaskKey(key).Parse()
	if err != nil || key == "" {
		return "what holds the date lies elsewhere"
	}
	name := w.task(key)
	switch k.Kind {
	case takeoff.Order, pattern.Lead, takeoff.Deliver:
		return name + " holds the date: material, not hours"
	case pattern.Handovers:
		return name + " holds the date, which another trade owes"
	}
	return name + " holds the date"
}

// scenarioLine is a scenario in a list.
func (w *moveWords) scenarioLine(s *models.Scenario) web.ScenarioLine {
	line := web.ScenarioLine{
		ID: strconv.FormatInt(s.ID, 10), Name: s.Name, State: strings.ReplaceAll(string(s.State), "_", " "), Texts: w.texts(s.Moves),
		Since: s.CreatedAt, By: s.MadeBy,
	}
	if s.InForceAt != nil {
		line.Since, line.By = *s.InForceAt, s.InForceBy
	}
	return line
}

// scenariosInForce are the scenarios that every plan is made with; projects nil means all.
func scenariosInForce(ctx context.Context, db *models.DB, projects []int64, f web.Format) ([]web.ScenarioLine, error) {
	scenarios, err := models.ScenariosInForce(ctx, db, projects)
	if err != nil || len(scenarios) == 0 {
		return nil, err
	}
	d, err := models.ReadDirectory(ctx, db)
	if err != nil {
		return nil, err
	}
	w := moveWords{names: newNamer(d), format: f}
	lines := make([]web.ScenarioLine, len(scenarios))
	for i := range scenarios {
		lines[i] = w.scenarioLine(&scenarios[i])
	}
	return lines, nil
}
