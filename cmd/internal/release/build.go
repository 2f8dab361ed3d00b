package main

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"time"
)

// target is what a binary is built for, in Go's words.
type target struct{ system, machine string }

func targets() []target {
	var list []target
	for _, system := range []string{"linux", "darwin", "windows"} {
		for _, machine := range []string{"amd64", "arm64"} {
			list = append(list, target{system, machine})
		}
	}
	return list
}

// here is the machine that builds.
func here() target { return target{runtime.GOOS, runtime.GOARCH} }

func (t target) binary() string {
	if t.system == "windows" {
		return "ampwake.exe"
	}
	return "ampwake"
}

// settings take the place of what the machine has set: nothing of it may show in
// the binary, and no C compiler is wanted.
func (t target) settings() []string {
	return []string{
		"GOOS=" + t.system, "GOARCH=" + t.machine, "CGO_ENABLED=0",
		"GOFLAGS=", "GOWORK=off", "GOEXPERIMENT=", "GOFIPS140=off", "GOAMD64=v1", "GOARM64=v8.0",
	}
}

// build returns the binary for a target. The commit is handed to the linker, and
// not taken from git by Go: that would bring in the tags that this clone happens to
// have. Go itself records its version, the target and the modules: go version -m.
func (r *request) build(ctx context.Context, t target, work string) ([]byte, error) {
	to, err := filepath.Abs(filepath.Join(work, t.system+"-"+t.machine+"-"+t.binary()))
	if err != nil {
		return nil, err
	}
	flags := fmt.Sprintf("-s -w -X main.release=%s -X main.commit=%s -X main.dated=%s", r.version, r.commit, r.date.Format(time.DateOnly))
	if _, err := r.run(ctx, t.settings(), "go", "build", "-trimpath", "-buildvcs=false", "-ldflags="+flags, "-o", to, "./cmd/ampwake"); err != nil {
		return nil, err
	}
	return os.ReadFile(to)
}

// run runs a command in the folder of the module and returns what it prints.
func (r *request) run(ctx context.Context, settings []string, name string, args ...string) (string, error) {
	c := exec.CommandContext(ctx, name, args...)
	c.Dir = r.root
	c.Env = append(os.Environ(), settings...)
	var stderr strings.Builder
	c.Stderr = &stderr
	out, err := c.Output()
	if err != nil {
		return "", fmt.Errorf("%s %s: %w\n%s%s", name, strings.Join(args, " "), err, out, stderr.String())
	}
	return string(out), nil
}
