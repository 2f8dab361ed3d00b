package main

import (
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
)

const aCommit = "0123456789abcdef0123456789abcdef01234567"

func TestVersionOfABuildWithoutRelease(t *testing.T) {
	for want, o := range map[string]origin{
		"development":                            {},
		"development, 0123456789ab":              {commit: aCommit},
		"development, 0123456789ab with changes": {commit: aCommit, dirty: true},
	} {
		assert.Equal(t, want, unreleased(o))
	}
}

func TestBuiltTellsCommitAndTarget(t *testing.T) {
	got := built(origin{commit: aCommit, dated: "2026-11-25", dirty: true})
	assert.Contains(t, got, "\ncommit  "+aCommit+" of 2026-11-25, with changes\n")
	assert.Contains(t, got, "\nbuilt   with "+runtime.Version()+" for "+runtime.GOOS+"/"+runtime.GOARCH+"\n")
	assert.NotContains(t, built(origin{}), "commit")
}
