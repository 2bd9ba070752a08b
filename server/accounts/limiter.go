package accounts

import (
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// Tries from one address: a burst for people who mistype, then one in six seconds.
const (
	burstPerAddress = 10
	everyPerAddress = 6 * time.Second
	keepAddresses   = 10_000
)

// addressLimiter counts tries by address in this process.
type addressLimiter struct {
	mu       sync.Mutex
	now      func() time.Time
	limiters map[string]*rate.Limiter
}

func newAddressLimiter(now func() time.Time) *addressLimiter {
	return &addressLimiter{now: now, limiters: map[string]*rate.Limiter{}}
}

// allow reports whether the address may try now, and counts the try.
func (l *addressLimiter) allow(address string) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	limiter := l.limiters[address]
	if limiter == nil {
		if len(l.limiters) >= keepAddresses {
			l.forget()
		}
		limiter = rate.NewLimiter(rate.Every(everyPerAddress), burstPerAddress)
		l.limiters[address] = limiter
	}
	return limiter.AllowN(l.now(), 1)
}

// forget drops addresses that have their full burst again; when none has, it drops all rather than grow without end.
func (l *addressLimiter) forget() {
	for address, limiter := range l.limiters {
		if limiter.TokensAt(l.now()) >= burstPerAddress {
			delete(l.limiters, address)
		}
	}
	if len(l.limiters) >= keepAddresses {
		clear(l.limiters)
	}
}
