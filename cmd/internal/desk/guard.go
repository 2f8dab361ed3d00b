package desk

import (
	"errors"
	"fmt"
	"mime"
	"net"
	"net/http"
	"runtime/debug"
	"strings"
)

// mostBody is the longest request: two scenarios of 1 MiB with room for what
// JSON adds.
const mostBody = 3 << 20

// policy allows the page its own scripts and style and nothing from anywhere.
// Downloads are made in the page: hence blob.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; " +
	"base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// guarded wraps all that is served. It listens on this machine only, but any page
// that the same browser shows can send requests here, and a name that is made to
// point here (DNS rebinding) would even let it read the answers. So a request
// must name this machine as its host, and come from a page of ours if it comes
// from a page.
func (s *Server) guarded(next http.Handler) http.Handler {
	crossOrigin := http.NewCrossOriginProtection()
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer s.catch(w, r)
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("X-Frame-Options", "DENY")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cache-Control", "no-store")
		if !local(r) {
			refuse(w, http.StatusForbidden, "this page answers only to its own address on this machine")
			return
		}
		if err := crossOrigin.Check(r); err != nil {
			refuse(w, http.StatusForbidden, "a page from elsewhere cannot ask anything here")
			return
		}
		if site := r.Header.Get("Sec-Fetch-Site"); strings.HasPrefix(r.URL.Path, "/api/") && (site == "cross-site" || site == "same-site") {
			refuse(w, http.StatusForbidden, "a page from elsewhere cannot ask anything here")
			return
		}
		if r.Method == http.MethodPost {
			if origin := r.Header.Get("Origin"); origin != "http://"+r.Host {
				refuse(w, http.StatusForbidden, "a page from elsewhere cannot ask anything here")
				return
			}
			if kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || kind != "application/json" {
				refuse(w, http.StatusUnsupportedMediaType, "want application/json")
				return
			}
			if r.ContentLength > mostBody {
				h.Set("Connection", "close")
				refuse(w, http.StatusRequestEntityTooLarge, tooLong)
				return
			}
			r.Body = http.MaxBytesReader(w, r.Body, mostBody)
		}
		next.ServeHTTP(w, r)
	})
}

const tooLong = "a scenario may have 1 MiB"

// local reports whether a request names as its host the address at which it
// arrived, or localhost.
func local(r *http.Request) bool {
	at, ok := r.Context().Value(http.LocalAddrContextKey).(net.Addr)
	if !ok {
		return false
	}
	_, port, err := net.SplitHostPort(at.String())
	if err != nil {
		return false
	}
	return r.Host == "127.0.0.1:"+port || r.Host == "localhost:"+port
}

// catch answers a panic with 500 and goes on.
func (s *Server) catch(w http.ResponseWriter, r *http.Request) {
	bad := recover()
	if bad == nil {
		return
	}
	if err, ok := bad.(error); ok && errors.Is(err, http.ErrAbortHandler) {
		panic(bad)
	}
	s.opt.Log.Error("panic", "request", r.Method+" "+r.URL.Path, "what", fmt.Sprint(bad), "stack", string(debug.Stack()))
	refuse(w, http.StatusInternalServerError, "something broke in ampwake: see the terminal it runs in")
}

// refuse answers in words.
func refuse(w http.ResponseWriter, code int, words string) {
	w.Header().Del("Content-Disposition")
	answer(w, code, map[string]string{"trouble": words})
}
