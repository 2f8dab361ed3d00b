package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
)

// papers returns what goes beside the binary, the same for every target: licence,
// README with its pictures, changelog, notices of others, man pages, completions.
func (r *request) papers(ctx context.Context, work string) ([]file, error) {
	var files []file
	add := func(name string, data []byte) { files = append(files, file{name, 0o644, data}) }
	for _, name := range []string{"LICENSE", "README.md", "CHANGELOG.md"} {
		data, err := os.ReadFile(filepath.Join(r.root, name))
		if err != nil {
			return nil, err
		}
		add(name, data)
		if name != "README.md" {
			continue
		}
		for _, picture := range pictures(string(data)) {
			data, err := os.ReadFile(filepath.Join(r.root, filepath.FromSlash(picture)))
			if err != nil {
				return nil, fmt.Errorf("README.md: %w", err)
			}
			add(picture, data)
		}
	}
	notices, err := r.notices(ctx)
	if err != nil {
		return nil, err
	}
	add("THIRD-PARTY.txt", []byte(notices))
	pages, err := r.pages(ctx, work)
	if err != nil {
		return nil, err
	}
	files = append(files, pages...)
	completions, err := r.completions(ctx, work)
	return append(files, completions...), err
}

// picture finds the pictures of a Markdown text.
var picture = regexp.MustCompile(`!\[[^\]]*\]\(([^):]+)\)`)

// pictures returns the paths of the pictures of a text, each once.
func pictures(text string) []string {
	var list []string
	seen := map[string]bool{}
	for _, m := range picture.FindAllStringSubmatch(text, -1) {
		if !seen[m[1]] {
			list = append(list, m[1])
		}
		seen[m[1]] = true
	}
	return list
}

// pages returns the man pages, which a test of the command writes.
func (r *request) pages(ctx context.Context, work string) ([]file, error) {
	dir := filepath.Join(work, "man")
	when := fmt.Sprintf("SOURCE_DATE_EPOCH=%d", r.date.Unix())
	if _, err := r.run(ctx, []string{when}, "go", "test", "-count=1", "./cmd/ampwake", "-run", "^TestManual$", "-man", dir, "-man-version", r.version); err != nil {
		return nil, err
	}
	names, err := filepath.Glob(filepath.Join(dir, "*.[15]"))
	if err != nil || len(names) == 0 {
		return nil, fmt.Errorf("no man pages were written to %s: %w", dir, err)
	}
	var files []file
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			return nil, err
		}
		files = append(files, file{"man/man" + strings.TrimPrefix(filepath.Ext(name), ".") + "/" + filepath.Base(name), 0o644, data})
	}
	return files, nil
}

// completions returns the scripts of the shells, as a binary for this machine
// prints them.
func (r *request) completions(ctx context.Context, work string) ([]file, error) {
	if _, err := r.build(ctx, here(), work); err != nil {
		return nil, err
	}
	binary, err := filepath.Abs(filepath.Join(work, here().system+"-"+here().machine+"-"+here().binary()))
	if err != nil {
		return nil, err
	}
	var files []file
	for _, shell := range []struct{ name, file string }{
		{"bash", "ampwake.bash"}, {"zsh", "_ampwake"}, {"fish", "ampwake.fish"}, {"powershell", "ampwake.ps1"},
	} {
		script, err := r.run(ctx, nil, binary, "completion", shell.name)
		if err != nil {
			return nil, err
		}
		files = append(files, file{"completions/" + shell.file, 0o644, []byte(script)})
	}
	return files, nil
}
