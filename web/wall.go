package web

import (
	"strconv"
	"time"

	"jambwright/scheduler/problem"
)

// marksInBlock is how many marks a block of the wall names before it counts the rest.
const marksInBlock = 6

// FirstMarks are the marks that the wall names.
func (p LanePiece) FirstMarks() []LaneMark { return p.Marks[:min(len(p.Marks), marksInBlock)] }

// More is the number of marks that the wall does not name, as text; empty for none.
func (p LanePiece) More() string {
	if len(p.Marks) <= marksInBlock {
		return ""
	}
	return strconv.Itoa(len(p.Marks) - marksInBlock)
}

// leastGap is the shortest idle time in minutes that the wall shows; what is shorter no manager fills.
const leastGap = 30

// IsGap reports whether the piece is idle time worth showing.
func (p LanePiece) IsGap() bool { return p.Kind == PieceIdle && p.Minutes >= leastGap }

// Shows reports whether a phone shows the lane at the index: the chosen one, else that of the open block, else the first.
func (p CrewsPage) Shows(index int) bool {
	chosen := p.Chosen
	if open := p.OpenBlock(); chosen == "" && open != nil {
		chosen = open.Crew.ID
	}
	for i := range p.Lanes {
		if p.Lanes[i].Crew.ID == chosen {
			return i == index
		}
	}
	return index == 0
}

// IsDataDate reports whether the plan of the page was made on the day.
func (p CrewsPage) IsDataDate(d Day) bool {
	return !p.DataDate.IsZero() && problem.DateOf(p.Format.In(p.DataDate)) == d.Date
}

// Weekday is the short name of the day: "Wed".
func (d Day) Weekday() string { return d.noon().Format("Mon") }

// DayMonth is the date without its weekday: "2 Dec".
func (d Day) DayMonth() string { return d.noon().Format("2 Jan") }

func (d Day) noon() time.Time {
	return time.Date(d.Date.Year, d.Date.Month, d.Date.Day, 12, 0, 0, 0, time.UTC)
}
