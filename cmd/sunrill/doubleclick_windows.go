package main

import (
	"syscall"
	"unsafe"
)

// doubleClicked tells whether the program has a console of its own, as it gets
// from a double click: in a shell's console the shell is attached too.
func doubleClicked() bool {
	list := syscall.NewLazyDLL("kernel32.dll").NewProc("GetConsoleProcessList")
	var ids [2]uint32
	n, _, _ := list.Call(uintptr(unsafe.Pointer(&ids[0])), uintptr(len(ids)))
	return n == 1
}
