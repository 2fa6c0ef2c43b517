package plots

import (
	"strings"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgpdf"
)

// pdfCanvas is the library's PDF canvas, which wants text in the bytes of
// Windows code page 1252 and is given UTF-8 by everyone else.
type pdfCanvas struct{ *vgpdf.Canvas }

func (c pdfCanvas) FillString(f font.Face, at vg.Point, s string) {
	c.Canvas.FillString(f, at, codePage1252(s))
}

// codePage1252 encodes s. Of letters outside the code page it writes "?".
func codePage1252(s string) string {
	var b strings.Builder
	for _, r := range s {
		if r < 0x80 || r >= 0xA0 && r <= 0xFF {
			b.WriteByte(byte(r))
		} else if code, ok := upper1252[r]; ok {
			b.WriteByte(code)
		} else {
			b.WriteByte('?')
		}
	}
	return b.String()
}

// upper1252 is the part of the code page that differs from Latin 1, as far as
// charts use it.
var upper1252 = map[rune]byte{
	'€': 0x80, '…': 0x85, '‘': 0x91, '’': 0x92, '“': 0x93, '”': 0x94, '•': 0x95, '–': 0x96, '—': 0x97,
	'−': 0x96, // no minus sign there; the en dash stands in for it
}
