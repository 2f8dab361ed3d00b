package main

import (
	"os/exec"
	"path/filepath"
	"runtime"
	"testing"
)

// BenchmarkStart starts the built command, as a shell does. The aim for version and
// list is 30 ms; take the lowest of several counts, machines are noisy.
func BenchmarkStart(b *testing.B) {
	binary := filepath.Join(b.TempDir(), "ampwake")
	if runtime.GOOS == "windows" {
		binary += ".exe"
	}
	if out, err := exec.CommandContext(b.Context(), "go", "build", "-o", binary, ".").CombinedOutput(); err != nil {
		b.Fatalf("%v: %s", err, out)
	}
	for _, args := range [][]string{
		{"version"}, {"list"}, {"__complete", "run", "radio-cover", "--set", "bank."}, {"run", "radio-cover"},
	} {
		b.Run(args[0], func(b *testing.B) {
			for b.Loop() {
				if err := exec.CommandContext(b.Context(), binary, args...).Run(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
