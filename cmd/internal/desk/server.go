package desk

import (
	"context"
	"embed"
	"errors"
	"io"
	"io/fs"
	"log/slog"
	"net"
	"net/http"
	"runtime"
	"time"

	"ampwake/cmd/internal/sheet"
)

// Options say what the page starts with.
type Options struct {
	Version string       // like "ampwake 0.3"
	Opened  *Opened      // nil: a built-in scenario
	Start   string       // the built-in scenario to start with, if Opened is nil
	Log     *slog.Logger // of trouble; nil: nobody hears of it
}

// Server answers the page. It keeps nothing between requests but what it began
// with, so one will do for any number of pages.
type Server struct {
	opt  Options
	legs *gate // one leg each
	runs *gate // many weathers each
	mux  http.Handler
}

// Bounds of what one page may ask for. A leg takes milliseconds and many
// weathers all cores, so that more at once would be no faster.
const (
	legsWaiting = 32
	runsWaiting = 4
	legTime     = 20 * time.Second
	runTime     = 5 * time.Minute
)

//go:embed assets
var assets embed.FS

// New makes a server.
func New(opt Options) *Server {
	if opt.Log == nil {
		opt.Log = slog.New(slog.DiscardHandler)
	}
	s := &Server{opt: opt, legs: newGate(max(2, runtime.GOMAXPROCS(0)), legsWaiting), runs: newGate(1, runsWaiting)}
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", s.index)
	mux.HandleFunc("GET /assets/{name}", s.asset)
	mux.HandleFunc("GET /api/start", s.start)
	mux.HandleFunc("GET /api/coast", s.coast)
	mux.HandleFunc("GET /api/scenarios/{name}", s.builtin)
	mux.HandleFunc("POST /api/sail", s.sail)
	mux.HandleFunc("POST /api/odds", s.odds)
	mux.HandleFunc("POST /api/files/{name}", s.file)
	s.mux = s.guarded(mux)
	return s
}

// ServeHTTP answers one request.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.mux.ServeHTTP(w, r) }

// Serve answers on a listener until ctx ends; runs under way are given up then.
// The error is that of the listener, nil after ctx ended.
func (s *Server) Serve(ctx context.Context, l net.Listener) error {
	server := &http.Server{
		Handler:           s,
		ReadHeaderTimeout: 5 * time.Second,
		IdleTimeout:       2 * time.Minute,
		MaxHeaderBytes:    16 << 10,
		BaseContext:       func(net.Listener) context.Context { return ctx },
		ErrorLog:          slog.NewLogLogger(s.opt.Log.Handler(), slog.LevelDebug),
	}
	done := make(chan error, 1)
	go func() { done <- server.Serve(l) }()
	select {
	case err := <-done:
		return err
	case <-ctx.Done():
	}
	grace, cancel := context.WithTimeout(context.WithoutCancel(ctx), 2*time.Second)
	defer cancel()
	if err := server.Shutdown(grace); err != nil {
		_ = server.Close() // those who would not leave
	}
	if err := <-done; err != nil && !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}

func (s *Server) index(w http.ResponseWriter, _ *http.Request) {
	page, err := assets.ReadFile("assets/index.html")
	if err != nil {
		panic("desk: " + err.Error())
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	_, _ = w.Write(page)
}

// asset serves a part of the page. The chart library is that of the reports.
func (s *Server) asset(w http.ResponseWriter, r *http.Request) {
	script, style, licence := sheet.Library()
	name := r.PathValue("name")
	switch name {
	case "uplot.js":
		w.Header().Set("Content-Type", "text/javascript; charset=utf-8")
		_, _ = io.WriteString(w, "/*\n"+licence+"\n*/\n"+script)
		return
	case "uplot.css":
		w.Header().Set("Content-Type", "text/css; charset=utf-8")
		_, _ = io.WriteString(w, style)
		return
	}
	under, err := fs.Sub(assets, "assets")
	if err != nil {
		panic("desk: " + err.Error())
	}
	http.ServeFileFS(w, r, under, name)
}
