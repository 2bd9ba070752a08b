package pattern

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// NoteKind groups notes.
type NoteKind string

// The kinds of note.
const (
	NoteGear       NoteKind = "lifting gear"    // a piece that no crew can lift by hand
	NoteWaits      NoteKind = "waits"           // a task that waits without a date
	NoteLate       NoteKind = "late"            // a promise that has passed
	NoteUnlisted   NoteKind = "unlisted"        // a handover that no area lists
	NoteDropped    NoteKind = "dropped"         // a pin, an issued line or a GC date that no longer fits
	NoteOutOfOrder NoteKind = "out of order"    // work started before what it depends on was finished
	NoteFuture     NoteKind = "after data date" // a date of something that is said to have happened, after the data date
	NoteBasis      NoteKind = "order basis"     // a release that would wait for itself
	NoteRepair     NoteKind = "repair"          // finished work that a remake opens again
	NoteStorage    NoteKind = "storage"         // an area that cannot store what is delivered to it
	NoteCrews      NoteKind = "crews in zones"  // a limit of an area around others, applied to each
)

// Note is one thing to tell a planner.
type Note struct {
	Kind    NoteKind
	Project string
	Task    TaskKey // "" when it is about something else
	Subject string  // opening, area, release
	Text    string
}

// noteTask tells something about a task.
func (p *projectBuilder) noteTask(kind NoteKind, task TaskKey, subject, format string, values ...any) {
	p.index.Notes = append(p.index.Notes, Note{Kind: kind, Project: p.pr.Code, Task: task, Subject: subject, Text: fmt.Sprintf(format, values...)})
}

// noteOf tells something about what is no task.
func (p *projectBuilder) noteOf(kind NoteKind, subject, format string, values ...any) {
	p.noteTask(kind, "", subject, format, values...)
}

// noteGone tells that something is known of a task that no longer exists. Its project may be gone as well, so the key says
// which one it was.
func (b *builder) noteGone(key, what string) {
	project, _, _ := strings.Cut(key, "/")
	b.index.Notes = append(b.index.Notes, Note{
		Kind: NoteDropped, Project: unescaper.Replace(project), Subject: key, Text: what + " " + key + ", which is no longer planned",
	})
}

// sortNotes orders the notes by project, then by the place of their task; those without a task come first.
func (b *builder) sortNotes() {
	slices.SortStableFunc(b.index.Notes, func(x, y Note) int {
		return cmp.Or(cmp.Compare(x.Project, y.Project), cmp.Compare(b.position(string(x.Task)), b.position(string(y.Task))),
			cmp.Compare(x.Kind, y.Kind), cmp.Compare(x.Subject, y.Subject), cmp.Compare(x.Text, y.Text))
	})
}
