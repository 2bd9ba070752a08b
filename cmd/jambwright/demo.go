package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"os"
	"path/filepath"
	"strings"
	"time"

	"jambwright/migrations"
	"jambwright/models"
	"jambwright/scheduler/problem"
	"jambwright/server"
	"jambwright/server/demo"
	"jambwright/web"
)

// runDemo loads the invented job into a fresh embedded database, plans it, prints the summary and serves it to this
// machine only.
func runDemo(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	flags := newFlags("demo", "[--no-serve] [--listen ADDR]", stderr)
	noServe := flags.Bool("no-serve", false, "end after the summary")
	listen := flags.String("listen", defaultListen, "loopback `ADDR` to serve the pages on")
	if code, done := parse(flags, args); done {
		return code
	}
	if code, done := noArguments(flags); done {
		return code
	}
	if err := loopbackOnly(*listen); err != nil {
		fmt.Fprintf(stderr, "jambwright: %v\n", err)
		return exitUsage
	}
	folder, err := os.MkdirTemp("", "jambwright-demo-")
	if err != nil {
		return failed(stderr, fmt.Errorf("make a folder for the demo: %w", err))
	}
	defer os.RemoveAll(folder)
	if err := demoIn(ctx, folder, *listen, !*noServe, stdout, stderr); err != nil {
		return failed(stderr, err)
	}
	return exitDone
}

// loopbackOnly refuses addresses that others can reach: the demo lets anybody in by a button.
func loopbackOnly(address string) error {
	host, _, err := net.SplitHostPort(address)
	if err != nil {
		return fmt.Errorf("--listen %q is not of the form 127.0.0.1:8080", address)
	}
	if ip := net.ParseIP(host); host != "localhost" && (ip == nil || !ip.IsLoopback()) {
		return fmt.Errorf("--listen %q can be reached from outside; the demo lets anybody in, so it listens on 127.0.0.1, [::1] or localhost only", address)
	}
	return nil
}

func demoIn(ctx context.Context, folder, listen string, serve bool, stdout, stderr io.Writer) (err error) {
	clock := demo.NewClock(now)
	db, err := models.Open(ctx, filepath.Join(folder, "jambwright.db"), clock.Now)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	if err := migrations.Up(ctx, db.SQL(), migrations.Dialect(db.Dialect())); err != nil {
		return err
	}
	log := slog.New(slog.NewTextHandler(stderr, &slog.HandlerOptions{Level: slog.LevelWarn}))
	begin := now()
	if err := demo.Load(ctx, db, clock, log); err != nil {
		return fmt.Errorf("load the demo: %w", err)
	}
	summary, err := server.Summarize(ctx, db)
	if err != nil {
		return err
	}
	printSummary(stdout, summary)
	fmt.Fprintf(stdout, "\nloaded and planned in %.1f s; people, firms and sites are invented\n", now().Sub(begin).Seconds())
	if !serve {
		return nil
	}
	queue, stop, err := startNights(ctx, db, log)
	if err != nil {
		return err
	}
	defer stop()
	s, err := server.New(server.Config{DB: db, Log: log, Queue: queue, Recovery: queue, Forecasts: queue, Demo: true})
	if err != nil {
		return err
	}
	listener, err := listenOn(ctx, listen)
	if err != nil {
		return err
	}
	return serveUntilDone(ctx, s.Handler(), listener, stdout)
}

// printSummary writes tomorrow's work of every crew and the outlook of every GC date.
func printSummary(w io.Writer, s *server.Summary) {
	f := s.Format
	fmt.Fprintf(w, "Work of %s\n", f.Date(s.Date))
	for _, crew := range s.Crews {
		switch {
		case crew.Off != "":
			fmt.Fprintf(w, "\n%s: %s\n", crew.Crew.Name, crew.Off)
		case len(crew.Tasks) == 0:
			fmt.Fprintf(w, "\n%s, %s: nothing planned%s\n", crew.Crew.Name, f.Of(crew.Crew.Heads, "hand", "hands"), nextWork(f, crew.Next))
		default:
			fmt.Fprintf(w, "\n%s, %s, %s of work\n", crew.Crew.Name, f.Of(crew.Crew.Heads, "hand", "hands"), f.Hours(crew.Minutes))
		}
		for _, t := range crew.Tasks {
			fmt.Fprintf(w, "  %12s  %-7s %-24s %-9s %s\n", startsAt(f, s.Date, t.Start), t.Kind, shortened(t.Mark+" "+t.Room, 24), t.State, strings.Join(t.Why, "; "))
		}
	}
	fmt.Fprint(w, "\nGC dates\n")
	for _, d := range s.Dates {
		forecast := "no forecast: " + strings.Join(d.Missing, "; ")
		if d.Forecast != nil {
			forecast = "forecast " + f.FinishDay(*d.Forecast) + ", " + f.FloatDays(d.FloatDays)
		}
		fmt.Fprintf(w, "  %-26s %s  %s\n", d.Name, f.FinishDay(d.Date), forecast)
	}
}

// startsAt is when work of a day starts, with the weekday where that is a day before.
func startsAt(f web.Format, day problem.Date, start time.Time) string {
	if problem.DateOf(f.In(start)) == day {
		return f.Clock(start)
	}
	return f.In(start).Format("Mon ") + f.Clock(start)
}

// nextWork names the next work of a crew that has none that day.
func nextWork(f web.Format, next *web.DayTask) string {
	if next == nil {
		return ""
	}
	text := fmt.Sprintf("; next %s %s, %s", next.Kind, next.Mark, f.Moment(next.Start))
	if len(next.Why) > 0 {
		text += ": " + strings.Join(next.Why, "; ")
	}
	return text
}

// shortened cuts a text to a number of characters.
func shortened(text string, n int) string {
	runes := []rune(text)
	if len(runes) <= n {
		return text
	}
	return string(runes[:n-1]) + "…"
}
