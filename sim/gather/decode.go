package gather

import (
	"bytes"
	"encoding/binary"
	"unicode/utf16"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
)

// decode turns the bytes of a text file into UTF-8 with line feeds, and says
// which encoding they were in. ok is false if they are no text.
func decode(data []byte) (text []byte, encoding string, ok bool) {
	switch {
	case bytes.HasPrefix(data, []byte("\xef\xbb\xbf")):
		data, encoding = data[3:], "UTF-8"
	case bytes.HasPrefix(data, []byte("\xff\xfe")):
		data, encoding = fromUTF16(data[2:], binary.LittleEndian), "UTF-16"
	case bytes.HasPrefix(data, []byte("\xfe\xff")):
		data, encoding = fromUTF16(data[2:], binary.BigEndian), "UTF-16"
	case zeros(data, 1) > 0.3 && zeros(data, 0) < 0.1:
		data, encoding = fromUTF16(data, binary.LittleEndian), "UTF-16"
	case zeros(data, 0) > 0.3 && zeros(data, 1) < 0.1:
		data, encoding = fromUTF16(data, binary.BigEndian), "UTF-16"
	}
	if bytes.IndexByte(data, 0) >= 0 {
		return nil, "", false
	}
	if !utf8.Valid(data) {
		// Every byte is a letter of Windows-1252, of which Latin-1 is a part.
		latin, err := charmap.Windows1252.NewDecoder().Bytes(data)
		if err != nil {
			return nil, "", false
		}
		data, encoding = latin, "Latin-1"
	}
	if bytes.IndexByte(data, '\r') >= 0 {
		data = bytes.ReplaceAll(data, []byte("\r\n"), []byte("\n"))
		data = bytes.ReplaceAll(data, []byte("\r"), []byte("\n"))
	}
	return data, encoding, true
}

// zeros is the share of zero bytes at the even (0) or odd (1) places of the
// first 4 kB.
func zeros(data []byte, odd int) float64 {
	data = data[:min(len(data), 4096)]
	n := 0
	for i := odd; i < len(data); i += 2 {
		if data[i] == 0 {
			n++
		}
	}
	return 2 * float64(n) / float64(max(len(data), 2))
}

func fromUTF16(data []byte, order binary.ByteOrder) []byte {
	units := make([]uint16, len(data)/2)
	for i := range units {
		units[i] = order.Uint16(data[2*i:])
	}
	var out []byte
	for _, r := range utf16.Decode(units) {
		out = utf8.AppendRune(out, r)
	}
	return out
}
