package main

import (
	"context"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
)

// notice is the name of a file with terms that go where the code goes.
var notice = regexp.MustCompile(`(?i)^(licen[cs]e|copying|notice|patents|third[-_]party|source\.(md|txt)$|ftl\.txt$)`)

// isNotice reports whether a file holds terms, and is no source about them.
func isNotice(name string) bool { return notice.MatchString(name) && path.Ext(name) != ".go" }

// notices returns the licences and notices of all that is linked into the binary
// of any target: Go itself, the modules, and what this module has taken in.
func (r *request) notices(ctx context.Context) (string, error) {
	var b strings.Builder
	b.WriteString("ampwake contains the work of others. These are their terms.\n")
	root, err := r.run(ctx, nil, "go", "env", "GOROOT")
	if err != nil {
		return "", err
	}
	if err := include(&b, "The Go standard library and runtime", os.DirFS(strings.TrimSpace(root)), "LICENSE"); err != nil {
		return "", err
	}
	modules, err := r.modules(ctx)
	if err != nil {
		return "", err
	}
	for _, m := range modules {
		names := m.terms()
		if len(names) == 0 {
			return "", fmt.Errorf("%s has no licence that could be found in %s", m.name, m.dir)
		}
		for _, name := range names {
			if err := include(&b, m.name, os.DirFS(m.dir), name); err != nil {
				return "", err
			}
		}
	}
	own, err := taken(os.DirFS(r.root))
	if err != nil {
		return "", err
	}
	for _, name := range own {
		if err := include(&b, "In this module", os.DirFS(r.root), name); err != nil {
			return "", err
		}
	}
	return b.String(), nil
}

func include(b *strings.Builder, whose string, in fs.FS, name string) error {
	text, err := fs.ReadFile(in, name)
	if err != nil {
		return fmt.Errorf("%s: %w", whose, err)
	}
	fmt.Fprintf(b, "\n%s\n%s: %s\n\n%s\n", strings.Repeat("=", 78), whose, name, strings.TrimSpace(strings.ReplaceAll(string(text), "\r\n", "\n")))
	return nil
}

// module is a module of which packages are linked.
type module struct {
	name, dir string
	folders   []string // of these packages, below dir
}

// modules lists the modules that are linked into the binary of any target.
func (r *request) modules(ctx context.Context) ([]module, error) {
	byName := map[string]*module{}
	for _, t := range targets() {
		list, err := r.run(ctx, t.settings(), "go", "list", "-deps", "-f",
			"{{with .Module}}{{if not .Main}}{{.Path}} {{.Version}}\t{{.Dir}}\t{{$.Dir}}{{end}}{{end}}", "./cmd/ampwake")
		if err != nil {
			return nil, err
		}
		for line := range strings.Lines(list) {
			f := strings.Split(strings.TrimSpace(line), "\t")
			if len(f) != 3 {
				continue // of the standard library, or of this module
			}
			m := byName[f[0]]
			if m == nil {
				m = &module{name: f[0], dir: f[1]}
				byName[f[0]] = m
			}
			folder, err := filepath.Rel(m.dir, f[2])
			if err != nil {
				return nil, err
			}
			m.folders = append(m.folders, filepath.ToSlash(folder))
		}
	}
	var list []module
	for _, m := range byName {
		list = append(list, *m)
	}
	slices.SortFunc(list, func(a, b module) int { return strings.Compare(a.name, b.name) })
	return list, nil
}

// terms finds the notices that hold for the linked packages: those in their folders
// and in all above. A folder of licences to choose from stands beside some.
func (m *module) terms() []string {
	folders := []string{".", "licenses"}
	for _, f := range m.folders {
		for ; f != "."; f = path.Dir(f) {
			folders = append(folders, f)
		}
	}
	slices.Sort(folders)
	var names []string
	for _, folder := range slices.Compact(folders) {
		entries, err := os.ReadDir(filepath.Join(m.dir, filepath.FromSlash(folder)))
		if err != nil {
			continue // no folder of licences
		}
		for _, e := range entries {
			if !e.IsDir() && isNotice(e.Name()) {
				names = append(names, path.Join(folder, e.Name()))
			}
		}
	}
	return names
}

// taken finds the notices of what this module has taken in.
func taken(root fs.FS) ([]string, error) {
	var names []string
	err := fs.WalkDir(root, ".", func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && name != "." && (strings.HasPrefix(d.Name(), ".") || d.Name() == "testdata"):
			return fs.SkipDir
		case !d.IsDir() && strings.Contains(name, "/") && isNotice(d.Name()):
			names = append(names, name)
		}
		return nil
	})
	return names, err
}
