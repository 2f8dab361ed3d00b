package desk_test

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Each of these is refused in words, and the server goes on.

func TestForeignHost(t *testing.T) {
	c := newClient(t)
	_, port, err := net.SplitHostPort(strings.TrimPrefix(c.url, "http://"))
	require.NoError(t, err)
	for _, host := range []string{"evil.example", "evil.example:" + port, "127.0.0.1", "127.0.0.1:1", "127.0.0.1.evil.example:" + port, "localhost:" + port + ".evil.example", "[::1]:" + port, "0.0.0.0:" + port} {
		for _, path := range []string{"/", "/api/start", "/assets/main.js"} {
			code, head, reply := c.request("GET", path, nil, func(r *http.Request) { r.Host = host })
			assert.Equal(t, http.StatusForbidden, code, host)
			assert.NotContains(t, string(reply), "<html")
			assert.Empty(t, head.Get("Access-Control-Allow-Origin"))
		}
	}
	code, _, _ := c.request("GET", "/", nil, func(r *http.Request) { r.Host = "localhost:" + port })
	assert.Equal(t, http.StatusOK, code)
	c.goesOn()
}

func TestForeignOrigin(t *testing.T) {
	c := newClient(t)
	body, err := json.Marshal(map[string]any{"text": builtin(t, "doldrums-week")})
	require.NoError(t, err)
	for _, path := range []string{"/api/sail", "/api/odds", "/api/files/run.json"} {
		for name, change := range map[string]func(*http.Request){
			"another site":       func(r *http.Request) { r.Header.Set("Origin", "http://evil.example") },
			"another port":       func(r *http.Request) { r.Header.Set("Origin", "http://127.0.0.1:1") },
			"another scheme":     func(r *http.Request) { r.Header.Set("Origin", strings.Replace(c.url, "http:", "https:", 1)) },
			"a sandbox":          func(r *http.Request) { r.Header.Set("Origin", "null") },
			"none":               func(r *http.Request) { r.Header.Del("Origin") },
			"its own, but cross": func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "cross-site") },
		} {
			code, _, reply := c.request("POST", path, bytes.NewReader(body), change)
			assert.Equal(t, http.StatusForbidden, code, "%s %s: %s", path, name, reply)
		}
		// A form of another site can send only these kinds without asking first.
		for _, kind := range []string{"text/plain", "application/x-www-form-urlencoded", "multipart/form-data", ""} {
			code, _, _ := c.request("POST", path, bytes.NewReader(body), func(r *http.Request) { r.Header.Set("Content-Type", kind) })
			assert.Equal(t, http.StatusUnsupportedMediaType, code, kind)
		}
		// No other site is ever told that it may.
		code, head, _ := c.request("OPTIONS", path, nil, func(r *http.Request) {
			r.Header.Set("Origin", "http://evil.example")
			r.Header.Set("Access-Control-Request-Method", "POST")
		})
		assert.NotEqual(t, http.StatusOK, code)
		assert.Empty(t, head.Get("Access-Control-Allow-Origin"))
	}
	code, _, _ := c.request("GET", "/api/start", nil, func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "cross-site") })
	assert.Equal(t, http.StatusForbidden, code)
	c.goesOn()
}

func TestPathTraversal(t *testing.T) {
	c := newClient(t)
	address := strings.TrimPrefix(c.url, "http://")
	// Written by hand: a client would tidy the paths.
	for _, path := range []string{
		"/../../../../etc/passwd", "/assets/../../../../etc/passwd", "/assets/..%2f..%2f..%2f..%2fetc%2fpasswd", "/assets/%2e%2e/%2e%2e/etc/passwd",
		"/assets/..%5c..%5cwindows", "/assets//etc/passwd", "/assets/%00", "/api/scenarios/..%2f..%2fmine.yaml", "/api/scenarios/%2fetc%2fpasswd", "/api/scenarios/../../go.mod", "/assets/",
	} {
		conn, err := net.Dial("tcp4", address)
		require.NoError(t, err)
		_, err = fmt.Fprintf(conn, "GET %s HTTP/1.1\r\nHost: %s\r\nConnection: close\r\n\r\n", path, address)
		require.NoError(t, err)
		reply, err := http.ReadResponse(bufio.NewReader(conn), nil)
		require.NoError(t, err, path)
		text, err := io.ReadAll(reply.Body)
		require.NoError(t, err)
		require.NoError(t, conn.Close())
		assert.NotEqual(t, http.StatusOK, reply.StatusCode, "%s: %.80s", path, text)
		assert.NotContains(t, string(text), "root:")
		assert.NotContains(t, string(text), "module ampwake")
	}
	c.goesOn()
}

// endless is a body without an end, and how much of it was taken.
type endless struct {
	left int64
	head io.Reader
	took atomic.Int64
}

func (e *endless) Read(p []byte) (int, error) {
	if n, _ := e.head.Read(p); n > 0 {
		return n, nil
	}
	if e.left <= 0 {
		return 0, io.EOF
	}
	n := min(int64(len(p)), e.left)
	for i := range p[:n] {
		p[i] = 'a'
	}
	e.left -= n
	e.took.Add(n)
	return int(n), nil
}

func TestHugeBody(t *testing.T) {
	const size = 100 << 20
	c := newClient(t)
	for _, told := range []bool{true, false} {
		body := &endless{left: size, head: strings.NewReader(`{"text":"`)}
		r, err := http.NewRequestWithContext(context.Background(), "POST", c.url+"/api/sail", body)
		require.NoError(t, err)
		if told {
			r.ContentLength = size
		}
		r.Header.Set("Origin", c.url)
		r.Header.Set("Content-Type", "application/json")
		// The server stops reading and hangs up; the client may notice either first.
		if reply, err := http.DefaultClient.Do(r); err == nil {
			assert.Equal(t, http.StatusRequestEntityTooLarge, reply.StatusCode)
			reply.Body.Close()
		}
		assert.Less(t, body.took.Load(), int64(size/4), "most of it was never read")
		c.goesOn()
	}
	// One that is let in is bounded by the file format.
	code, reply := c.post("/api/sail", map[string]any{"text": "# " + strings.Repeat("x", 2<<20)})
	assert.Equal(t, http.StatusUnprocessableEntity, code)
	assert.Contains(t, string(reply), "1 MiB")
}

// Of a thousand at once some are served and the others turned away in words; all
// are answered.
func TestThousandRuns(t *testing.T) {
	c := newClient(t)
	sail, err := json.Marshal(map[string]any{"text": builtin(t, "doldrums-week")})
	require.NoError(t, err)
	odds, err := json.Marshal(map[string]any{"text": builtin(t, "doldrums-week"), "members": 20})
	require.NoError(t, err)
	var mu sync.Mutex
	codes := map[int]int{}
	var all sync.WaitGroup
	for i := range 1000 {
		all.Go(func() {
			path, body := "/api/sail", sail
			if i%4 == 0 {
				path, body = "/api/odds", odds
			}
			r, err := http.NewRequestWithContext(context.Background(), "POST", c.url+path, bytes.NewReader(body))
			if err != nil {
				return
			}
			r.Header.Set("Origin", c.url)
			r.Header.Set("Content-Type", "application/json")
			reply, err := http.DefaultClient.Do(r)
			if err != nil {
				return
			}
			defer reply.Body.Close()
			text, _ := io.ReadAll(reply.Body)
			mu.Lock()
			defer mu.Unlock()
			codes[reply.StatusCode]++
			if reply.StatusCode == http.StatusServiceUnavailable {
				assert.NotEmpty(t, reply.Header.Get("Retry-After"))
				assert.Contains(t, string(text), "wait a moment")
			}
		})
	}
	all.Wait()
	assert.Equal(t, 1000, codes[http.StatusOK]+codes[http.StatusServiceUnavailable], "%v", codes)
	assert.Positive(t, codes[http.StatusOK])
	assert.Positive(t, codes[http.StatusServiceUnavailable])
	c.goesOn()
}

func TestTooMuchAsked(t *testing.T) {
	c := newClient(t)
	text := builtin(t, "doldrums-week")
	for _, members := range []int{-1, 2001, 1 << 40} {
		for _, path := range []string{"/api/odds", "/api/files/card.pdf", "/api/files/odds.json"} {
			code, reply := c.post(path, map[string]any{"text": text, "members": members})
			assert.Equal(t, http.StatusBadRequest, code, "%d: %s", members, reply)
		}
	}
	// A voyage of 400 days in steps of a minute does not fit a page.
	code, reply := c.post("/api/sail", map[string]any{"text": builtin(t, "radio-cover"), "sets": []string{"voyage.for=400 d", "voyage.pace[3].speed=0 kn", "model.step=1 min"}})
	assert.Equal(t, http.StatusUnprocessableEntity, code)
	assert.Contains(t, string(reply), "steps are more than the page can show")
	// Nor do so many loads.
	var loads strings.Builder
	for i := range 1500 {
		fmt.Fprintf(&loads, "  - {name: load %d, draws: 1 A}\n", i)
	}
	many := text[:strings.Index(text, "loads:")] + "loads:\n" + loads.String()
	code, reply = c.post("/api/sail", map[string]any{"text": many})
	assert.Equal(t, http.StatusUnprocessableEntity, code, "%.200s", reply)
	sets := make([]string, 501)
	for i := range sets {
		sets[i] = "bank.capacity=1 Ah"
	}
	code, _ = c.post("/api/sail", map[string]any{"text": text, "sets": sets})
	assert.Equal(t, http.StatusBadRequest, code)
	c.goesOn()
}

func TestMalformedRequests(t *testing.T) {
	c := newClient(t)
	for _, body := range []string{"", "{", "[]", `{"text":1}`, `{"text":"x"} {"text":"y"}`, `{"path":"/etc/passwd"}`, `{"text":"x","seed":-1}`, "\xff"} {
		code, _, reply := c.request("POST", "/api/sail", strings.NewReader(body), nil)
		assert.Equal(t, http.StatusBadRequest, code, "%q: %s", body, reply)
	}
	for _, m := range []string{"GET", "PUT", "DELETE", "PATCH"} {
		code, _, _ := c.request(m, "/api/sail", nil, func(r *http.Request) { r.Header.Set("Origin", c.url) })
		assert.Equal(t, http.StatusMethodNotAllowed, code, m)
	}
	code, _, _ := c.request("POST", "/", nil, nil)
	assert.Equal(t, http.StatusMethodNotAllowed, code)
	c.goesOn()
}

// One that sends its request a byte at a time holds up nobody.
func TestSlowClients(t *testing.T) {
	c := newClient(t)
	for range 200 {
		conn, err := net.Dial("tcp4", strings.TrimPrefix(c.url, "http://"))
		require.NoError(t, err)
		defer conn.Close()
		_, err = io.WriteString(conn, "POST /api/sail HTTP/1.1\r\nHost: ")
		require.NoError(t, err)
	}
	asked := time.Now()
	c.goesOn()
	assert.Less(t, time.Since(asked), 5*time.Second)
}

// Every answer carries the headers that keep a browser from being used.
func TestHeaders(t *testing.T) {
	c := newClient(t)
	for _, path := range []string{"/", "/assets/main.js", "/assets/uplot.js", "/api/start", "/nowhere"} {
		_, head, _ := c.request("GET", path, nil, nil)
		policy := head.Get("Content-Security-Policy")
		assert.Contains(t, policy, "default-src 'none'")
		assert.Contains(t, policy, "frame-ancestors 'none'")
		assert.NotContains(t, policy, "unsafe")
		assert.NotContains(t, policy, "http")
		assert.Equal(t, "nosniff", head.Get("X-Content-Type-Options"))
		assert.Equal(t, "no-referrer", head.Get("Referrer-Policy"))
		assert.Equal(t, "same-origin", head.Get("Cross-Origin-Resource-Policy"))
	}
}

// The page's own text allows nothing from elsewhere either.
func TestNothingFromElsewhere(t *testing.T) {
	c := newClient(t)
	code, _, page := c.request("GET", "/", nil, nil)
	require.Equal(t, http.StatusOK, code)
	for _, name := range []string{"ask.js", "chart.js", "controls.js", "desk.css", "editor.js", "hands.js", "light.js", "main.js", "make.js", "parts.css", "plots.js", "store.js", "tables.js"} {
		code, head, text := c.request("GET", "/assets/"+name, nil, nil)
		require.Equal(t, http.StatusOK, code, name)
		assert.Regexp(t, "^text/(javascript|css)", head.Get("Content-Type"), name)
		assert.LessOrEqual(t, bytes.Count(text, []byte("\n")), 300, "%s is to stay readable", name)
		page = append(page, text...)
	}
	text := strings.ReplaceAll(string(page), "http://www.w3.org/2000/svg", "") // a name, not an address
	assert.NotContains(t, text, "http://")
	assert.NotContains(t, text, "https://")
	assert.NotContains(t, text, "eval(")
	assert.NotContains(t, text, "innerHTML")
}
