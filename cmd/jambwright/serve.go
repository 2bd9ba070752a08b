package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"os"
	"strings"
	"syscall"
	"time"

	"jambwright/models"
	"jambwright/server"
	"jambwright/server/accounts"
	"jambwright/server/delays"
	"jambwright/server/forecasting"
	"jambwright/server/nightly"
	"jambwright/server/planning"
	"jambwright/server/recovering"
)

// Time limits of a connection. Pages have a deadline of their own in package server.
const (
	readHeaderTimeout = 10 * time.Second
	idleTimeout       = 2 * time.Minute
	shutdownTimeout   = 20 * time.Second
)

// runServe serves the pages and runs the nightly re-plan.
func runServe(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	var where place
	flags := newFlags("serve", "[--data DIR | --database URL] [--listen ADDR] [--worker-only]", stderr)
	where.flags(flags)
	listen := flags.String("listen", defaultListen, "`ADDR` to serve the pages on")
	origin := flags.String("origin", os.Getenv(originVariable), "public `URL` of the pages when a proxy stands in front (default: $"+originVariable+")")
	proxies := flags.String("trusted-proxies", "", "comma-separated `ADDRESSES` whose word on the client's address is believed")
	workerOnly := flags.Bool("worker-only", false, "take jobs and serve no pages")
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
	log := newLog(stderr)
	queue, stop, err := startNights(ctx, db, log)
	if err != nil {
		return failed(stderr, err)
	}
	defer stop()
	if *workerOnly {
		fmt.Fprintln(stdout, "taking jobs; stop with an interrupt")
		<-ctx.Done()
		return exitDone
	}
	s, err := server.New(server.Config{
		DB: db, Log: log, Queue: queue, Recovery: queue, Forecasts: queue, Origin: *origin, TrustedProxies: fields(*proxies),
		SecureCookies: strings.HasPrefix(*origin, "https://"),
	})
	if err != nil {
		return failed(stderr, err)
	}
	listener, err := listenOn(ctx, *listen)
	if err != nil {
		return failed(stderr, err)
	}
	// Only now: a link to a port that another program holds would lead to that program.
	if err := printFirstLink(ctx, db, listener.Addr(), *origin, stdout); err != nil {
		return failed(stderr, errors.Join(err, listener.Close()))
	}
	if err := serveUntilDone(ctx, s.Handler(), listener, stdout); err != nil {
		return failed(stderr, err)
	}
	return exitDone
}

// startNights opens the queue, takes jobs from it and sets the timers. stop lets the job under way finish.
func startNights(ctx context.Context, db *models.DB, log *slog.Logger) (queue *nightly.Queue, stop func(), err error) {
	quiet := slog.New(slog.NewTextHandler(os.Stderr, &slog.HandlerOptions{Level: slog.LevelWarn}))
	queue, err = nightly.NewQueue(db, delays.AfterNight(planning.NewNightly(db, log).Run, db, log), quiet, recovering.Job(db, log), forecasting.Job(db, log))
	if err != nil {
		return nil, nil, err
	}
	// The queue is stopped by stop, which lets the job under way finish, not by ctx, which would cut it short.
	if err := queue.Start(context.WithoutCancel(ctx)); err != nil {
		return nil, nil, err
	}
	stop = func() {
		patience, cancel := context.WithTimeout(context.WithoutCancel(ctx), shutdownTimeout)
		defer cancel()
		if err := queue.Stop(patience); err != nil {
			log.Error("stop the job queue", "error", err)
		}
	}
	timer := nightly.NewTimer(planning.DueProjects(db), queue, db.Now, log)
	if err := timer.Start(ctx); err != nil {
		stop()
		return nil, nil, err
	}
	return queue, stop, nil
}

// printFirstLink prints the one-time link for the first account, if there is none yet.
func printFirstLink(ctx context.Context, db *models.DB, address net.Addr, origin string, stdout io.Writer) error {
	service, err := accounts.New(db)
	if err != nil {
		return err
	}
	token, err := service.FirstLink(ctx)
	if err != nil || token == "" {
		return err
	}
	if origin == "" {
		origin = "http://" + reachable(address)
	}
	_, err = fmt.Fprintf(stdout, "There is no account yet. Make the first one, within two days, at\n\n    %s/welcome/%s\n\n", origin, token)
	return err
}

// reachable is an address by which a browser on this machine gets to a listener; 0.0.0.0 and [::] name all of them.
func reachable(address net.Addr) string {
	host, port, err := net.SplitHostPort(address.String())
	if err != nil {
		return address.String()
	}
	if ip := net.ParseIP(host); ip != nil && ip.IsUnspecified() {
		host = "localhost"
	}
	return net.JoinHostPort(host, port)
}

// listenOn takes the address that pages are served on.
func listenOn(ctx context.Context, address string) (net.Listener, error) {
	listener, err := new(net.ListenConfig).Listen(ctx, "tcp", address)
	switch {
	case errors.Is(err, syscall.EADDRINUSE):
		return nil, fmt.Errorf("listen on %s: %w\nanother program has the port: name another one with --listen", address, err)
	case err != nil:
		return nil, fmt.Errorf("listen on %s: %w\nname an address of this machine with --listen, such as 127.0.0.1:8080", address, err)
	}
	return listener, nil
}

// serveUntilDone serves until ctx ends, then lets the requests under way finish.
func serveUntilDone(ctx context.Context, handler http.Handler, listener net.Listener, stdout io.Writer) error {
	s := &http.Server{Handler: handler, ReadHeaderTimeout: readHeaderTimeout, IdleTimeout: idleTimeout}
	fmt.Fprintf(stdout, "serving on http://%s, stop with an interrupt\n", reachable(listener.Addr()))
	ended := make(chan error, 1)
	go func() { ended <- s.Serve(listener) }()
	select {
	case err := <-ended:
		return fmt.Errorf("serve on %s: %w", listener.Addr(), err)
	case <-ctx.Done():
	}
	patience, cancel := context.WithTimeout(context.WithoutCancel(ctx), shutdownTimeout)
	defer cancel()
	if err := s.Shutdown(patience); err != nil {
		return fmt.Errorf("stop serving: %w", err)
	}
	if err := <-ended; !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}

// fields splits a comma-separated list; an empty text has none.
func fields(text string) []string {
	return strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ' ' })
}
