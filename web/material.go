package web

import (
	"fmt"
	"math"
	"strconv"
	"time"
)

// MaterialPage answers project managers and buyers: what must be ordered by when, what is late by whom.
// GET /material?project=&supplier=&area=&item=&show=.
type MaterialPage struct {
	Chrome
	Filter    MaterialFilter
	Projects  []Choice
	Suppliers []Choice
	Areas     []Choice
	Items     []Choice
	DataDate  time.Time // of the plan that the needs come from; zero when nothing has been planned
	ToOrder   []Delivery
	Coming    []Delivery // ordered and not here
	Here      []Delivery
	Remakes   []Delivery // those that are not here
	Days      []DeliveryDay
	Releases  []ReleaseLine
	Exports   []Choice // order lists to take away: address and name
	Total     int      // lines of the project before filtering
	Merges    int      // suggestions to make one order of several
	Splits    int      // releases that are too late for some of what they hold
}

// MaterialFilter is the part of the address that chooses lines.
type MaterialFilter struct {
	Project  string `form:"project"`
	Supplier string `form:"supplier"`
	Area     string `form:"area"`
	Item     string `form:"item"`
	Show     string `form:"show"` // "late", "order", "coming", "here" or everything
}

// Active reports whether anything but the project is chosen.
func (f MaterialFilter) Active() bool {
	return f.Supplier != "" || f.Area != "" || f.Item != "" || f.Show != ""
}

// Shows are the parts of the list that can be shown alone.
func (p MaterialPage) Shows() []Choice {
	return []Choice{{"late", "Late"}, {"order", "To order"}, {"coming", "On its way"}, {"here", "Here"}}
}

// Late counts the lines that are expected after their need or that a supplier is late with.
func (p MaterialPage) Late() int {
	n := 0
	for _, list := range [][]Delivery{p.ToOrder, p.Coming} {
		for i := range list {
			if list[i].Trouble() {
				n++
			}
		}
	}
	return n
}

// Shown counts the lines that pass the filter.
func (p MaterialPage) Shown() int { return len(p.ToOrder) + len(p.Coming) + len(p.Here) }

// Delivery is one delivery: a drop of a release, or a remake. A zero time is unknown.
type Delivery struct {
	Href       string // of the release's or remake's page
	EditHref   string // of the form for a change; the action is to be added
	DeliverKey string // of the task that unloads it
	Name       string
	Drop       int
	Drops      int // of the release
	RestOf     int // the drop of which this one brings the rest; 0 for none
	Remake     bool
	Cause      string // of a remake
	OpeningID  string // of a remake
	Mark       string
	Supplier   string
	What       string // "12 frame kits"
	Where      string
	Basis      string // "survey"
	Least      int    // lead days
	Likely     int
	Most       int
	Ordered    time.Time
	Promised   time.Time
	Shipped    time.Time
	Received   time.Time
	Need       time.Time // latest arrival
	UsedFrom   time.Time
	OrderLeast time.Time // order-by dates for the three leads
	OrderBy    time.Time
	OrderMost  time.Time
	CanOrder   time.Time
	Expected   time.Time
	Latest     time.Time
	Rule       string // a leadtime.Rule
	MarginDays *float64
	OrderDays  *float64
	Waits      string // why nobody can say when it comes
}

// Title is the line's name with its drop where the release has several.
func (l Delivery) Title() string {
	if l.Drops > 1 {
		return l.Name + ", drop " + strconv.Itoa(l.Drop)
	}
	return l.Name
}

// Late reports whether it is expected after its need.
func (l Delivery) Late() bool { return l.MarginDays != nil && l.Expected.After(l.Need) }

// BySupplier reports whether the supplier did not keep his time.
func (l Delivery) BySupplier() bool { return l.Rule == "missed_promise" || l.Rule == "overdue" }

// Trouble reports whether somebody should look at it.
func (l Delivery) Trouble() bool { return l.Late() || l.BySupplier() }

// State is how far it has come, in words.
func (l Delivery) State() string {
	switch {
	case !l.Received.IsZero():
		return "received"
	case !l.Shipped.IsZero():
		return "shipped"
	case !l.Promised.IsZero() && !l.Ordered.IsZero():
		return "acknowledged"
	case !l.Ordered.IsZero():
		return "ordered"
	}
	return "to order"
}

// thisWeek is how far ahead an order is for this week.
const thisWeek = 7 * 24 * time.Hour

// Urgency says when the order is due: "late", "this week", "later", or "no date".
func (l Delivery) Urgency(now time.Time) string {
	switch {
	case l.OrderBy.IsZero():
		return "no date"
	case l.Late() || l.OrderBy.Before(now):
		return "late"
	case l.OrderBy.Before(now.Add(thisWeek)):
		return "this week"
	}
	return "later"
}

// OrderWords says what its order-by date means today.
func (l Delivery) OrderWords(f Format) string {
	switch {
	case l.OrderBy.IsZero() && l.Waits != "":
		return "No order-by date: " + l.Waits + "."
	case l.OrderBy.IsZero():
		return "No order-by date yet: the plan does not say when it is needed."
	case l.OrderDays != nil && *l.OrderDays < 0:
		return fmt.Sprintf("Order-by date passed %s ago: earliest delivery %s, needed by %s.", wholeDays(-*l.OrderDays), l.arrival(f), f.Day(l.Need))
	case l.Late():
		return fmt.Sprintf("It cannot be ordered before %s, after its order-by date: earliest delivery %s, needed by %s.", f.FinishDay(l.CanOrder), l.arrival(f), f.Day(l.Need))
	case l.Expected.IsZero() && l.Waits != "":
		return "It cannot be ordered yet: " + l.Waits + "."
	case l.OrderDays == nil:
		return ""
	case *l.OrderDays < 1:
		return "It must be ordered today."
	}
	return fmt.Sprintf("%s left to order it; needed on site by %s.", f.Capital(wholeDays(*l.OrderDays)), f.Day(l.Need))
}

// arrival is the expected day of arrival.
func (l Delivery) arrival(f Format) string {
	if l.Expected.IsZero() {
		return "cannot be told"
	}
	return f.FinishDay(l.Expected)
}

// LeadWords shows all three leads and says which one the order-by date counts.
func (l Delivery) LeadWords(f Format) string {
	text := fmt.Sprintf("Lead %d to %d working days; the likely %d count.", l.Least, l.Most, l.Likely)
	if !l.OrderBy.IsZero() {
		text += fmt.Sprintf(" At the least it could wait until %s, at the most it had to go by %s.", f.FinishDay(l.OrderLeast), f.FinishDay(l.OrderMost))
	}
	return text
}

// ArrivalWords says when it comes, against when it is needed, and who is late.
func (l Delivery) ArrivalWords(f Format) string {
	if !l.Received.IsZero() {
		return "Received " + f.Day(l.Received) + "."
	}
	text := ""
	switch l.Rule {
	case "promised":
		text = "Promised for " + f.Day(l.Promised)
	case "missed_promise":
		text = fmt.Sprintf("%s promised it for %s and it has not come; with what is left of the lead time, %s", l.who(), f.Day(l.Promised), f.FinishDay(l.Expected))
	case "overdue":
		text = fmt.Sprintf("Ordered %s, and the likely lead of %d working days is used up; with what is left of it, %s", f.Day(l.Ordered), l.Likely, f.FinishDay(l.Expected))
	case "computed", "to_order":
		text = "Not promised; by the likely lead it comes " + f.FinishDay(l.Expected)
	default:
		text = "Nobody can say when it comes"
	}
	if l.Need.IsZero() {
		return text + "."
	}
	text += ", needed by " + f.Day(l.Need)
	if l.MarginDays != nil {
		text += ": " + l.Margin(f)
	}
	return text + "."
}

// Margin is the working time between arrival and need, in words.
func (l Delivery) Margin(f Format) string {
	if l.MarginDays == nil {
		return ""
	}
	days := *l.MarginDays
	if l.Late() && days > -0.05 {
		return "late by hours"
	}
	return f.FloatDays(days)
}

func (l Delivery) who() string {
	if l.Supplier == "" {
		return "The supplier"
	}
	return l.Supplier
}

// wholeDays writes working days, rounded down: a day begun is not a day left.
func wholeDays(days float64) string {
	n := int(math.Floor(days + 1e-9))
	if n == 1 {
		return "1 working day"
	}
	return strconv.Itoa(n) + " working days"
}

// DeliveryDay is one day of the site with what is expected at its gate.
type DeliveryDay struct {
	Day         Day
	Lines       []Delivery
	DockMinutes int // of unloading, with what is left from the days before
	Carried     int // of them, left from the days before
	DockRoom    int // minutes that the dock works, times how many unload at once; 0: no limit
}

// Overfull reports whether the dock cannot take the day's deliveries.
func (d DeliveryDay) Overfull() bool { return d.DockRoom > 0 && d.DockMinutes > d.DockRoom }

// DockWords says how the dock is loaded.
func (d DeliveryDay) DockWords(f Format) string {
	switch {
	case d.DockMinutes == 0:
		return ""
	case d.Day.Off != "":
		return f.Hours(d.DockMinutes) + " of unloading on a day without work: it waits for the next"
	case d.DockRoom == 0:
		return f.Hours(d.DockMinutes) + " of unloading, no limit is set"
	}
	text := f.Hours(d.DockMinutes) + " of unloading"
	if d.Carried > 0 {
		text += ", " + f.Hours(d.Carried) + " of it from days before"
	}
	text += "; the dock takes " + f.Hours(d.DockRoom) + " a day"
	if d.Overfull() {
		text += ": " + f.Hours(d.DockMinutes-d.DockRoom) + " run on"
	}
	return text
}

// ReleaseLine is a release in the list of all.
type ReleaseLine struct {
	Href     string
	Name     string
	Supplier string
	What     string
	Where    string
	Basis    string
	States   []string // of its drops: "drop 1 received"
	Empty    bool     // nothing comes with it
}
