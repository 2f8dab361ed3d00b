package main

import (
	"bytes"
	"context"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// both is a buffer that is read while it is written.
type both struct {
	sync.Mutex
	bytes.Buffer
}

func (b *both) Write(p []byte) (int, error) {
	b.Lock()
	defer b.Unlock()
	return b.Buffer.Write(p)
}

func (b *both) text() string {
	b.Lock()
	defer b.Unlock()
	return b.String()
}

// The page is served on this machine's own address and begins with the file that
// was named; an interrupt ends it as wished, not as a failure.
func TestPageServesAndStops(t *testing.T) {
	path := filepath.Join(t.TempDir(), "mine.yaml")
	require.NoError(t, os.WriteFile(path, []byte("title: my own\n"), 0o600))
	ctx, stop := context.WithCancel(t.Context())
	var out, errs both
	code := make(chan int, 1)
	go func() { code <- run(ctx, []string{"page", path, "--no-browser"}, &out, &errs) }()
	address := regexp.MustCompile(`http://127\.0\.0\.1:\d+/`)
	require.Eventually(t, func() bool { return address.MatchString(out.text()) }, 10*time.Second, 10*time.Millisecond)
	url := address.FindString(out.text())
	reply, err := http.Get(url + "api/start")
	require.NoError(t, err)
	text, err := io.ReadAll(reply.Body)
	require.NoError(t, err)
	reply.Body.Close()
	assert.Contains(t, string(text), `"text":"title: my own\n"`)
	assert.Contains(t, string(text), `"own":true`)

	// Its port is taken: a second one says so.
	port := url[strings.LastIndex(url, ":")+1 : len(url)-1]
	second, _, trouble := ampwake(t.Context(), "page", "--no-browser", "--port", port)
	assert.Equal(t, exitFailure, second)
	assert.Contains(t, trouble, "port "+port+" cannot be had")

	stop()
	select {
	case c := <-code:
		assert.Equal(t, exitOK, c, errs.text())
	case <-time.After(10 * time.Second):
		t.Fatal("the page does not stop")
	}
	_, err = net.DialTimeout("tcp4", "127.0.0.1:"+port, time.Second)
	assert.Error(t, err)
}
