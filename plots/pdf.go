package plots

import (
	"image"
	"strings"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgpdf"
)

// pdfCanvas mends three things of the library's PDF canvas: it wants text in the
// bytes of Windows code page 1252 where everyone else gives UTF-8, it embeds
// only one font file a document, and it draws pictures upside down.
type pdfCanvas struct{ *vgpdf.Canvas }

func (c pdfCanvas) FillString(f font.Face, at vg.Point, s string) {
	s = codePage1252(s)
	if f.Font.Typeface == boldFace {
		// Bold is the regular face, written twice a hair apart.
		f = faces.Lookup(letters(f.Font.Size).Font, f.Font.Size)
		c.Canvas.FillString(f, at.Add(vg.Point{X: 0.45}), s)
	}
	c.Canvas.FillString(f, at, s)
}

func (c pdfCanvas) DrawImage(r vg.Rectangle, img image.Image) {
	if p, ok := img.(*image.Paletted); ok {
		flipped := image.NewPaletted(p.Rect, p.Palette)
		for y := range p.Rect.Dy() {
			copy(flipped.Pix[y*flipped.Stride:], p.Pix[(p.Rect.Dy()-1-y)*p.Stride:][:p.Rect.Dx()])
		}
		img = flipped
	}
	c.Canvas.DrawImage(r, img)
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
