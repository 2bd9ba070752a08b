package main

import (
	"context"
	"fmt"
	"io"
	"os"

	"jambwright/models"
)

// runMigrate brings the database to this program's schema.
func runMigrate(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	var where place
	flags := newFlags("migrate", "[--data DIR | --database URL]", stderr)
	where.flags(flags)
	if code, done := parse(flags, args); done {
		return code
	}
	if code, done := noArguments(flags); done {
		return code
	}
	db, err := where.open(ctx)
	if err != nil {
		return failed(stderr, err)
	}
	defer db.Close()
	fmt.Fprintf(stdout, "the %s database has this program's schema\n", db.Dialect())
	return exitDone
}

// runBackup writes a copy of the embedded database while it may be in use.
func runBackup(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	var where place
	flags := newFlags("backup", "[--data DIR] FILE", stderr)
	where.flags(flags)
	files, code, done := parseWithFiles(flags, args, 1)
	if done {
		return code
	}
	target := files[0]
	if _, err := os.Stat(target); err == nil {
		fmt.Fprintf(stderr, "jambwright: %s exists already; name a new file\n", target)
		return exitUsage
	}
	db, err := where.open(ctx)
	if err != nil {
		return failed(stderr, err)
	}
	defer db.Close()
	if db.Dialect() != models.SQLite {
		fmt.Fprintln(stderr, "jambwright: a PostgreSQL database is copied with its own tools, such as pg_dump")
		return exitUsage
	}
	// VACUUM INTO reads one snapshot and writes a whole, compact file, whatever is being written meanwhile.
	if _, err := db.SQL().ExecContext(ctx, "VACUUM INTO ?", target); err != nil {
		return failed(stderr, fmt.Errorf("copy the database to %s: %w", target, err))
	}
	fmt.Fprintf(stdout, "copied to %s\n", target)
	return exitDone
}
