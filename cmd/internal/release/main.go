// Command release builds ampwake for every system that it is made for and packs it
// with its papers. bash .ci/release calls it, with the commit and its date.
//
// The same commit, built by the same version of Go, gives the same bytes on every
// machine and in every folder.
package main

import (
	"context"
	"crypto/sha256"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"regexp"
	"sort"
	"strings"
	"time"

	"ampwake/cmd/internal/whole"
)

func main() {
	var r request
	flag.StringVar(&r.version, "version", "", "the `version`, like v1.0.0")
	flag.StringVar(&r.commit, "commit", "", "the `commit` that is built, in full")
	date := flag.Int64("date", 0, "its date in `seconds` since 1970")
	flag.StringVar(&r.root, "root", ".", "the `folder` of the module")
	flag.StringVar(&r.out, "out", "", "the `folder` for the archives")
	flag.Parse()
	r.date = time.Unix(*date, 0).UTC()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := r.make(ctx, os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "release:", err)
		os.Exit(1)
	}
}

// request is what is to be released.
type request struct {
	version, commit string
	date            time.Time // of the commit: the only clock that the archives show
	root, out       string
}

var (
	versions = regexp.MustCompile(`^v\d+\.\d+\.\d+(-[0-9A-Za-z.-]+)?$`)
	commits  = regexp.MustCompile(`^[0-9a-f]{40,64}$`)
)

func (r *request) check() error {
	switch {
	case !versions.MatchString(r.version):
		return fmt.Errorf("-version %q: want one like v1.0.0 or v1.0.0-rc.1", r.version)
	case !commits.MatchString(r.commit):
		return fmt.Errorf("-commit %q: want a commit in full", r.commit)
	case r.date.Year() < 2000 || r.date.Year() > 2100: // what a zip can hold is not much more
		return fmt.Errorf("-date: %v is no date of a commit", r.date)
	case r.out == "":
		return fmt.Errorf("-out is missing: where are the archives to go?")
	}
	return nil
}

// make builds, packs and writes everything, and the sums last.
func (r *request) make(ctx context.Context, says io.Writer) error {
	if err := r.check(); err != nil {
		return err
	}
	if err := os.MkdirAll(r.out, 0o755); err != nil {
		return err
	}
	work, err := os.MkdirTemp("", "ampwake-release-")
	if err != nil {
		return err
	}
	defer func() { _ = os.RemoveAll(work) }() // only a folder for scraps
	papers, err := r.papers(ctx, work)
	if err != nil {
		return err
	}
	sums := map[string]string{}
	for _, t := range targets() {
		binary, err := r.build(ctx, t, work)
		if err != nil {
			return err
		}
		name := "ampwake-" + r.version + "-" + t.system + "-" + t.machine
		files := append([]file{{name: t.binary(), mode: 0o755, data: binary}}, papers...)
		packed, err := t.pack(name, files, r.date)
		if err != nil {
			return err
		}
		name += t.ending()
		if err := whole.Write(filepath.Join(r.out, name), packed); err != nil {
			return err
		}
		sums[name] = fmt.Sprintf("%x", sha256.Sum256(packed))
		if _, err := fmt.Fprintf(says, "%s  %.1f MB, of it the binary %.1f MB unpacked\n", name, megabytes(packed), megabytes(binary)); err != nil {
			return err
		}
	}
	return whole.Write(filepath.Join(r.out, "SHA256SUMS"), []byte(sumLines(sums)))
}

func megabytes(b []byte) float64 { return float64(len(b)) / 1e6 }

// sumLines writes sums as sha256sum -c reads them.
func sumLines(sums map[string]string) string {
	var lines []string
	for name, sum := range sums {
		lines = append(lines, sum+"  "+name+"\n")
	}
	sort.Slice(lines, func(i, j int) bool { return lines[i][64:] < lines[j][64:] })
	return strings.Join(lines, "")
}
