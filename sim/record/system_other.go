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

// isBusy tells whether another program holds a file of a folder open:
// ERROR_ACCESS_DENIED, ERROR_SHARING_VIOLATION and ERROR_LOCK_VIOLATION.
func isBusy(err error) bool {
	return errors.Is(err, syscall.Errno(5)) || errors.Is(err, syscall.Errno(32)) || errors.Is(err, syscall.Errno(33))
}

// syncFolder does nothing: a folder cannot be flushed there.
func syncFolder(dir string) {}
