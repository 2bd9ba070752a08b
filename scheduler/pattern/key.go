package pattern

import (
	"fmt"
	"strconv"
	"strings"

	"jambwright/scheduler/takeoff"
)

// Kinds of task that are not work on an opening.
const (
	// Lead is the time from order to arrival at the site's gate.
	Lead takeoff.Kind = "lead"
	// Handovers is the kind of a handover's task; its key ends in the condition instead.
	Handovers takeoff.Kind = "handover"
)

// TaskKey names a task for good: the same work has the same key in every plan, whatever else is added or removed. It is also
// the task's id in the problem document. Its form is project/subject/step:
//
//	NC/L2/survey          survey of an area
//	NC/L2/walls_boarded   handover of a condition of an area
//	NC/R3/order           order of a release or a remake
//	NC/R3/lead            its time under way, NC/R3/lead.2 for the second drop
//	NC/R3/deliver         its drop on site, NC/R3/deliver.2 for the second drop
//	NC/D-204/frame        work on an opening; so glaze, hang, punch
//
// A slash or a percent sign inside a part is written %2F or %25.
type TaskKey string

// Key is a task key taken apart.
type Key struct {
	Project string
	Subject string       // area, release, remake or mark
	Kind    takeoff.Kind // Handovers for a handover
	// Condition is set for a handover only.
	Condition Condition
	Drop      int // lead and deliver: number of the drop; 0 and 1 are the same
}

var (
	escaper   = strings.NewReplacer("%", "%25", "/", "%2F")
	unescaper = strings.NewReplacer("%2F", "/", "%25", "%")
)

// Task writes the key.
func (k Key) Task() TaskKey {
	step := string(k.Kind)
	switch {
	case k.Kind == Handovers:
		step = escaper.Replace(string(k.Condition))
	case k.Drop > 1:
		step += "." + strconv.Itoa(k.Drop)
	}
	return TaskKey(escaper.Replace(k.Project) + "/" + escaper.Replace(k.Subject) + "/" + step)
}

// Parse takes the key apart. It does not know which projects and subjects exist.
func (t TaskKey) Parse() (Key, error) {
	parts := strings.Split(string(t), "/")
	if len(parts) != 3 || parts[0] == "" || parts[1] == "" || parts[2] == "" {
		return Key{}, fmt.Errorf("task key %q is not of the form project/subject/step", string(t))
	}
	k := Key{Project: unescaper.Replace(parts[0]), Subject: unescaper.Replace(parts[1])}
	step, drop, numbered := strings.Cut(parts[2], ".")
	kind := takeoff.Kind(step)
	if !isStep(kind) {
		k.Kind, k.Condition = Handovers, Condition(unescaper.Replace(parts[2]))
		return k, nil
	}
	k.Kind = kind
	if kind == Lead || kind == takeoff.Deliver {
		k.Drop = 1
	}
	if !numbered {
		return k, nil
	}
	n, err := strconv.Atoi(drop)
	if err != nil || n < 2 || k.Drop == 0 || strconv.Itoa(n) != drop {
		return Key{}, fmt.Errorf("task key %q: %q is not a drop of a release; write deliver for the first, deliver.2 for the second", string(t), parts[2])
	}
	k.Drop = n
	return k, nil
}

// isStep reports whether a kind may stand as the last part of a key; everything else there is a handover's condition.
func isStep(kind takeoff.Kind) bool {
	switch kind {
	case takeoff.Survey, takeoff.Order, Lead, takeoff.Deliver, takeoff.Frame, takeoff.Glaze, takeoff.Hang, takeoff.Punch:
		return true
	}
	return false
}

// OpeningTask is the key of work on an opening.
func OpeningTask(project, mark string, kind takeoff.Kind) TaskKey {
	return Key{Project: project, Subject: mark, Kind: kind}.Task()
}

// SurveyTask is the key of the survey of an area.
func SurveyTask(project, area string) TaskKey {
	return Key{Project: project, Subject: area, Kind: takeoff.Survey}.Task()
}

// HandoverTask is the key of a handover.
func HandoverTask(project, area string, condition Condition) TaskKey {
	return Key{Project: project, Subject: area, Kind: Handovers, Condition: condition}.Task()
}

// OrderTask is the key of the order of a release or a remake.
func OrderTask(project, release string) TaskKey {
	return Key{Project: project, Subject: release, Kind: takeoff.Order}.Task()
}

// LeadTask is the key of the time under way of a drop.
func LeadTask(project, release string, drop int) TaskKey {
	return Key{Project: project, Subject: release, Kind: Lead, Drop: drop}.Task()
}

// DeliverTask is the key of a drop on site.
func DeliverTask(project, release string, drop int) TaskKey {
	return Key{Project: project, Subject: release, Kind: takeoff.Deliver, Drop: drop}.Task()
}
