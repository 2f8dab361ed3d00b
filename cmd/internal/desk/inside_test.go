package desk

import (
	"bytes"
	"context"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A panic is answered and logged, and the next request is served.
func TestPanicIsAnswered(t *testing.T) {
	var log bytes.Buffer
	s := New(Options{Log: slog.New(slog.NewTextHandler(&log, nil))})
	h := s.guarded(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/bad" {
			panic("the plank breaks")
		}
	}))
	for path, code := range map[string]int{"/bad": 500, "/good": 200} {
		r := httptest.NewRequest("GET", "http://127.0.0.1:99"+path, nil)
		r = r.WithContext(context.WithValue(r.Context(), http.LocalAddrContextKey, net.Addr(&net.TCPAddr{IP: net.IPv4(127, 0, 0, 1), Port: 99})))
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		assert.Equal(t, code, w.Code, path)
		assert.NotContains(t, w.Body.String(), "plank", "what broke is for the log")
	}
	assert.Contains(t, log.String(), "the plank breaks")
}

// So many get in, so many wait, the rest is turned away; a place given back goes
// to one that waits; one that leaves gives up its turn.
func TestGate(t *testing.T) {
	g := newGate(1, 1)
	leave, err := g.enter(context.Background())
	require.NoError(t, err)
	in := make(chan func())
	go func() {
		l, err := g.enter(context.Background())
		if err == nil {
			in <- l
		}
	}()
	require.Eventually(t, func() bool { return len(g.tickets) == 2 }, time.Second, time.Millisecond)
	_, err = g.enter(context.Background())
	require.ErrorIs(t, err, errBusy)
	leave()
	leave = <-in
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err = g.enter(ctx)
	require.ErrorIs(t, err, context.Canceled)
	leave()
	assert.Empty(t, g.tickets)
	assert.Empty(t, g.places)
}

// A change is printed with a sign that agrees with it.
func TestSigned(t *testing.T) {
	for x, want := range map[float64]string{0.4: "0", -0.4: "0", 12.3: "+12", -12.7: "−13"} {
		assert.Equal(t, want, signed(x, 0))
	}
}
