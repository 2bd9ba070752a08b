package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"log/slog"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"jambwright/migrations"
	"jambwright/models"
)

// Environment variables that stand in for flags.
const (
	databaseVariable = "JAMBWRIGHT_DATABASE"
	originVariable   = "JAMBWRIGHT_ORIGIN"
)

// defaultListen is where pages are served when nothing else is said: to this machine only.
const defaultListen = "127.0.0.1:8080"

// now is the one clock of the program.
func now() time.Time { return time.Now() }

// newFlags makes a flag set that reports to stderr and explains itself in one line.
func newFlags(name, usage string, stderr io.Writer) *flag.FlagSet {
	flags := flag.NewFlagSet(name, flag.ContinueOnError)
	flags.SetOutput(stderr)
	flags.Usage = func() {
		fmt.Fprintf(stderr, "usage: jambwright %s %s\n", name, usage)
		flags.PrintDefaults()
	}
	return flags
}

// place says where the data lies; the flags of every command that opens the database fill it.
type place struct {
	data     string
	database string
}

func (p *place) flags(flags *flag.FlagSet) {
	flags.StringVar(&p.data, "data", "", "`DIR` that holds the embedded database (default: the user's data folder)")
	flags.StringVar(&p.database, "database", os.Getenv(databaseVariable),
		"PostgreSQL `URL`, postgres://…, instead of the embedded database (default: $"+databaseVariable+")")
}

// file is the path of the embedded database; its folder is made when absent.
func (p *place) file() (string, error) {
	folder := p.data
	if folder == "" {
		own, err := dataFolder()
		if err != nil {
			return "", fmt.Errorf("find the user's data folder: %w\nname one with --data DIR", err)
		}
		folder = filepath.Join(own, "jambwright")
	}
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return "", fmt.Errorf("make the data folder: %w\nname another one with --data DIR", err)
	}
	return filepath.Join(folder, "jambwright.db"), nil
}

// dataFolder is where programs keep their data for this user: on Linux as the XDG base directory specification says,
// elsewhere where the system keeps settings.
func dataFolder() (string, error) {
	if runtime.GOOS != "linux" {
		return os.UserConfigDir()
	}
	if folder := os.Getenv("XDG_DATA_HOME"); filepath.IsAbs(folder) {
		return folder, nil
	}
	home, err := os.UserHomeDir()
	return filepath.Join(home, ".local", "share"), err
}

// open opens the database that p names and brings its schema up to date.
func (p *place) open(ctx context.Context) (*models.DB, error) {
	dsn := p.database
	if scheme, _, isURL := strings.Cut(dsn, "://"); dsn != "" && (!isURL || scheme != "postgres" && scheme != "postgresql") {
		return nil, fmt.Errorf("--database %q is no PostgreSQL URL: write postgres://user@host/name, or leave it out for the embedded database", dsn)
	}
	if dsn == "" {
		file, err := p.file()
		if err != nil {
			return nil, err
		}
		dsn = file
	}
	db, err := models.Open(ctx, dsn, now)
	if err != nil {
		return nil, err
	}
	if err := migrations.Up(ctx, db.SQL(), migrations.Dialect(db.Dialect())); err != nil {
		return nil, errors.Join(err, db.Close())
	}
	return db, nil
}

// newLog writes warnings and what people did, one line each.
func newLog(stderr io.Writer) *slog.Logger {
	return slog.New(slog.NewTextHandler(stderr, &slog.HandlerOptions{Level: slog.LevelInfo}))
}

// parse reads flags. done tells that the command ends here, with the code: help was asked for, or a flag is wrong.
func parse(flags *flag.FlagSet, args []string) (code int, done bool) {
	switch err := flags.Parse(args); {
	case errors.Is(err, flag.ErrHelp):
		return exitDone, true
	case err != nil:
		return exitUsage, true
	}
	return exitDone, false
}

// noArguments refuses words after the flags, for commands that take none: a flag's dashes forgotten would go unnoticed.
func noArguments(flags *flag.FlagSet) (code int, done bool) {
	if flags.NArg() == 0 {
		return exitDone, false
	}
	fmt.Fprintf(flags.Output(), "jambwright: %s takes no arguments, got %q\n", flags.Name(), flags.Args())
	flags.Usage()
	return exitUsage, true
}

// failed reports an error of the program itself.
func failed(stderr io.Writer, err error) int {
	fmt.Fprintf(stderr, "jambwright: %v\n", err)
	return exitFailed
}
