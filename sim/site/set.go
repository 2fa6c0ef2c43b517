package site

import (
	"strings"

	"sunrill/sim/files"
)

// set puts what [Options.Set] says into the description, before any of it is
// checked. "loads.freezer.count" is a cell of the list of appliances.
func (l *loader) set() {
	var rows []files.Setting
	for _, s := range l.o.Set {
		path := s.Path()
		switch {
		case path[0] != "loads" || len(path) == 1 || len(path) == 2 && (path[1] == "file" || path[1] == "hourly"):
			l.Set(s)
		case len(path) == 2:
			l.Tell(files.Problem{File: s.From, What: "loads takes the name of an appliance and a column of its list", Hint: "such as loads." + path[1] + ".count=0"})
		default:
			rows = append(rows, s)
		}
	}
	for _, s := range rows {
		if l.FileOf("loads", "hourly", "") != "" {
			l.Tell(files.Problem{File: s.From, What: "there is no list of appliances: the demand is an own meter's record", Hint: "[loads] hourly says so"})
			continue
		}
		path := s.Path()
		row := files.RowSetting{Setting: s, File: l.FileOf("loads", "file", loadsFile), Name: strings.Join(path[1:len(path)-1], "."), Column: strings.ToLower(path[len(path)-1])}
		if row.Column == "count" {
			row.Else = "1"
		}
		l.SetRow(row)
	}
}
