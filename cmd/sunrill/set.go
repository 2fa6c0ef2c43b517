package main

import (
	"sunrill/sim/files"
	"sunrill/sim/site"
)

// settings reads what --set was given.
func settings(texts []string) ([]files.Setting, error) {
	var all []files.Setting
	for _, text := range texts {
		s, err := files.ParseSetting(text, "--set "+text)
		if err != nil {
			return nil, usageError{"--set: " + err.Error()}
		}
		all = append(all, s)
	}
	return all, nil
}

// changes says what was set otherwise than in the site's files.
func changes(s *site.Site) []string {
	var lines []string
	for _, c := range s.Changes {
		lines = append(lines, c.String())
	}
	return lines
}
