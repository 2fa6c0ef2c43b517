package main

import (
	"fmt"
	"strings"
	"sunrill/sim/files"
	"text/tabwriter"

	"github.com/spf13/pflag"
)

// overview is what "sunrill --help" prints.
func overview() string {
	var b strings.Builder
	b.WriteString("Sunrill steps through a year, hour by hour, and tells a household off the grid\nwhether its panels, its creek and its battery bank will carry it.\n\n")
	b.WriteString("Usage: sunrill COMMAND [SITE] [flags]\n\nSITE is a folder that describes your homestead (make one with \"sunrill new\");\nwithout it, the commands use the site folder that you are in, or else an\ninvented homestead that is built in.\n\nCommands:\n")
	w := tabwriter.NewWriter(&b, 0, 0, 3, ' ', 0)
	for _, c := range commands() {
		fmt.Fprintf(w, "  %s\t%s\n", c.name, c.brief)
	}
	w.Flush()
	b.WriteString("\nStart with:\n  sunrill year\n\n\"sunrill COMMAND --help\" tells more. Exit codes: 0 done, 1 the site's files are\nwrong, 2 the command line is wrong, 3 anything else.\n")
	return b.String()
}

// helpWidth is wider than a line of text, because the flags stand in two
// columns.
const helpWidth = 100

// help is what "sunrill COMMAND --help" prints.
func help(cmd command, fs *pflag.FlagSet) string {
	var b strings.Builder
	fmt.Fprintf(&b, "Usage: sunrill %s\n\n%s\n\nExample:\n  %s\n", strings.TrimSpace(cmd.name+" "+cmd.args), cmd.long, cmd.example)
	own := pflag.NewFlagSet(cmd.name, pflag.ContinueOnError)
	own.SortFlags = false
	if cmd.flags != nil {
		cmd.flags(own)
		if usages := usagesOf(own); usages != "" {
			fmt.Fprintf(&b, "\nFlags of %s:\n%s", cmd.name, usages)
		}
	}
	shared := pflag.NewFlagSet(cmd.name, pflag.ContinueOnError)
	shared.SortFlags = false
	new(options).add(shared, cmd.groups)
	if usages := usagesOf(shared); usages != "" {
		fmt.Fprintf(&b, "\nShared flags:\n%s", usages)
	}
	return b.String()
}

func names() []string {
	var ns []string
	for _, c := range commands() {
		ns = append(ns, c.name)
	}
	return ns
}

// didYouMean names the nearest of the known words, if one is near.
func didYouMean(word string, known []string) string {
	if n := files.Nearest(word, known); n != "" {
		return fmt.Sprintf("; did you mean %q?", n)
	}
	return ""
}

func didYouMeanFlag(word string, known []string) string {
	if n := files.Nearest(word, known); n != "" {
		return fmt.Sprintf("; did you mean --%s?", n)
	}
	return ""
}

// usagesOf lists the flags of a set. That a switch may be written with =true or
// =false is left out: nobody needs to.
func usagesOf(fs *pflag.FlagSet) string {
	const switched = "[=true|false]"
	return strings.ReplaceAll(fs.FlagUsagesWrapped(helpWidth), switched, strings.Repeat(" ", len(switched)))
}
