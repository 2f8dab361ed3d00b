package form

import (
	"bytes"
	"encoding/json"
)

// object is a JSON object that keeps the order of its members.
type object []member

type member struct {
	name  string
	value any
}

// MarshalJSON writes the members in order.
func (o object) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for i, m := range o {
		if i > 0 {
			b.WriteByte(',')
		}
		name, err := plainJSON(m.name)
		if err != nil {
			return nil, err
		}
		value, err := plainJSON(m.value)
		if err != nil {
			return nil, err
		}
		b.Write(name)
		b.WriteByte(':')
		b.Write(value)
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

// plainJSON marshals without escaping < and > for HTML.
func plainJSON(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	err := e.Encode(v)
	return bytes.TrimSuffix(b.Bytes(), []byte("\n")), err
}

// indented prints the object for people and for version control.
func (o object) indented() []byte {
	raw, err := plainJSON(o)
	if err != nil {
		panic("form: " + err.Error()) // only texts and numbers are in it
	}
	var b bytes.Buffer
	if err := json.Indent(&b, raw, "", "  "); err != nil {
		panic("form: " + err.Error())
	}
	b.WriteByte('\n')
	return b.Bytes()
}
