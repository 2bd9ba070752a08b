package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"time"

	"jambwright/models"
	"jambwright/server/importing"
	"jambwright/server/intake"
)

// saveImport saves what was read of a file into a project, which is begun when there is none of that name.
func saveImport(ctx context.Context, r importRequest, s *importing.Sheet, stdout, stderr io.Writer) int {
	db, err := r.where.open(ctx)
	if err != nil {
		return failed(stderr, err)
	}
	defer db.Close()
	store := intake.NewStore(db, models.Actor{Name: "import command"}, models.NewProject{Zone: r.zone})
	store.File = s.File
	preview, err := importing.NewPreview(ctx, store, r.project, s)
	if err != nil {
		return failed(stderr, err)
	}
	_, missing := models.ProjectByName(ctx, db, r.project)
	answers := importing.Answers{LeaveOut: r.leave, Of: map[string]importing.Answer{}}
	if r.yes {
		answers.Of = importing.TakeAll(preview)
	}
	saved, err := importing.Apply(ctx, store, preview, answers)
	var refused *intake.RefusedError
	switch {
	case errors.Is(err, importing.ErrUnanswered):
		fmt.Fprintf(stderr, "jambwright import: %v\nnothing was saved: answer on the import page, or take what the sheet says with --yes\n", err)
		return exitUsage
	case errors.Is(err, importing.ErrFaults):
		fmt.Fprintf(stderr, "jambwright import: %v\nnothing was saved: mend the sheet, or leave those rows out with --leave-out\n", err)
		return exitUsage
	case errors.As(err, &refused):
		fmt.Fprintf(stderr, "jambwright import: nothing was saved:\n%v\n", refused)
		return exitUsage
	case err != nil:
		return failed(stderr, err)
	}
	switch {
	case saved.Empty():
		fmt.Fprintln(stdout, "nothing to save: the project holds all of it already")
	case errors.Is(missing, models.ErrNotFound):
		fmt.Fprintf(stdout, "began the project %s in the zone %s: %s\n", r.project, r.zone, saved)
	default:
		fmt.Fprintf(stdout, "saved into %s: %s\n", r.project, saved)
	}
	return exitDone
}

// localZone is the IANA zone of this machine, or UTC where its name is not known.
func localZone() string {
	if name := time.Now().Location().String(); name != "Local" {
		return name
	}
	return "UTC"
}
