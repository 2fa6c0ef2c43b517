package main

import (
	"fmt"
	"io"
)

// output is the standard output, which keeps the first error that it met:
// what could not be printed is no success, and the many lines that print need
// not ask each time.
type output struct {
	w   io.Writer
	err error
}

func (o *output) Write(p []byte) (int, error) {
	if o.err != nil {
		return 0, o.err
	}
	n, err := o.w.Write(p)
	if err != nil {
		o.err = fmt.Errorf("print the result: %w", err)
	}
	return n, o.err
}
