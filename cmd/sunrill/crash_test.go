package main

import (
	"bytes"
	"os"
	"os/exec"
	"strings"
	"testing"
)

// fault breaks the process in ways that no deferred function sees.
func fault(kind string) {
	switch kind {
	case "goroutine":
		go func() { panic("a fault of ours") }()
		select {}
	case "stack":
		var deep func(n int) int
		deep = func(n int) int { return 1 + deep(n+1) }
		os.Exit(deep(0))
	case "memory":
		var held [][]byte
		for {
			b := make([]byte, 64<<20)
			for i := 0; i < len(b); i += 4096 {
				b[i] = 1
			}
			held = append(held, b)
			if len(held) > 100 {
				os.Exit(0) // there was room for it
			}
		}
	}
}

// A fault of ours and memory that runs out never end with the exit code of a
// wrong command line.
func TestFaultsDoNotBlameTheCommandLine(t *testing.T) {
	t.Parallel()
	shell, err := exec.LookPath("sh")
	if err != nil {
		t.Skip(err)
	}
	self, err := os.Executable()
	if err != nil {
		t.Skip(err)
	}
	for kind, says := range map[string]string{"goroutine": "a fault of ours", "stack": "fatal error", "memory": "memory"} {
		var errOut bytes.Buffer
		limit := "" // of address space, of which the runtime alone takes much
		if kind == "memory" {
			limit = "ulimit -v 4000000 || exit 77; "
		}
		cmd := exec.Command(shell, "-c", "ulimit -c 0 2>/dev/null; "+limit+`exec "$@"`, "sh", self, "fault", kind)
		cmd.Stderr = &errOut
		_ = cmd.Run()
		code := cmd.ProcessState.ExitCode()
		switch {
		case code == 77 || code == 0 && kind == "memory":
			continue // no such limit here
		case code == exitUsage || code == exitBadInput || code == exitOK || !strings.Contains(errOut.String(), says):
			t.Errorf("%s: exit code %d, error %.300q", kind, code, errOut.String())
		}
	}
}
