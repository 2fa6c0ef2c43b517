package record

import (
	"errors"
	"os"
)

// DieAt calls die before the n-th change, from 1, that putting results in
// place makes.
func DieAt(n int, die func(what string)) {
	done := 0
	step = func(what string) {
		if done++; done == n {
			die(what)
		}
	}
}

// WithoutExchange takes away the system's swap in one step.
func WithoutExchange() {
	exchange = func(a, b string) error { return errors.ErrUnsupported }
}

// FailAt has a change fail, as where another program holds a file open, and
// returns what takes that back. It is of the swap in two renames.
func FailAt(what string) (back func()) {
	was, wasExchange := rename, exchange
	WithoutExchange()
	now := ""
	step = func(what string) { now = what }
	rename = func(from, to string) error {
		if now == what {
			now = ""
			return &os.LinkError{Op: "rename", Old: from, New: to, Err: os.ErrPermission}
		}
		return was(from, to)
	}
	return func() { rename, exchange, step = was, wasExchange, func(string) {} }
}
