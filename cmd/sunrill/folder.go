package main

import (
	"errors"
	"fmt"
	"path/filepath"

	"sunrill/sim/record"
	"sunrill/sim/site"
)

// mayWrite tells, before any work, whether the results may go where --out
// says: a command that writes none may.
func (c *call) mayWrite(s *site.Site) error {
	if c.flags.Lookup("out") == nil {
		return nil
	}
	return badOut(record.Check(c.opts.out, c.inputs(s)))
}

// inputs are the files that were read for a site, and the folders of those
// that stand beside it.
func (c *call) inputs(s *site.Site) []string {
	all := s.Inputs()
	for _, folder := range c.beside {
		all = append(all, filepath.Join(folder, "site.toml"))
	}
	return all
}

// folder begins the folder for the results.
func (c *call) folder(s *site.Site) (*record.Folder, error) {
	f, err := record.Open(c.opts.out, c.inputs(s), record.Made(c.flags.Name(), s.Name, changes(s)))
	return f, badOut(err)
}

// commit puts the results in place and tells what they replace, if that was
// of another command or another site.
func (c *call) commit(f *record.Folder, s *site.Site) error {
	if err := f.Commit(); err != nil {
		return badOut(err)
	}
	if old := f.Replaced(); old != nil && (old.Command != c.flags.Name() || old.Site != s.Name) {
		c.instead = fmt.Sprintf("They stand in place of the results of \"sunrill %s\" for %s.", old.Command, old.Site)
	}
	return nil
}

// badOut is an error about the folder for results; one that is not ours to
// replace is a wrong command line.
func badOut(err error) error {
	var foreign *record.ForeignError
	if errors.As(err, &foreign) {
		return usageError{foreign.Error()}
	}
	return err
}

// madeBy says in a report what made it, and for which site.
func (c *call) madeBy(s *site.Site) string {
	of := s.Name
	if s.Folder != "" {
		if path, err := filepath.Abs(s.Folder); err == nil {
			of += fmt.Sprintf(" (the folder %s)", filepath.Base(path))
		}
	}
	return fmt.Sprintf("Made by \"sunrill %s\" for %s; %s.", c.flags.Name(), of, version())
}
