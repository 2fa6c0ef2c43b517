//go:build !linux

package record

import "errors"

// systemExchange is there for systems that cannot swap two folders in one step.
func systemExchange(a, b string) error { return errors.ErrUnsupported }
