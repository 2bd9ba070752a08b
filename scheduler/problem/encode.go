package problem

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"time"
)

// Write writes a problem document: stable, one element of a list to a line, times in the document's zone. Reading it
// back gives an equal problem.
func Write(out io.Writer, p *Problem) error {
	zone, err := LoadZone(p.Zone)
	if err != nil {
		return fmt.Errorf("writing the problem: %w", err)
	}
	w := newDocumentWriter(out)
	w.field("version", p.Version)
	w.field("zone", p.Zone)
	w.field("data_date", p.DataDate.In(zone))
	writeList(w, "calendars", p.Calendars, withShiftLists)
	writeList(w, "sites", p.Sites, same)
	writeList(w, "travel", p.Travel, same)
	writeList(w, "areas", p.Areas, same)
	writeList(w, "crews", p.Crews, func(c Crew) Crew { return c.in(zone) })
	writeList(w, "limits", p.Limits, same)
	w.lines("tasks", len(p.Tasks), func(i int) any { return p.Tasks[i].in(zone) })
	writeList(w, "links", p.Links, same)
	writeList(w, "gc_dates", p.GCDates, func(d GCDate) GCDate {
		d.Date, d.Tasks = d.Date.In(zone), notNil(d.Tasks)
		return d
	})
	if p.FrozenUntil != nil {
		w.field("frozen_until", p.FrozenUntil.In(zone))
	}
	writeList(w, "issued", p.Issued, func(line Issued) Issued {
		line.Start = line.Start.In(zone)
		if line.Resume != nil {
			line.Resume = new(line.Resume.In(zone))
		}
		return line
	})
	if p.OutOfOrder != "" {
		w.field("out_of_order", p.OutOfOrder)
	}
	if p.Weights != nil {
		w.field("weights", p.Weights)
	}
	if p.Uncertainty != nil {
		w.field("uncertainty", p.Uncertainty)
	}
	return w.close("writing the problem")
}

// WritePlan writes a plan document with its times in an IANA zone, as Write does. All lists are there, empty ones too.
func WritePlan(out io.Writer, p *Plan, zoneName string) error {
	zone, err := LoadZone(zoneName)
	if err != nil {
		return fmt.Errorf("writing the plan: %w", err)
	}
	w := newDocumentWriter(out)
	w.field("version", p.Version)
	w.lines("tasks", len(p.Tasks), func(i int) any { return p.Tasks[i].in(zone) })
	w.lines("unplanned", len(p.Unplanned), func(i int) any { return p.Unplanned[i] })
	w.lines("gc_dates", len(p.GCDates), func(i int) any {
		d := p.GCDates[i]
		d.Forecast, d.DrivingChain = inZone(d.Forecast, zone), notNil(d.DrivingChain)
		return d
	})
	objective, bound := p.Objective, p.LowerBound
	objective.Makespan, bound.Makespan = objective.Makespan.In(zone), bound.Makespan.In(zone)
	w.field("objective", objective)
	w.field("lower_bound", bound)
	w.field("run", p.Run)
	if len(p.Notes) > 0 {
		w.lines("notes", len(p.Notes), func(i int) any { return p.Notes[i] })
	}
	return w.close("writing the plan")
}

// documentWriter writes one JSON object field by field and keeps the first error.
type documentWriter struct {
	out   *bufio.Writer
	err   error
	count int
	one   bytes.Buffer
	json  *json.Encoder // into one
}

func newDocumentWriter(out io.Writer) *documentWriter {
	w := &documentWriter{out: bufio.NewWriterSize(out, 1<<16)}
	w.json = json.NewEncoder(&w.one)
	w.json.SetEscapeHTML(false)
	return w
}

func (w *documentWriter) put(text string) {
	if w.err == nil {
		_, w.err = w.out.WriteString(text)
	}
}

func (w *documentWriter) name(name string) {
	if w.count++; w.count == 1 {
		w.put("{\n  \"")
	} else {
		w.put(",\n  \"")
	}
	w.put(name + "\": ")
}

func (w *documentWriter) value(value any) {
	if w.err != nil {
		return
	}
	w.one.Reset()
	if w.err = w.json.Encode(value); w.err == nil {
		_, w.err = w.out.Write(bytes.TrimSuffix(w.one.Bytes(), []byte("\n")))
	}
}

func (w *documentWriter) field(name string, value any) {
	w.name(name)
	w.value(value)
}

// lines writes a list, one element to a line.
func (w *documentWriter) lines(name string, n int, element func(int) any) {
	w.name(name)
	if n == 0 {
		w.put("[]")
		return
	}
	for i := range n {
		if i == 0 {
			w.put("[\n    ")
		} else {
			w.put(",\n    ")
		}
		w.value(element(i))
	}
	w.put("\n  ]")
}

func (w *documentWriter) close(doing string) error {
	w.put("\n}\n")
	if w.err == nil {
		w.err = w.out.Flush()
	}
	if w.err != nil {
		return fmt.Errorf("%s: %w", doing, w.err)
	}
	return nil
}

// writeList writes a list that may be left out, each element in its written form.
func writeList[T any](w *documentWriter, name string, elements []T, form func(T) T) {
	if len(elements) > 0 {
		w.lines(name, len(elements), func(i int) any { return form(elements[i]) })
	}
}

func same[T any](element T) T { return element }

func notNil[T any](elements []T) []T {
	if elements == nil {
		return []T{}
	}
	return elements
}

func inZone(t *time.Time, zone *time.Location) *time.Time {
	if t == nil {
		return nil
	}
	return new(t.In(zone))
}

func withShiftLists(c Calendar) Calendar {
	exceptions := make([]Exception, len(c.Exceptions))
	for i, e := range c.Exceptions {
		exceptions[i] = Exception{Date: e.Date, Shifts: notNil(e.Shifts)}
	}
	c.Exceptions = exceptions
	return c
}

func (c Crew) in(zone *time.Location) Crew {
	away := make([]Span, len(c.Away))
	for i, span := range c.Away {
		away[i] = Span{From: span.From.In(zone), To: span.To.In(zone)}
	}
	c.Away, c.Skills = away, notNil(c.Skills)
	return c
}

func (t Task) in(zone *time.Location) Task {
	t.NotBefore, t.Deadline = inZone(t.NotBefore, zone), inZone(t.Deadline, zone)
	if t.Pin != nil {
		t.Pin = &Pin{Crew: t.Pin.Crew, Start: inZone(t.Pin.Start, zone)}
	}
	if t.Status != nil {
		status := *t.Status
		status.Started, status.Finished = status.Started.In(zone), inZone(status.Finished, zone)
		t.Status = &status
	}
	return t
}

func (t PlannedTask) in(zone *time.Location) PlannedTask {
	t.Start, t.Resume, t.Finish = t.Start.In(zone), inZone(t.Resume, zone), t.Finish.In(zone)
	segments := make([][2]time.Time, len(t.Segments))
	for i, s := range t.Segments {
		segments[i] = [2]time.Time{s[0].In(zone), s[1].In(zone)}
	}
	t.Segments = segments
	t.EarlyStart, t.EarlyFinish = t.EarlyStart.In(zone), t.EarlyFinish.In(zone)
	t.LateStart, t.LateFinish = t.LateStart.In(zone), t.LateFinish.In(zone)
	t.Reason.Until = t.Reason.Until.In(zone)
	return t
}
