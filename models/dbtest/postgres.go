package dbtest

import (
	"cmp"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	_ "github.com/jackc/pgx/v5/stdlib" // the driver "pgx" for creating and dropping databases
	"github.com/stretchr/testify/require"

	"jambwright/testdata"
)

// envDatabase names a running server to use instead of starting one.
const envDatabase = "JAMBWRIGHT_TEST_DATABASE"

// setupTime bounds the start of a server and each creation of a database.
const setupTime = 60 * time.Second

// errNoServer says that there is neither an address in the environment nor a server to start.
var errNoServer = errors.New("no PostgreSQL server binaries in PATH or /usr/lib/postgresql, and " + envDatabase + " is not set")

func setupContext() (context.Context, context.CancelFunc) {
	return context.WithTimeout(context.Background(), setupTime)
}

// PostgresDSN is the address of a fresh, migrated PostgreSQL database that is dropped at the test's end. Tests that need
// several processes on one database use it; others call Postgres.
func PostgresDSN(t testing.TB) string {
	t.Helper()
	return postgresCopy(t, "")
}

// postgresCopy makes a copy of a template, "" for the migrated one, that is dropped at the test's end.
func postgresCopy(t testing.TB, template string) string {
	t.Helper()
	s, err := sharedServer()
	if errors.Is(err, errNoServer) {
		testdata.Missing(t, "not run on PostgreSQL: "+err.Error())
	}
	require.NoError(t, err)
	name := fmt.Sprintf("test_%d_%d", os.Getpid(), s.copies.Add(1))
	require.NoError(t, s.create(name, cmp.Or(template, s.template)))
	t.Cleanup(func() { require.NoError(t, s.drop(name)) })
	return s.address(name)
}

// server is a PostgreSQL server with a migrated template database.
type server struct {
	base     url.URL // address without a database name
	template string
	admin    *sql.DB
	creating sync.Mutex // a template cannot be copied by two sessions at once
	copies   atomic.Int64
}

// sharedServer is the one server of this test binary.
var sharedServer = sync.OnceValues(func() (*server, error) {
	address := os.Getenv(envDatabase)
	if address == "" {
		var err error
		if address, err = startServer(); err != nil {
			return nil, err
		}
	}
	base, err := url.Parse(address)
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", envDatabase, err)
	}
	admin, err := sql.Open("pgx", base.String())
	if err != nil {
		return nil, err
	}
	admin.SetMaxOpenConns(1)
	s := &server{base: *base, admin: admin, template: fmt.Sprintf("test_%d_template", os.Getpid())}
	if err := s.awaitReady(); err != nil {
		return nil, err
	}
	// A test binary before this one may have had the same process number.
	if err := firstError(s.drop(s.template), s.create(s.template, "template0"), migrate(s.address(s.template))); err != nil {
		return nil, err
	}
	return s, nil
})

func (s *server) address(name string) string {
	u := s.base
	u.Path = "/" + name
	return u.String()
}

// awaitReady tries until the server answers; a fresh one takes a tenth of a second.
func (s *server) awaitReady() error {
	ctx, cancel := setupContext()
	defer cancel()
	for {
		err := s.admin.PingContext(ctx)
		if err == nil {
			return nil
		}
		select {
		case <-ctx.Done():
			return fmt.Errorf("the PostgreSQL server for tests does not answer: %w", err)
		case <-time.After(20 * time.Millisecond):
		}
	}
}

func (s *server) create(name, template string) error {
	s.creating.Lock()
	defer s.creating.Unlock()
	return s.exec("CREATE DATABASE " + name + " TEMPLATE " + template + " ENCODING 'UTF8'")
}

func (s *server) drop(name string) error {
	return s.exec("DROP DATABASE IF EXISTS " + name + " WITH (FORCE)")
}

func (s *server) exec(statement string) error {
	ctx, cancel := setupContext()
	defer cancel()
	if _, err := s.admin.ExecContext(ctx, statement); err != nil {
		return fmt.Errorf("%s: %w", statement, err)
	}
	return nil
}

// binaries finds the folder that holds initdb and postgres, the newest version first. Links are followed, since the
// server finds its own files beside the real one.
func binaries() (string, error) {
	candidates, err := filepath.Glob("/usr/lib/postgresql/*/bin")
	if err != nil {
		return "", err
	}
	slices.SortFunc(candidates, func(a, b string) int {
		return cmpVersions(filepath.Base(filepath.Dir(b)), filepath.Base(filepath.Dir(a)))
	})
	candidates = append(candidates, filepath.SplitList(os.Getenv("PATH"))...)
	for _, folder := range candidates {
		real, err := filepath.EvalSymlinks(filepath.Join(folder, "postgres"))
		if err != nil {
			continue
		}
		if _, err := os.Stat(filepath.Join(filepath.Dir(real), "initdb")); err == nil {
			return filepath.Dir(real), nil
		}
	}
	return "", errNoServer
}

// cmpVersions orders version folders such as 9.6 and 15 by number.
func cmpVersions(a, b string) int {
	if d := len(before(a, ".")) - len(before(b, ".")); d != 0 {
		return d
	}
	return strings.Compare(a, b)
}

func before(text, separator string) string {
	head, _, _ := strings.Cut(text, separator)
	return head
}
