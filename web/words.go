package web

// TaskKind is one of the seven kinds of task, as the planning core names them.
type TaskKind string

// The seven kinds of task in the order an opening goes through them.
const (
	KindSurvey  TaskKind = "survey"
	KindOrder   TaskKind = "order"
	KindDeliver TaskKind = "deliver"
	KindFrame   TaskKind = "frame"
	KindGlaze   TaskKind = "glaze"
	KindHang    TaskKind = "hang"
	KindPunch   TaskKind = "punch"
)

// TaskKinds lists the seven kinds in order.
func TaskKinds() []TaskKind {
	return []TaskKind{KindSurvey, KindOrder, KindDeliver, KindFrame, KindGlaze, KindHang, KindPunch}
}

// Glyph is the name of the kind's drawing; a kind that is not one of the seven gets the plain one.
func (k TaskKind) Glyph() string {
	switch k {
	case KindSurvey, KindOrder, KindDeliver, KindFrame, KindGlaze, KindHang, KindPunch:
		return string(k)
	}
	return "other"
}

// TaskState is where a task stands.
type TaskState string

// The five states of a task.
const (
	StateClear    TaskState = "clear"
	StateWaiting  TaskState = "waiting"
	StateUnderWay TaskState = "under way"
	StateHeld     TaskState = "held"
	StateDone     TaskState = "done"
)

// Class is the state as the style sheet names it.
func (s TaskState) Class() string {
	if s == StateUnderWay {
		return "under-way"
	}
	return string(s)
}

// ReportKind is what a field report says.
type ReportKind string

// The kinds of field report.
const (
	ReportStart    ReportKind = "start"
	ReportDone     ReportKind = "done"
	ReportPartDone ReportKind = "part_done"
	ReportHours    ReportKind = "hours"
	ReportHold     ReportKind = "hold"
	ReportLifted   ReportKind = "release_hold"
	ReportDamaged  ReportKind = "damaged"
	ReportMeasured ReportKind = "measured"
)

// ReportKinds lists the kinds in the order their buttons stand.
func ReportKinds() []ReportKind {
	return []ReportKind{ReportStart, ReportDone, ReportPartDone, ReportHold, ReportDamaged, ReportMeasured, ReportHours}
}

// Name is the word on the button.
func (k ReportKind) Name() string {
	switch k {
	case ReportStart:
		return "Start"
	case ReportDone:
		return "Done"
	case ReportPartDone:
		return "Part done"
	case ReportHours:
		return "Hours"
	case ReportHold:
		return "Hold"
	case ReportLifted:
		return "Hold lifted"
	case ReportDamaged:
		return "Damaged"
	case ReportMeasured:
		return "Measured"
	}
	return string(k)
}
