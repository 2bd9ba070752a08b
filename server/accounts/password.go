// Package accounts lets people in: passwords, sign-in with a limit on tries, sessions, one-time links, and what each of
// the three roles may see.
//
// A password is kept as argon2id in the usual text form. Tries are limited twice: in memory per address, which is quick
// but counts for this process only, and by the failures stored in the database per account, which counts for all
// processes. The answer to a wrong name and to a wrong password is the same, and takes the same time.
package accounts

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"unicode/utf8"

	"github.com/alexedwards/argon2id"
)

// Lengths of a password, in characters. The upper one only keeps a request from hashing megabytes.
const (
	MinPassword = 12
	MaxPassword = 256
)

// params cost about 20 ms and 19 MiB a hash: argon2id with m = 19 MiB, t = 2, p = 1, the common recommendation for servers
// with little memory (OWASP password storage guidance; figures from memory).
func params() *argon2id.Params {
	return &argon2id.Params{Memory: 19 * 1024, Iterations: 2, Parallelism: 1, SaltLength: 16, KeyLength: 32}
}

// ErrPasswordLength says that a password is too short or too long.
var ErrPasswordLength = errors.New("password length")

// hasher bounds how many hashes are made at once, since each takes memory.
type hasher struct {
	slots chan struct{}
	dummy string // compared with when there is no such account, so that the answer takes as long
}

func newHasher() (*hasher, error) {
	dummy, err := argon2id.CreateHash("no account has this password", params())
	if err != nil {
		return nil, fmt.Errorf("make the first password hash: %w", err)
	}
	return &hasher{slots: make(chan struct{}, runtime.GOMAXPROCS(0)), dummy: dummy}, nil
}

// hash is the stored form of a password.
func (h *hasher) hash(ctx context.Context, password string) (string, error) {
	if n := utf8.RuneCountInString(password); n < MinPassword || n > MaxPassword {
		return "", fmt.Errorf("%w: it has %d characters, take %d to %d", ErrPasswordLength, n, MinPassword, MaxPassword)
	}
	if err := h.enter(ctx); err != nil {
		return "", err
	}
	defer h.leave()
	return argon2id.CreateHash(password, params())
}

// matches reports whether the password is the one behind stored; an empty stored form matches nothing but takes as long.
func (h *hasher) matches(ctx context.Context, password, stored string) (bool, error) {
	if utf8.RuneCountInString(password) > MaxPassword {
		return false, nil
	}
	if err := h.enter(ctx); err != nil {
		return false, err
	}
	defer h.leave()
	if stored == "" {
		_, err := argon2id.ComparePasswordAndHash(password, h.dummy)
		return false, err
	}
	return argon2id.ComparePasswordAndHash(password, stored)
}

func (h *hasher) enter(ctx context.Context) error {
	select {
	case h.slots <- struct{}{}:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}

func (h *hasher) leave() { <-h.slots }
