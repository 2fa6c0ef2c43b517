package record

import (
	"bytes"
	"encoding/json"
)

// With returns a value that is written as the JSON object of v with one more
// key at its head; v itself where there is nothing to add.
func With(key string, texts []string, v any) any {
	if len(texts) == 0 {
		return v
	}
	return with{key, texts, v}
}

type with struct {
	key   string
	texts []string
	v     any
}

func (w with) MarshalJSON() ([]byte, error) {
	whole, err := plainJSON(w.v)
	if err != nil {
		return nil, err
	}
	head, err := plainJSON(map[string][]string{w.key: w.texts})
	if err != nil {
		return nil, err
	}
	rest, ok := bytes.CutPrefix(whole, []byte("{"))
	if !ok {
		return whole, nil
	}
	head = head[:len(head)-1]
	if !bytes.Equal(rest, []byte("}")) {
		head = append(head, ',')
	}
	return append(head, rest...), nil
}

// plainJSON writes a value in one line, < and > as they are.
func plainJSON(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	err := e.Encode(v)
	return bytes.TrimSpace(b.Bytes()), err
}
