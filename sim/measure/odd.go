package measure

import (
	"fmt"
	"strings"
	"unicode"
)

// Odd is a character that looks like a plain one and is none.
type Odd struct {
	Byte  int // where it begins in the text
	Rune  rune
	Plain string // to type in its place; "" if it has to go
	name  string
}

// What names the character: what is wrong.
func (o Odd) What() string {
	if unicode.IsPrint(o.Rune) {
		return fmt.Sprintf("%c is %s (U+%04X)", o.Rune, o.name, o.Rune)
	}
	return fmt.Sprintf("there is %s (U+%04X)", o.name, o.Rune)
}

// Cure tells what to type.
func (o Odd) Cure() string {
	switch o.Plain {
	case "":
		return "take it out"
	case " ":
		return "type a plain space"
	}
	return "type the plain " + o.Plain
}

// odd characters by what they stand for; the names are those of the Unicode
// standard in plain words.
var odd = map[rune]Odd{
	'−': {Plain: "-", name: "the typographic minus"}, '–': {Plain: "-", name: "a dash"}, '—': {Plain: "-", name: "a long dash"}, '‐': {Plain: "-", name: "a typographic hyphen"}, '‑': {Plain: "-", name: "a hyphen that does not break"},
	'“': {Plain: `"`, name: "a curly quote"}, '”': {Plain: `"`, name: "a curly quote"}, '„': {Plain: `"`, name: "a low quote"}, '«': {Plain: `"`, name: "an angle quote"}, '»': {Plain: `"`, name: "an angle quote"}, '‘': {Plain: `'`, name: "a curly quote"}, '’': {Plain: `'`, name: "a curly quote"}, '″': {Plain: `"`, name: "a double prime"}, '′': {Plain: `'`, name: "a prime"},
	'\u00a0': {Plain: " ", name: "a space that does not break"}, '\u202f': {Plain: " ", name: "a narrow space"}, '\u2009': {Plain: " ", name: "a thin space"}, '\u3000': {Plain: " ", name: "a wide space"},
	'\u200b': {name: "an invisible space"}, '\ufeff': {name: "a byte order mark"}, '\u00ad': {name: "a hidden hyphen"}, '\u200e': {name: "a hidden mark of direction"}, '\u200f': {name: "a hidden mark of direction"},
	'‚': {Plain: ",", name: "a low quote"}, '٫': {Plain: ".", name: "an Arabic decimal mark"}, '⁄': {Plain: "/", name: "a fraction slash"}, '∕': {Plain: "/", name: "a division slash"}, '½': {Plain: "0.5", name: "a fraction in one character"}, '¼': {Plain: "0.25", name: "a fraction in one character"}, '¾': {Plain: "0.75", name: "a fraction in one character"}, '％': {Plain: "%", name: "a wide per cent sign"},
}

// lookalike letters of Cyrillic and Greek, and the Latin ones they look like.
var lookalike = map[rune]string{
	'а': "a", 'в': "v", 'е': "e", 'к': "k", 'м': "m", 'н': "n", 'о': "o", 'р': "p", 'с': "c", 'т': "t", 'у': "y", 'х': "x", 'л': "L", 'г': "g", 'д': "d", 'ч': "h", 'і': "i",
	'А': "A", 'В': "B", 'Е': "E", 'К': "K", 'М': "M", 'Н': "H", 'О': "O", 'Р': "P", 'С': "C", 'Т': "T", 'Х': "X", 'Л': "L", 'І': "I",
	'α': "a", 'ο': "o", 'ν': "v", 'κ': "k", 'Α': "A", 'Β': "B", 'Ε': "E", 'Κ': "K", 'Μ': "M", 'Ο': "O",
}

// OddIn finds the first character of a text that looks like a plain one and is
// none.
func OddIn(text string) (Odd, bool) {
	for i, r := range text {
		if o, is := oddRune(r); is {
			o.Byte, o.Rune = i, r
			return o, true
		}
	}
	return Odd{}, false
}

func oddRune(r rune) (Odd, bool) {
	if r < 0x80 {
		return Odd{}, false
	}
	if o, is := odd[r]; is {
		return o, true
	}
	if latin, is := lookalike[r]; is {
		script := "Greek"
		if unicode.Is(unicode.Cyrillic, r) {
			script = "Cyrillic"
		}
		return Odd{Plain: latin, name: "a " + script + " letter"}, true
	}
	if r >= '！' && r <= '～' { // the wide forms of ASCII
		return Odd{Plain: string(r - '！' + '!'), name: "a wide character"}, true
	}
	if unicode.IsDigit(r) {
		return Odd{Plain: "digits 0 to 9", name: "a digit of another script"}, true
	}
	return Odd{}, false
}

// Plain writes a text with plain characters in place of those that look like
// them.
func Plain(text string) string {
	var b strings.Builder
	for _, r := range text {
		if o, is := oddRune(r); is {
			b.WriteString(o.Plain)
		} else {
			b.WriteRune(r)
		}
	}
	return b.String()
}
