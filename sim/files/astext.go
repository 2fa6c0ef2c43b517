package files

import "strings"

// AsText writes a text for a cell of a CSV file so that a spreadsheet shows it
// and does not reckon it: one that begins like a formula gets an apostrophe.
// [Rows] takes it off again.
func AsText(text string) string {
	if text != "" && strings.ContainsRune("=+-@", rune(text[0])) {
		return "'" + text
	}
	return text
}

func fromText(text string) string {
	if len(text) > 1 && text[0] == '\'' && strings.ContainsRune("=+-@", rune(text[1])) {
		return text[1:]
	}
	return text
}
