//go:build !linux && !darwin

package main

import "testing"

func underFaults(string) int { panic("no faults are made here") }

func TestFaults(t *testing.T) {
	t.Skip("signals, limits and permissions are those of Linux and macOS")
}
