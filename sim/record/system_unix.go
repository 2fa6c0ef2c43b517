//go:build unix

package record

import (
	"errors"
	"os"
	"syscall"
)

func isFull(err error) bool {
	return errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EDQUOT)
}

// running tells whether a process of that number exists.
func running(pid int) bool {
	p, err := os.FindProcess(pid)
	if err != nil {
		return false
	}
	err = p.Signal(syscall.Signal(0))
	return err == nil || errors.Is(err, os.ErrPermission)
}

// isBusy tells whether a folder cannot be moved, as where a disk is mounted.
func isBusy(err error) bool { return errors.Is(err, syscall.EBUSY) || errors.Is(err, syscall.EXDEV) }

// syncFolder has the names in a folder outlast a loss of power, if the disk
// does its part.
func syncFolder(dir string) {
	if f, err := os.Open(dir); err == nil {
		f.Sync()
		f.Close()
	}
}
