package pattern

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"jambwright/scheduler/takeoff"
)

// Finished is one finished task to learn from.
type Finished struct {
	Kind          takeoff.Kind
	Crew          string  // id; "" when nobody said who did it
	Pace          float64 // of that crew beside the table as it is stated, crowding included: one a crew and kind; 0 reads as 1
	ActualMinutes int     // labour minutes reported
	Basis         takeoff.Basis
	// ExpectedMinutes are labour minutes by the company table where the basis is not known.
	ExpectedMinutes int
}

// Expected is labour hours by the company table, whoever does it.
func (f *Finished) Expected(company *takeoff.Rates) float64 {
	if f.Basis.IsKnown() {
		return company.HoursOn(f.Kind, f.Basis).Hours
	}
	return float64(f.ExpectedMinutes) / 60
}

// Experience is what finished tasks have taught about the hours of one kind of work, of the firm or of one crew. It changes no
// plan; what a person accepted of it is in Firm.Rates.Accepted and Firm.Paces.
//
// A crew's factor is of its hours as they are, its pace included; the kind's is of a crew of pace 1. The logarithm of
// the next task's reported hours over its planned ones follows a Student distribution with Learned.Freedom degrees of freedom
// around Bias, of the scale Learned.Predictive().
type Experience struct {
	Kind    takeoff.Kind
	Crew    string // id in Firm.Crews; "" for the kind as a whole
	Learned takeoff.Learned
	// Planned is what plans reckon with at present, in the same measure as Learned.Factor: labour hours against the company table.
	Planned float64
}

// Bias is the logarithm of what hours are expected to be over what is planned: 0 when plans are right, above when they are short.
func (e *Experience) Bias() float64 { return math.Log(e.Learned.Factor / e.Planned) }

// Pace is what a crew was found to take and a person accepted: labour hours of the kind against the company table. It replaces
// the crew's stated productivity and the loss by crowding, both of which are in what was observed.
type Pace struct {
	Kind   takeoff.Kind
	Crew   string
	Factor float64
}

// StatedPace is a crew's pace beside the table by what is stated of it: its productivity and the room it finds.
func (s Settings) StatedPace(kind takeoff.Kind, heads int, productivity float64) float64 {
	for _, rule := range s.Crowding {
		if rule.Kind == kind {
			productivity *= rule.factor(heads)
		}
	}
	return productivity
}

// LearnFrom learns each kind of work, and each crew from where its kind stands: a crew of which little is known is taken to be
// like the others, at its stated pace. Entries come in the order of kinds, the kind before its crews, crews by id; kinds and
// crews without a finished task have none. Tasks whose hours say nothing (none reported, none expected) are passed over and
// counted in skipped. paces are the stated ones by crew and kind; accepted are the paces in force.
//
// The order of finished does not matter. The cost is that of sorting them.
func LearnFrom(prior takeoff.Prior, rates takeoff.Rates, finished []Finished, accepted []Pace) (list []Experience, skipped int, err error) {
	company := rates.WithDefaults().Company()
	type who struct {
		kind takeoff.Kind
		crew string
	}
	observed, pace := map[who][]takeoff.Observation{}, map[who]float64{}
	for i := range finished {
		f := &finished[i]
		o := takeoff.Observation{Actual: float64(f.ActualMinutes) / 60, Planned: f.Expected(&company)}
		if o.Actual <= 0 || o.Planned <= 0 {
			skipped++
			continue
		}
		stated := cmp.Or(f.Pace, 1)
		if f.Crew != "" {
			crew := who{f.Kind, f.Crew}
			observed[crew], pace[crew] = append(observed[crew], o), stated
		}
		o.Planned /= stated
		observed[who{kind: f.Kind}] = append(observed[who{kind: f.Kind}], o)
	}
	for _, kind := range takeoff.Kinds() {
		if len(observed[who{kind: kind}]) == 0 {
			continue
		}
		whole, err := takeoff.Learn(prior, observed[who{kind: kind}])
		if err != nil {
			return nil, skipped, fmt.Errorf("learn the hours of %s: %w", kind, err)
		}
		planned := rates.AcceptedFactor(kind)
		list = append(list, Experience{Kind: kind, Learned: whole, Planned: planned})
		first := len(list)
		for crew, observations := range observed {
			if crew.kind != kind || crew.crew == "" {
				continue
			}
			from := whole.Prior(prior)
			from.Factor /= pace[crew]
			own, err := takeoff.Learn(from, observations)
			if err != nil {
				return nil, skipped, fmt.Errorf("learn the hours of %s by crew %s: %w", kind, crew.crew, err)
			}
			e := Experience{Kind: kind, Crew: crew.crew, Learned: own, Planned: planned / pace[crew]}
			if at := slices.IndexFunc(accepted, func(p Pace) bool { return p.Kind == kind && p.Crew == crew.crew }); at >= 0 {
				e.Planned = accepted[at].Factor
			}
			list = append(list, e)
		}
		slices.SortFunc(list[first:], func(a, b Experience) int { return cmp.Compare(a.Crew, b.Crew) })
	}
	return list, skipped, nil
}
