package main

import (
	"encoding/json"
	"path/filepath"
	"strings"
	"testing"
)

// What is set is told in all that is printed and written, and gives what the
// edited file gives.
func TestSetIsTold(t *testing.T) {
	t.Parallel()
	dir, edited := folderOf(t, smallSite()), folderOf(t, smallSite())
	change(t, edited, "site.toml", `capacity = "8 kWh"`, `capacity = "9 kWh"`)
	out := filepath.Join(t.TempDir(), "out")
	const told = `bank.capacity = "9 kWh" (the file has "8 kWh")`

	printed, errOut, code := sunrill(t, "year", dir, "--set", "bank.capacity=9 kWh", "--draws", "2", "--out", out)
	if code != exitOK || !strings.Contains(printed, told) {
		t.Errorf("exit code %d: %s%s", code, errOut, printed)
	}
	written, _ := contents(t, out)
	for _, name := range []string{"/report.html", "/sunrill-results.json"} {
		if text := strings.NewReplacer("&#34;", `"`, `\"`, `"`).Replace(written[name]); !strings.Contains(text, told) {
			t.Errorf("%s does not tell it", name)
		}
	}
	want := filepath.Join(t.TempDir(), "out")
	plain, errOut, code := sunrill(t, "year", edited, "--draws", "2", "--json", "--out", want)
	if code != exitOK {
		t.Fatal(errOut)
	}
	expected, _ := contents(t, want)
	for name, text := range expected {
		if strings.HasSuffix(name, ".csv") && written[name] != text {
			t.Errorf("%s is not that of the edited file", name)
		}
	}
	printed, _, _ = sunrill(t, "year", dir, "--draws", "2", "--json", "--set", "bank.capacity=9 kWh", "--out", out)
	var a, b map[string]any
	if json.Unmarshal([]byte(printed), &a) != nil || json.Unmarshal([]byte(plain), &b) != nil {
		t.Fatalf("no JSON: %s", printed)
	}
	if set, _ := a["set"].([]any); len(set) != 1 || set[0] != told {
		t.Errorf("the JSON tells %v", a["set"])
	}
	if a["unmet_hours"] != b["unmet_hours"] || len(a) != len(b)+1 {
		t.Errorf("the JSON is\n%s\nthat of the edited file\n%s", printed, plain)
	}
}
