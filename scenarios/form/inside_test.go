package form

import (
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestEditDistance(t *testing.T) {
	// Counted by hand, except "ca" to "abc", the known case where the
	// restricted distance is 3 and the unrestricted one 2.
	for _, row := range []struct {
		a, b string
		want int
	}{
		{"", "", 0},
		{"", "abc", 3},
		{"abc", "abc", 0},
		{"capcity", "capacity", 1},
		{"albdeo", "albedo", 1},
		{"kitten", "sitting", 3},
		{"ca", "abc", 3},
		{"°", "é", 1},
		{"flaw", "lawn", 2},
	} {
		assert.Equal(t, row.want, editDistance(row.a, row.b), "%q %q", row.a, row.b)
		assert.Equal(t, row.want, editDistance(row.b, row.a), "%q %q", row.b, row.a)
	}
}

func TestNearest(t *testing.T) {
	words := []string{"capacity", "cut-off", "start", "lift below", "at"}
	for written, want := range map[string]string{
		"Capacity": "capacity", "capcaity": "capacity", "cutoff": "cut-off", "cut_off": "cut-off", "satrt": "start", "srt": "",
		"liftbelow": "lift below", "lift_blow": "lift below", "ta": "at", "x": "", "": "", "voltage": "",
	} {
		got, _ := nearest(written, words)
		assert.Equal(t, want, got, written)
	}
}

func TestPathsPrintAndReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var steps []step
		for range rapid.IntRange(1, 5).Draw(t, "steps") {
			if len(steps) > 0 && rapid.Bool().Draw(t, "number") {
				steps = append(steps, step{index: rapid.IntRange(0, 1<<30).Draw(t, "index"), item: true, number: true})
			} else {
				steps = append(steps, step{name: rapid.StringN(1, 12, -1).Draw(t, "name"), item: rapid.Bool().Draw(t, "item")})
			}
		}
		path := join("", steps)
		back, rest, err := parsePath(path + "=value")
		if err != nil || rest != "=value" {
			t.Fatalf("parsePath(%q) = %q, %v", path, rest, err)
		}
		if len(back) != len(steps) {
			t.Fatalf("parsePath(%q) = %v, want %v", path, back, steps)
		}
		for i, s := range steps {
			// A name with odd signs comes back as one in brackets.
			if b := back[i]; b.name != s.name || b.index != s.index || b.number != s.number {
				t.Fatalf("parsePath(%q) = %v, want %v", path, back, steps)
			}
		}
	})
}

func TestRefusedDefinitions(t *testing.T) {
	for _, row := range []struct {
		err  error
		want string
	}{
		{check[struct {
			A int `key:"a,requird" doc:"x"`
		}](), `unknown option "requird" in its key tag`},
		{check[struct {
			A int `key:"a" dok:"x"`
		}](), `unknown tag "dok"`},
		{check[struct {
			A int `key:"a"`
		}](), `has no doc`},
		{check[struct {
			A int `key:"a" doc:"x"`
			B int `key:"a" doc:"x"`
		}](), `the key "a" is taken`},
		{check[struct {
			A int `key:"a.b" doc:"x"`
		}](), `holds a sign`},
		{check[struct {
			a int `key:"a" doc:"x"`
		}](), `is not exported`},
		{check[struct {
			A int `key:"" doc:"x"`
		}](), `a field without a key name needs`},
		{check[struct {
			A int `key:"a" doc:"x" default:"x"`
		}](), `default: "x" is not a whole number`},
		{check[struct {
			A int `key:"a" doc:"x" default:"5" max:"4"`
		}](), `default: "5" is out of range`},
		{check[struct {
			A int `key:"a" doc:"x" example:"5" max:"4"`
		}](), `example: "5" is out of range`},
		{check[struct {
			A []int `key:"a" doc:"x" default:"[1"`
		}](), `default: the list opened`},
		{check[struct {
			A int `key:"a,required" doc:"x" default:"5"`
		}](), `its default is never used`},
		{check[struct {
			A int `key:"a" doc:"x" min:"x"`
		}](), `min: "x" is neither`},
		{check[struct {
			A int `key:"a" doc:"x" min:"1.5"`
		}](), `min: "1.5" does not fit int`},
		{check[struct {
			A int `key:"a" doc:"x" min:"2" max:"1"`
		}](), `its range from 2 to 1 is empty`},
		{check[struct {
			A int `key:"a" doc:"x" above:"2" max:"2"`
		}](), `is empty`},
		{check[struct {
			A int `key:"a" doc:"x" min:"2" above:"1"`
		}](), `set already`},
		{check[struct {
			A string `key:"a" doc:"x" min:"2"`
		}](), `min is for numbers and quantities`},
		{check[struct {
			A string `key:"a" doc:"x" items:"2"`
		}](), `items is for lists and maps`},
		{check[struct {
			A []string `key:"a" doc:"x" items:"3..2"`
		}](), `no range of counts`},
		{check[struct {
			A []string `key:"a" doc:"x" items:"x"`
		}](), `no count`},
		{check[struct {
			A string `key:"a,one" doc:"x"`
		}](), `option one is for slices`},
		{check[struct {
			A chan int `key:"a" doc:"x"`
		}](), `cannot be read from a document: chan int`},
		{check[struct {
			A **int `key:"a" doc:"x"`
		}](), `cannot be read from a document: *int`},
		{check[struct {
			A map[int]int `key:"a" doc:"x"`
		}](), `the keys of a map must be strings`},
		{check[struct {
			A struct {
				B int `key:"b,required" doc:"x"`
			} `key:"a" doc:"x"`
		}](), `has required keys inside`},
		{check[struct {
			A int `key:"a,scalar" doc:"x"`
		}](), `the outermost struct has no short forms`},
		{check[struct {
			A *struct {
				B map[string]int `key:"b,scalar" doc:"x"`
			} `key:"a" doc:"x"`
		}](), `a plain value cannot be read into it`},
		{check[struct {
			A *loop `key:"a" doc:"x"`
		}](), `a plain value cannot be read into it`},
		{check[struct {
			A *struct {
				B int   `key:"b,scalar" doc:"x"`
				C int   `key:"c,required" doc:"x"`
				D []int `key:"d,list" doc:"x"`
				E int   `key:"e,row" doc:"x"`
			} `key:"a" doc:"x"`
		}](), `so the short form`},
		{check[struct {
			A *struct {
				E int `key:"e,row" doc:"x"`
				F int `key:"f,row,required" doc:"x"`
			} `key:"a" doc:"x"`
		}](), `a required row field after an optional one`},
		{check[struct {
			A *struct {
				B int `key:"b,list" doc:"x"`
			} `key:"a" doc:"x"`
		}](), `option list is for slices`},
		{check[struct {
			A int `json:"a"`
		}](), `has no keys`},
		{check[int](), `a form needs a struct`},
	} {
		require.Error(t, row.err, row.want)
		assert.ErrorContains(t, row.err, row.want)
	}
	assert.Panics(t, func() { Of[int](nil) })
}

func check[T any]() error { return CheckTags(reflect.TypeFor[T](), nil) }

type loop struct {
	Self *loop `key:"self,scalar" doc:"x"`
}
