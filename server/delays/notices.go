package delays

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"jambwright/models"
	"jambwright/scheduler/ledger"
)

// warnDays is how many days before a notice is due the pages warn.
const warnDays = 7

// NoticeState is how a notice stands.
type NoticeState string

// The states.
const (
	NoticeOpen    NoticeState = "open"     // more than a week left
	NoticeDueSoon NoticeState = "due soon" // within a week
	NoticeOverdue NoticeState = "overdue"
	NoticeSent    NoticeState = "sent"
	NoticeLate    NoticeState = "sent late"
)

// Notice is the notice that the contract asks for of an event.
type Notice struct {
	Deadline models.Date
	State    NoticeState
	DaysLeft int                 // negative when overdue; meaningless once sent
	Sent     *models.DelayNotice // nil until it is sent
}

// noticeOf is the notice of a cause, nil where the terms ask for none. Days are calendar days; the day of the event does not
// count, the last day does.
func noticeOf(terms *models.DelayTerms, cause ledger.Cause, at time.Time, zone *time.Location, sent *models.DelayNotice, now time.Time) *Notice {
	days := terms.NoticeDays(cause)
	if days == nil {
		return nil
	}
	today := models.DateIn(now, zone)
	n := &Notice{Deadline: models.DateIn(at, zone).AddDays(*days), Sent: sent}
	n.DaysLeft = int(n.Deadline.At(0, time.UTC).Sub(today.At(0, time.UTC)) / (24 * time.Hour))
	switch {
	case sent != nil && n.Deadline.Before(sent.SentOn):
		n.State = NoticeLate
	case sent != nil:
		n.State = NoticeSent
	case n.DaysLeft < 0:
		n.State = NoticeOverdue
	case n.DaysLeft <= warnDays:
		n.State = NoticeDueSoon
	default:
		n.State = NoticeOpen
	}
	return n
}

// Warning is a notice that is due within a week or overdue.
type Warning struct {
	Project models.Project
	Text    string
	Notice  Notice
}

// Warnings lists the notices that are due soon or overdue in projects (nil: all open ones), the most urgent first. The number
// of queries does not depend on how many there are.
func Warnings(ctx context.Context, r models.Reader, projects []int64) ([]Warning, error) {
	lines, err := models.UnnoticedLines(ctx, r, projects)
	if err != nil {
		return nil, err
	}
	now, seen := r.Now(), map[string]bool{}
	var list []Warning
	for i := range lines {
		l := &lines[i]
		zone, err := time.LoadLocation(l.Project.Zone)
		if err != nil {
			return nil, err
		}
		n := noticeOf(&l.Terms, l.Cause, l.At, zone, nil, now)
		if n == nil || n.State == NoticeOpen || seen[l.LineKey] {
			continue
		}
		seen[l.LineKey] = true
		list = append(list, Warning{Project: l.Project, Text: l.Text, Notice: *n})
	}
	sortWarnings(list)
	return list, nil
}

// Words say how the notice stands: "due Mon 7 Dec 2026, in 5 days".
func (n *Notice) Words() string {
	on := func(d models.Date) string { return d.At(0, time.UTC).Format(dayLayout) }
	due := "due " + on(n.Deadline)
	switch {
	case n.Sent != nil:
		text := "sent " + on(n.Sent.SentOn)
		if n.State == NoticeLate {
			text += ", after it was " + due
		} else {
			text += ", " + due
		}
		if n.Sent.Reference != "" {
			text += ", reference " + n.Sent.Reference
		}
		return text
	case n.DaysLeft < 0:
		return fmt.Sprintf("overdue by %s, it was %s", days(-n.DaysLeft), due)
	case n.DaysLeft == 0:
		return due + ", today"
	}
	return fmt.Sprintf("%s, in %s", due, days(n.DaysLeft))
}

func days(n int) string {
	if n == 1 {
		return "1 day"
	}
	return fmt.Sprintf("%d days", n)
}

// Warnings lists the notices of the statement that are due within a week or overdue, the most urgent first, each event once.
func (s *Statement) Warnings() []Warning {
	seen := map[string]bool{}
	var list []Warning
	for i := range s.Dates {
		for k := range s.Dates[i].Lines {
			l := &s.Dates[i].Lines[k]
			urgent := l.Notice != nil && (l.Notice.State == NoticeDueSoon || l.Notice.State == NoticeOverdue)
			if urgent && !seen[l.Key] {
				seen[l.Key] = true
				list = append(list, Warning{Project: s.Project, Text: l.Text, Notice: *l.Notice})
			}
		}
	}
	sortWarnings(list)
	return list
}

func sortWarnings(list []Warning) {
	slices.SortStableFunc(list, func(a, b Warning) int {
		return strings.Compare(a.Notice.Deadline.String(), b.Notice.Deadline.String())
	})
}
