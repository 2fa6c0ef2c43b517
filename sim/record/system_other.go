//go:build !unix

package record

import (
	"errors"
	"os"
	"syscall"
)

// errDiskFull is ERROR_DISK_FULL of the Windows system error codes.
const errDiskFull = syscall.Errno(112)

func isFull(err error) bool { return errors.Is(err, errDiskFull) }

// running tells whether a process of that number exists.
func running(pid int) bool {
	p, err := os.FindProcess(pid)
	if err != nil {
		return false
	}
	p.Release()
	return true
}
