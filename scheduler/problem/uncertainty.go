package problem

// Uncertainty says what of a problem is not known for sure, for the forecast (package forecast). The planner itself takes
// no notice of it: a plan counts with the document's own minutes and dates. What no entry names is certain.
//
// The entries are of three sorts, and each says one thing. A Spread says how a length or a not_before varies. A Damage says
// that work may have to be done again after a remake. A CommonCause makes quantities move together; without one, every
// quantity of every task is drawn by itself.
type Uncertainty struct {
	Causes  []CommonCause `json:"causes,omitempty"`
	Spreads []Spread      `json:"spreads,omitempty"`
	Damages []Damage      `json:"damages,omitempty"`
}

// CommonCause is something that moves several quantities together: a supplier, a trade, an area, a season. Kind is a word
// for people and may be empty.
type CommonCause struct {
	ID   string `json:"id"`
	Kind string `json:"kind,omitempty"`
}

// Spread is how one quantity varies. It is the quantity of all Tasks, of all tasks of the Kinds, or of all work of the
// Crews; each task or crew has a draw of its own. Exactly one of Minutes, Factor and SlipMinutes is given:
//
//   - Minutes replaces labour_minutes or duration_minutes. Started work takes the same proportion of its remaining minutes.
//   - Factor multiplies them. Of crews it is the pace of a crew, and multiplies the labour of everything that crew does, on
//     top of the task's own spread.
//   - SlipMinutes is added to not_before, by the clock; below 0 it brings it forward. Tasks of Kinds without a not_before
//     have nothing to slip.
//
// A task that is named takes no notice of spreads and damages by kind.
type Spread struct {
	ID          string        `json:"id"`
	Tasks       []string      `json:"tasks,omitempty"`
	Kinds       []string      `json:"kinds,omitempty"`
	Crews       []string      `json:"crews,omitempty"`
	Minutes     *Distribution `json:"minutes,omitempty"`
	Factor      *Distribution `json:"factor,omitempty"`
	SlipMinutes *Distribution `json:"slip_minutes,omitempty"`
	// Causes is how much of the spread each common cause makes up, 0 to 1, in all at most 1; the rest is the task's own.
	// See package forecast for what that does to the draws. A cause of 1 makes all draws of a spread the same.
	Causes map[string]float64 `json:"causes,omitempty"`
}

// Damage is the chance that a task has to be done again. What follows the task, and its GC dates, then wait for a remake of
// RemakeMinutes in RemakeCalendar from the task's finish, and after it for the rework: crew work of the same kind, heads,
// place and limits as the task, with Rework times its labour (nil reads as 1). Fixed work, such as a delivery, is over when
// the remake is.
type Damage struct {
	ID             string             `json:"id"`
	Tasks          []string           `json:"tasks,omitempty"`
	Kinds          []string           `json:"kinds,omitempty"`
	Chance         float64            `json:"chance"`
	RemakeMinutes  *Distribution      `json:"remake_minutes"`
	RemakeCalendar string             `json:"remake_calendar"`
	Rework         *float64           `json:"rework,omitempty"`
	Causes         map[string]float64 `json:"causes,omitempty"` // as of a spread, for whether the damage happens
}

// Distribution is exactly one of five forms. What is drawn is rounded to the nearest whole minute, halves up, after factors
// have been multiplied with the document's minutes; a length below 0 counts as 0.
type Distribution struct {
	// Triangular: density rising in a straight line from least to likely, and falling to most. Mean (least + likely + most) / 3.
	Triangular *ThreePoint `json:"triangular,omitempty"`
	// Pert: the beta distribution on [least, most] with the shape parameters 1 + 4 (likely - least) / (most - least) and
	// 1 + 4 (most - likely) / (most - least). Mean (least + 4 likely + most) / 6.
	Pert *ThreePoint `json:"pert,omitempty"`
	// Uniform: every value between least and most alike.
	Uniform *Range `json:"uniform,omitempty"`
	// LogNormal: the logarithm is normal with mean ln median and standard deviation sigma. Mean median x exp(sigma^2 / 2).
	LogNormal *LogNormal `json:"log_normal,omitempty"`
	// Values with Chances: one of the values, each with its chance; the chances add up to 1.
	Values  []float64 `json:"values,omitempty"`
	Chances []float64 `json:"chances,omitempty"`
}

// ThreePoint is an estimate by least, likely and most, least <= likely <= most.
type ThreePoint struct {
	Least  float64 `json:"least"`
	Likely float64 `json:"likely"`
	Most   float64 `json:"most"`
}

// Range is least and most, least <= most.
type Range struct {
	Least float64 `json:"least"`
	Most  float64 `json:"most"`
}

// LogNormal is a log-normal distribution by its median, above 0, and the standard deviation of its logarithm, 0 to MaxSigma.
type LogNormal struct {
	Median float64 `json:"median"`
	Sigma  float64 `json:"sigma"`
}

// ReworkShare is the damage's Rework with its default.
func (d *Damage) ReworkShare() float64 {
	if d.Rework == nil {
		return 1
	}
	return *d.Rework
}

// IsLength reports whether the spread varies how long work takes, else when it may begin.
func (s *Spread) IsLength() bool { return s.SlipMinutes == nil }

// Governing finds the entry that holds for each task of a problem: the entry that names it, else the entry of its kind, else
// -1. names and kinds give the tasks and kinds of entry i of n; an entry for which both are nil is passed over. O(tasks +
// names). The problem has passed validation, so that no task is named by two entries of one sort.
func (p *Problem) Governing(n int, of func(i int) (tasks, kinds []string)) []int {
	byTask, byKind := make(map[string]int), make(map[string]int)
	for i := range n {
		tasks, kinds := of(i)
		for _, id := range tasks {
			byTask[id] = i
		}
		for _, kind := range kinds {
			byKind[kind] = i
		}
	}
	governing := make([]int, len(p.Tasks))
	for t := range p.Tasks {
		governing[t] = -1
		if i, ok := byTask[p.Tasks[t].ID]; ok {
			governing[t] = i
		} else if i, ok := byKind[p.Tasks[t].Kind]; ok {
			governing[t] = i
		}
	}
	return governing
}
