package desk_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"log/slog"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/cmd/internal/desk"
)

func TestFiles(t *testing.T) {
	c := newClient(t)
	text := builtin(t, "doldrums-week")
	for name, begins := range map[string]string{
		"card.pdf": "%PDF-", "report.html": "<!DOCTYPE html>", "run.json": "{\n \"schema\"", "odds.json": "{", "days.csv": "date,", "steps.csv": "utc,", "band.csv": "date,",
	} {
		body, err := json.Marshal(map[string]any{"text": text, "members": 5})
		require.NoError(t, err)
		code, head, reply := c.request("POST", "/api/files/"+name, bytes.NewReader(body), nil)
		require.Equal(t, http.StatusOK, code, "%s: %s", name, reply)
		assert.True(t, bytes.HasPrefix(reply, []byte(begins)), "%s begins %.20q", name, reply)
		assert.Contains(t, head.Get("Content-Disposition"), `filename="`+name+`"`)
	}
	code, _ := c.post("/api/files/passwd", map[string]any{"text": text})
	assert.Equal(t, http.StatusNotFound, code)
}

// The page opens no file but those that the opened scenario named, and those as
// they were at the start.
func TestFilesBesideAreSealed(t *testing.T) {
	dir := t.TempDir()
	gpx := `<?xml version="1.0"?><gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1"><rte><rtept lat="16" lon="-25"><name>A</name></rtept><rtept lat="10" lon="-30"><name>B</name></rtept></rte></gpx>`
	require.NoError(t, os.WriteFile(filepath.Join(dir, "way.gpx"), []byte(gpx), 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "other.gpx"), []byte(gpx), 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "secret"), []byte("time,cloud\nsecret words\n"), 0o600))
	text := "title: x\nvoyage: {depart: 2027-01-10 09:00 UTC, route: {gpx: way.gpx}, pace: [{speed: 5 kn}]}\nbank: {capacity: 100 Ah}\n"
	name := filepath.Join(dir, "mine.yaml")
	c := client{t, serve(t, desk.Options{Opened: desk.Open(name, []byte(text))})}
	c.sail(map[string]any{"text": text})
	require.NoError(t, os.Remove(filepath.Join(dir, "way.gpx")))
	c.sail(map[string]any{"text": text}) // as it was
	for _, other := range []string{
		strings.Replace(text, "way.gpx", "other.gpx", 1),
		strings.Replace(text, "way.gpx", "../"+filepath.Base(dir)+"/other.gpx", 1),
		strings.Replace(text, "way.gpx", filepath.Join(dir, "other.gpx"), 1),
		text + "weather: {record: secret}\n",
		text + "weather: {record: ../../../../../../etc/passwd}\n",
	} {
		code, reply := c.post("/api/sail", map[string]any{"text": other})
		assert.Equal(t, http.StatusUnprocessableEntity, code)
		assert.Contains(t, string(reply), "the page opens no files but those named by the scenario it was started with")
		assert.NotContains(t, string(reply), "secret words")
		code, reply = c.post("/api/odds", map[string]any{"text": builtin(t, "doldrums-week"), "pinned": other, "members": 1})
		assert.Equal(t, http.StatusOK, code)
		assert.Contains(t, string(reply), "the pinned kit cannot be sailed")
	}
	// The same by an override.
	code, _ := c.post("/api/sail", map[string]any{"text": builtin(t, "radio-cover"), "sets": []string{"weather.record=/etc/passwd"}})
	assert.Equal(t, http.StatusUnprocessableEntity, code)
	// And nothing at all without a file opened.
	c = newClient(t)
	code, _ = c.post("/api/sail", map[string]any{"text": text})
	assert.Equal(t, http.StatusUnprocessableEntity, code)
}

// heard collects what is logged.
type heard struct {
	sync.Mutex
	bytes.Buffer
}

func (h *heard) Write(p []byte) (int, error) {
	h.Lock()
	defer h.Unlock()
	return h.Buffer.Write(p)
}

func TestStopsCleanly(t *testing.T) {
	l, err := net.Listen("tcp4", "127.0.0.1:0")
	require.NoError(t, err)
	ctx, stop := context.WithCancel(context.Background())
	done := make(chan error, 1)
	var log heard
	go func() { done <- desk.New(desk.Options{Log: slog.New(slog.NewTextHandler(&log, nil))}).Serve(ctx, l) }()
	c := client{t, "http://" + l.Addr().String()}
	body, err := json.Marshal(map[string]any{"text": builtin(t, "southern-ocean"), "members": 2000})
	require.NoError(t, err)
	under := make(chan struct{})
	var once atomic.Bool
	go func() {
		r, _ := http.NewRequestWithContext(context.Background(), "POST", c.url+"/api/odds", bytes.NewReader(body))
		r.Header.Set("Origin", c.url)
		r.Header.Set("Content-Type", "application/json")
		reply, err := http.DefaultClient.Do(r)
		if err == nil {
			_, _ = reply.Body.Read(make([]byte, 1))
			once.Store(true)
			close(under)
			_, _ = io.Copy(io.Discard, reply.Body)
			reply.Body.Close()
		}
	}()
	<-under
	require.True(t, once.Load())
	asked := time.Now()
	stop()
	require.NoError(t, <-done)
	assert.Less(t, time.Since(asked), 5*time.Second)
	_, err = net.DialTimeout("tcp4", l.Addr().String(), time.Second)
	var refused *net.OpError
	assert.True(t, errors.As(err, &refused), "nobody listens any more")
	assert.Empty(t, log.String())
}
