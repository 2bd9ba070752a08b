package dbtest

import (
	"fmt"
	"net"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"runtime"
	"strconv"
	"syscall"
)

// startServer makes a cluster in a temporary folder, starts a server on a free port of the loopback address and returns its
// address. The server dies with this process. Durability is off: nothing in it is worth keeping.
func startServer() (string, error) {
	bin, err := binaries()
	if err != nil {
		return "", err
	}
	owner, err := unprivileged()
	if err != nil {
		return "", err
	}
	folder, err := os.MkdirTemp("", "jambwright-postgres-")
	if err != nil {
		return "", err
	}
	if owner != nil {
		if err := os.Chown(folder, int(owner.Uid), int(owner.Gid)); err != nil {
			return "", err
		}
	}
	data := filepath.Join(folder, "data")
	initdb := exec.Command(filepath.Join(bin, "initdb"), "-D", data, "-U", "test", "--auth=trust", "--encoding=UTF8",
		"--locale=C", "--no-sync")
	initdb.Dir = folder
	initdb.SysProcAttr = &syscall.SysProcAttr{Credential: owner}
	if out, err := initdb.CombinedOutput(); err != nil {
		return "", fmt.Errorf("make a PostgreSQL cluster for tests: %w\n%s", err, out)
	}
	port, err := freePort()
	if err != nil {
		return "", err
	}
	postgres := exec.Command(filepath.Join(bin, "postgres"), "-D", data, "-p", strconv.Itoa(port),
		"-c", "listen_addresses=127.0.0.1", "-c", "unix_socket_directories=", "-c", "fsync=off",
		"-c", "synchronous_commit=off", "-c", "full_page_writes=off", "-c", "max_connections=200",
		"-c", "shared_buffers=32MB", "-c", "log_min_messages=fatal")
	postgres.Dir = folder
	if err := startTied(postgres, owner, folder); err != nil {
		return "", fmt.Errorf("start a PostgreSQL server for tests: %w", err)
	}
	return fmt.Sprintf("postgres://test@127.0.0.1:%d/postgres?sslmode=disable", port), nil
}

// startTied starts the server so that it ends with this process, and a watcher that then removes the folder. The
// kernel sends the parent-death signal when the thread that started the child ends, so that thread is kept for good.
// SIGQUIT makes the server stop at once, all its children included.
func startTied(server *exec.Cmd, owner *syscall.Credential, folder string) error {
	server.SysProcAttr = &syscall.SysProcAttr{Credential: owner, Pdeathsig: syscall.SIGQUIT}
	// The watcher reads a pipe that only this process keeps open for writing: it wakes when this process is gone.
	watcher := exec.Command("/bin/sh", "-c", `cat >/dev/null; sleep 1; rm -rf -- "$0"`, folder)
	watcher.Dir = "/"
	watcher.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	pipe, err := watcher.StdinPipe()
	if err != nil {
		return err
	}
	if err := watcher.Start(); err != nil {
		return err
	}
	started := make(chan error)
	go func() {
		runtime.LockOSThread()
		err := server.Start()
		started <- err
		if err == nil {
			err = server.Wait()
		}
		// Reached when the server ended before us; until then this keeps the pipe from being collected and closed.
		_ = firstError(err, pipe.Close())
	}()
	return <-started
}

// unprivileged is the user that the server runs as when this process is root, which PostgreSQL refuses to run as; nil
// for any other user.
func unprivileged() (*syscall.Credential, error) {
	if os.Getuid() != 0 {
		return nil, nil // no change of user is a valid answer
	}
	for _, name := range []string{"postgres", "nobody"} {
		u, err := user.Lookup(name)
		if err != nil {
			continue
		}
		uid, errUID := strconv.ParseUint(u.Uid, 10, 32)
		gid, errGID := strconv.ParseUint(u.Gid, 10, 32)
		if err := firstError(errUID, errGID); err != nil {
			return nil, err
		}
		return &syscall.Credential{Uid: uint32(uid), Gid: uint32(gid)}, nil
	}
	return nil, fmt.Errorf("PostgreSQL does not run as root, and there is neither a user postgres nor nobody")
}

func freePort() (int, error) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return 0, err
	}
	port := l.Addr().(*net.TCPAddr).Port
	return port, l.Close()
}
