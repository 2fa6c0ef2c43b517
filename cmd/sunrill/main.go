package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime/debug"
	"strings"

	"github.com/spf13/pflag"

	"sunrill/sim/files"
)

// Every exit code means one thing.
const (
	exitOK       = 0
	exitBadInput = 1 // the site's files are wrong
	exitUsage    = 2 // the command line is wrong
	exitFailed   = 3 // disk full, cannot write, interrupted, a fault of ours
)

func main() {
	notExitUsage()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	context.AfterFunc(ctx, stop) // a second Ctrl-C ends it at once
	args := os.Args[1:]
	if len(args) == 0 && doubleClicked() {
		args = byDoubleClick()
	}
	os.Exit(run(ctx, args, os.Stdout, os.Stderr))
}

// notExitUsage keeps the Go runtime from ending with its own exit code, which
// is that of a wrong command line: where memory runs out, or a goroutine
// panics, the process is aborted instead.
func notExitUsage() { debug.SetTraceback("crash") }

// command is one word that may follow "sunrill". Each has a file of its own.
type command struct {
	name    string
	args    string                  // what follows the name in the usage line, such as "[SITE]"
	brief   string                  // one line for the list of commands
	long    string                  // what it does, for its own --help
	example string                  // a command line that works as it stands
	groups  group                   // the shared flags that it takes
	flags   func(fs *pflag.FlagSet) // its own flags; may be nil
	run     func(c *call) error
}

// commands lists them in the order in which a newcomer meets them.
func commands() []command {
	return []command{
		newCommand(),
		importCommand(),
		checkCommand(),
		reckonCommand(),
		gaugeCommand(),
		fitCommand(),
		yearCommand(),
		changeoverCommand(),
		bankCommand(),
		drywinterCommand(),
		worthCommand(),
		outlookCommand(),
		improveCommand(),
		compareCommand(),
		liveCommand(),
		bookCommand(),
		versionCommand(),
	}
}

// run is the program: it returns the exit code and touches nothing but the
// writers and the files that the arguments name.
func run(ctx context.Context, args []string, stdout, errOut io.Writer) (code int) {
	out := &output{w: stdout}
	defer func() {
		if r := recover(); r != nil {
			fmt.Fprintf(errOut, "sunrill: a fault of ours, not of your files: %v\n%s\n    Please report it with the command line and, if you can, the site folder.\n", r, debug.Stack())
			code = exitFailed
		}
		if code == exitOK && out.err != nil {
			code = conclude(errOut, out.err)
		}
	}()
	if len(args) == 0 {
		fmt.Fprint(errOut, overview())
		return exitUsage
	}
	switch args[0] {
	case "--help", "-h", "help":
		if len(args) > 1 && args[0] == "help" {
			args = []string{args[1], "--help"}
			break
		}
		fmt.Fprint(out, overview())
		return exitOK
	case "--version":
		args[0] = "version"
	}
	for _, cmd := range commands() {
		if cmd.name == args[0] {
			return conclude(errOut, runCommand(ctx, cmd, args[1:], out, errOut))
		}
	}
	return conclude(errOut, usageError{fmt.Sprintf("%q is no command%s (sunrill --help lists them)", args[0], didYouMean(args[0], names()))})
}

func runCommand(ctx context.Context, cmd command, args []string, out, errOut io.Writer) error {
	c := &call{ctx: ctx, out: out, err: errOut}
	fs := pflag.NewFlagSet(cmd.name, pflag.ContinueOnError)
	fs.SortFlags = false
	fs.Usage = func() {}
	fs.SetOutput(io.Discard)
	if cmd.flags != nil {
		cmd.flags(fs)
	}
	c.opts.add(fs, cmd.groups)
	c.flags = fs
	err := fs.Parse(args)
	if wanted, _ := fs.GetBool("help"); wanted || errors.Is(err, pflag.ErrHelp) {
		fmt.Fprint(out, help(cmd, fs))
		return nil
	}
	if err != nil {
		return flagError(err, cmd, fs)
	}
	c.args = fs.Args()
	if err := c.opts.check(fs); err != nil {
		return err
	}
	return cmd.run(c)
}

// usageError is a wrong command line.
type usageError struct{ text string }

func (e usageError) Error() string { return e.text }

// conclude prints an error and returns the exit code that it stands for.
func conclude(errOut io.Writer, err error) int {
	var problems files.Problems
	var usage usageError
	switch {
	case err == nil:
		return exitOK
	case errors.As(err, &problems):
		fmt.Fprintln(errOut, problems.Error())
		for _, p := range problems {
			if !strings.HasPrefix(p.File, "--") {
				return exitBadInput
			}
		}
		return exitUsage // nothing but flags is wrong
	case errors.As(err, &usage):
		fmt.Fprintf(errOut, "sunrill: %s\n", usage.text)
		return exitUsage
	case errors.Is(err, context.Canceled):
		fmt.Fprintln(errOut, "sunrill: interrupted; nothing was written, earlier results are untouched")
		return exitFailed
	}
	fmt.Fprintf(errOut, "sunrill: %v\n", err)
	return exitFailed
}

// flagError says in our words what pflag found wrong.
func flagError(err error, cmd command, fs *pflag.FlagSet) error {
	see := fmt.Sprintf("(sunrill %s --help lists them)", cmd.name)
	var unknown *pflag.NotExistError
	if errors.As(err, &unknown) {
		name := unknown.GetSpecifiedName()
		if len(name) == 1 && strings.HasPrefix(err.Error(), "unknown shorthand") {
			return usageError{fmt.Sprintf("%s has no flag -%s %s", cmd.name, name, see)}
		}
		var known []string
		fs.VisitAll(func(f *pflag.Flag) { known = append(known, f.Name) })
		return usageError{fmt.Sprintf("%s has no flag --%s%s %s", cmd.name, name, didYouMeanFlag(name, known), see)}
	}
	var missing *pflag.ValueRequiredError
	if errors.As(err, &missing) {
		return usageError{fmt.Sprintf("--%s needs a value %s", missing.GetSpecifiedName(), see)}
	}
	var invalid *pflag.InvalidValueError
	if errors.As(err, &invalid) {
		f := invalid.GetFlag()
		return usageError{fmt.Sprintf("--%s: %q is not what it takes: %s", f.Name, invalid.GetValue(), f.Usage)}
	}
	return usageError{fmt.Sprintf("%v %s", err, see)}
}
