package desk_test

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/cmd/internal/desk"
	"ampwake/scenarios"
)

// client asks a server as its own page would.
type client struct {
	testing.TB
	url string
}

func newClient(t testing.TB) client {
	t.Helper()
	return client{t, serve(t, desk.Options{Version: "ampwake test"})}
}

// request makes a request of the page's own kind; change may spoil it.
func (c client) request(method, path string, body io.Reader, change func(*http.Request)) (int, http.Header, []byte) {
	c.Helper()
	r, err := http.NewRequestWithContext(context.Background(), method, c.url+path, body)
	require.NoError(c, err)
	if method == http.MethodPost {
		r.Header.Set("Origin", c.url)
		r.Header.Set("Content-Type", "application/json")
	}
	if change != nil {
		change(r)
	}
	reply, err := http.DefaultClient.Do(r)
	require.NoError(c, err)
	defer reply.Body.Close()
	text, err := io.ReadAll(reply.Body)
	require.NoError(c, err)
	return reply.StatusCode, reply.Header, text
}

func (c client) post(path string, body map[string]any) (int, []byte) {
	c.Helper()
	text, err := json.Marshal(body)
	require.NoError(c, err)
	code, _, reply := c.request("POST", path, bytes.NewReader(text), nil)
	return code, reply
}

// goesOn wants that the server still sails a leg.
func (c client) goesOn() {
	c.Helper()
	code, reply := c.post("/api/sail", map[string]any{"text": builtin(c, "doldrums-week")})
	require.Equal(c, http.StatusOK, code, string(reply))
}

func builtin(t testing.TB, name string) string {
	t.Helper()
	_, text, err := scenarios.Source(name)
	require.NoError(t, err)
	return string(text)
}

type sailed struct {
	Text string
	Leg  struct {
		Tone   string
		Answer [][2]string
		Charge struct {
			X []int64
			Y []float64
		}
		Bus, Bank []struct {
			Name  string
			Value float64
		}
	}
	Against *struct {
		Words   []string
		Trouble string
	}
}

func (c client) sail(body map[string]any) sailed {
	c.Helper()
	code, reply := c.post("/api/sail", body)
	require.Equal(c, http.StatusOK, code, string(reply))
	var s sailed
	require.NoError(c, json.Unmarshal(reply, &s))
	return s
}

// A control's change comes back in the text with every comment where it was, and
// in the answer.
func TestSail(t *testing.T) {
	c := newClient(t)
	text := builtin(t, "radio-cover")
	s := c.sail(map[string]any{"text": text})
	assert.Equal(t, text, s.Text, "what is not changed stays byte for byte")
	assert.Equal(t, "good", s.Leg.Tone)
	small := c.sail(map[string]any{"text": text, "sets": []string{"bank.capacity=110 Ah"}, "pinned": text})
	assert.Equal(t, strings.Replace(text, "2 x 115 Ah", "110 Ah", 1), small.Text)
	assert.Equal(t, "bad", small.Leg.Tone)
	require.NotNil(t, small.Against)
	assert.Equal(t, "It fails, where the pinned kit holds.", small.Against.Words[0])
	for _, of := range []*sailed{&s, &small} {
		require.Greater(t, len(of.Leg.Charge.X), 500)
		for i := 1; i < len(of.Leg.Charge.X); i++ {
			require.Greater(t, of.Leg.Charge.X[i], of.Leg.Charge.X[i-1])
		}
		assert.Zero(t, of.Leg.Bus[len(of.Leg.Bus)-1].Value, "the bus ledger closes")
		assert.Zero(t, of.Leg.Bank[len(of.Leg.Bank)-1].Value, "the bank ledger closes")
	}
}

// An item is put in on a line of its own; all other lines stay as they are.
func TestInsert(t *testing.T) {
	c := newClient(t)
	text := builtin(t, "radio-cover")
	for list, item := range map[string]string{
		"loads":          "{name: kettle, draws: 50 W, when: 1 h a day}",
		"voyage.route":   "{name: half way, at: 10°00.0'S 026°00.0'W, by: rhumb line}",
		"sources.panels": "{name: third, rated: 50 W}",
	} {
		s := c.sail(map[string]any{"text": text, "insert": map[string]any{"list": list, "after": 1, "item": item}})
		was, is := strings.Split(text, "\n"), strings.Split(s.Text, "\n")
		require.Len(t, is, len(was)+1, list)
		at := 0
		for at < len(was) && was[at] == is[at] {
			at++
		}
		assert.Equal(t, item, strings.TrimLeft(is[at], " -"), list)
		assert.Equal(t, was[at:], is[at+1:], list)
	}
	code, reply := c.post("/api/sail", map[string]any{"text": text, "insert": map[string]any{"list": "loads", "after": 99, "item": "{name: x, draws: 1 A}"}})
	assert.Equal(t, http.StatusUnprocessableEntity, code, string(reply))
	code, _ = c.post("/api/sail", map[string]any{"text": text, "insert": map[string]any{"list": "loads", "after": 0, "item": "{name: x}\nbank: {}"}})
	assert.Equal(t, http.StatusUnprocessableEntity, code)
}

// Mistakes come back with their lines, as on the command line.
func TestMistakes(t *testing.T) {
	c := newClient(t)
	text := strings.Replace(builtin(t, "radio-cover"), "capacity: 2 x 115 Ah", "capacity: 115\n  capasity: 3", 1)
	code, reply := c.post("/api/sail", map[string]any{"text": text})
	require.Equal(t, http.StatusUnprocessableEntity, code)
	var bad struct {
		Problems []struct {
			Line          int
			Path, Message string
		}
	}
	require.NoError(t, json.Unmarshal(reply, &bad))
	require.Len(t, bad.Problems, 2, string(reply))
	line := strings.Count(text[:strings.Index(text, "capacity: 115")], "\n") + 1
	assert.Equal(t, line, bad.Problems[0].Line)
	assert.Equal(t, "bank.capacity", bad.Problems[0].Path)
	assert.Equal(t, line+1, bad.Problems[1].Line)
	for _, nonsense := range []string{"", "]", "\x00", strings.Repeat("[", 100_000), "a: &x [*x]", strings.Repeat("loads: 1\n", 10)} {
		code, reply := c.post("/api/sail", map[string]any{"text": nonsense})
		assert.Equal(t, http.StatusUnprocessableEntity, code, "%.40q: %s", nonsense, reply)
	}
	c.goesOn()
}

// eventsOf parts a stream of server-sent events.
func eventsOf(t testing.TB, stream []byte) (names []string, last map[string]json.RawMessage) {
	t.Helper()
	last = map[string]json.RawMessage{}
	for _, e := range strings.Split(strings.TrimSpace(string(stream)), "\n\n") {
		name, data, ok := strings.Cut(strings.TrimPrefix(e, "event: "), "\ndata: ")
		require.True(t, ok, e)
		names = append(names, name)
		last[name] = json.RawMessage(data)
	}
	return names, last
}

// Odds come in stages, the last of all weathers asked for, with the pinned kit
// through the same ones.
func TestOdds(t *testing.T) {
	c := newClient(t)
	text := builtin(t, "radio-cover")
	code, stream := c.post("/api/odds", map[string]any{"text": text, "sets": []string{"bank.capacity=110 Ah"}, "pinned": text, "members": 40, "seed": 1})
	require.Equal(t, http.StatusOK, code)
	names, last := eventsOf(t, stream)
	assert.Contains(t, names, "progress")
	assert.Equal(t, "end", names[len(names)-1])
	stages := 0
	for _, n := range names {
		if n == "odds" {
			stages++
		}
	}
	assert.Equal(t, 2, stages, "20 weathers, then 40")
	var found struct {
		Done    int
		Answer  [][2]string
		Band    struct{ X, P10, P50, P90 []float64 }
		Words   []string
		Against *struct{ P50 []float64 }
	}
	require.NoError(t, json.Unmarshal(last["odds"], &found))
	assert.Equal(t, 40, found.Done)
	assert.Len(t, found.Band.P10, len(found.Band.X))
	for i := range found.Band.X {
		assert.LessOrEqual(t, found.Band.P10[i], found.Band.P50[i])
		assert.LessOrEqual(t, found.Band.P50[i], found.Band.P90[i])
	}
	require.NotNil(t, found.Against)
	assert.Contains(t, found.Words[0], "Of the same 40 weathers")
}

// A client that leaves ends its run: the next one need not wait for it.
func TestOddsEndWithTheClient(t *testing.T) {
	c := newClient(t)
	body, err := json.Marshal(map[string]any{"text": builtin(t, "southern-ocean"), "members": 2000})
	require.NoError(t, err)
	ctx, leave := context.WithCancel(context.Background())
	r, err := http.NewRequestWithContext(ctx, "POST", c.url+"/api/odds", bytes.NewReader(body))
	require.NoError(t, err)
	r.Header.Set("Origin", c.url)
	r.Header.Set("Content-Type", "application/json")
	reply, err := http.DefaultClient.Do(r)
	require.NoError(t, err)
	_, err = reply.Body.Read(make([]byte, 1)) // it is under way
	require.NoError(t, err)
	leave()
	_, err = io.Copy(io.Discard, reply.Body)
	require.ErrorIs(t, err, context.Canceled)
	reply.Body.Close()
	asked := time.Now()
	code, _ := c.post("/api/odds", map[string]any{"text": builtin(t, "doldrums-week"), "members": 1})
	assert.Equal(t, http.StatusOK, code)
	assert.Less(t, time.Since(asked), 10*time.Second, "2000 weathers of the first would take longer")
}
