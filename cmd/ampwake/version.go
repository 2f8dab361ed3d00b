package main

import (
	"fmt"
	"runtime"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"
)

// Set by the linker for a release build: see cmd/internal/release. A build without
// them tells what Go knows of its source.
var (
	release = "" // like v1.0.0
	commit  = "" // in full
	dated   = "" // of the commit, like 2026-11-25
)

func newVersionCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "Print the version, the commit and what it was built with",
		Args:  exactly(0, "no arguments"),
		RunE: func(c *cobra.Command, _ []string) error {
			_, err := fmt.Fprint(c.OutOrStdout(), built(source()))
			return err
		},
	}
}

// origin is what a binary knows of its source.
type origin struct {
	commit, dated string // "" if not known
	dirty         bool   // with changes that are not in the commit
}

// source returns the origin that the linker set, or the one that Go recorded.
func source() origin {
	if commit != "" {
		return origin{commit: commit, dated: dated}
	}
	var o origin
	if info, ok := debug.ReadBuildInfo(); ok {
		for _, s := range info.Settings {
			switch s.Key {
			case "vcs.revision":
				o.commit = s.Value
			case "vcs.time":
				o.dated, _, _ = strings.Cut(s.Value, "T")
			case "vcs.modified":
				o.dirty = s.Value == "true"
			}
		}
	}
	return o
}

// version returns the release, or what is known of the source.
func version() string {
	if release != "" {
		return release
	}
	return unreleased(source())
}

// maker returns what stands in the files that the program writes.
func maker() string { return "ampwake " + version() }

func unreleased(o origin) string {
	if len(o.commit) < 12 {
		return "development"
	}
	text := "development, " + o.commit[:12]
	if o.dirty {
		text += " with changes"
	}
	return text
}

// built returns all that is known of the build, a fact a line.
func built(o origin) string {
	text := maker() + "\n"
	if o.commit != "" {
		text += "commit  " + o.commit
		if o.dated != "" {
			text += " of " + o.dated
		}
		if o.dirty {
			text += ", with changes"
		}
		text += "\n"
	}
	return text + fmt.Sprintf("built   with %s for %s/%s\n", runtime.Version(), runtime.GOOS, runtime.GOARCH)
}
