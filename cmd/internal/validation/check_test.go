package main

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/testdata/refdata"
)

// trial is a test that fails without failing this one.
type trial struct {
	testing.TB
	failures []string
	attrs    []string
	ends     []func()
}

func (x *trial) Helper()                   {}
func (x *trial) Errorf(s string, a ...any) { x.failures = append(x.failures, fmt.Sprintf(s, a...)) }
func (x *trial) Fatalf(s string, a ...any) { panic(fmt.Sprintf(s, a...)) }
func (x *trial) Attr(key, value string)    { x.attrs = append(x.attrs, key+" "+value) }
func (x *trial) Cleanup(f func())          { x.ends = append(x.ends, f) }
func (x *trial) end()                      { x.ends[0]() }
func checking(x *trial) *refdata.Checked   { return record("place", 0.02, 0).Begin(x) }
func told(t *testing.T, x *trial) *heard {
	t.Helper()
	require.Len(t, x.attrs, 1)
	key, value, _ := strings.Cut(x.attrs[0], " ")
	h := &heard{}
	require.NoError(t, h.hear(event{Key: key, Value: value}))
	return h
}

// A test cannot tell an error that it did not find, nor pass with one that is too
// large.
func TestChecked(t *testing.T) {
	x := &trial{}
	k := checking(x)
	k.Within(1.01, 1)
	k.Within(2.985, 3, "row ", 2)
	k.Ratio(100.01, 100)
	x.end()
	assert.Empty(t, x.failures)
	want := record("place", 0.02, 0.015)
	got := told(t, x).records[0]
	assert.InDelta(t, want.Error, got.Error, 1e-12)
	want.Error = got.Error
	assert.Equal(t, want, got)

	for what, wrong := range map[string]func(*refdata.Checked){
		"row 7: place = 1.03, want 1 ± 0.02 °": func(k *refdata.Checked) { k.Within(1.03, 1, "row ", 7) },
		"want 100 ± 0.02 %":                    func(k *refdata.Checked) { k.Ratio(100.1, 100) },
		"place = NaN":                          func(k *refdata.Checked) { k.Within(math.NaN(), 1) },
		"nothing was compared":                 func(*refdata.Checked) {},
	} {
		x := &trial{}
		wrong(checking(x))
		x.end()
		require.NotEmpty(t, x.failures, what)
		assert.Contains(t, strings.Join(x.failures, "\n"), what)
	}
	assert.Panics(t, func() { refdata.Check{Quantity: "x"}.Begin(&trial{}) }, "without a source")
}

func TestStepRowIsHeard(t *testing.T) {
	x := &trial{}
	row := refdata.StepRow{Scenario: "a", Minutes: 10, Off: 0.3, Missed: 1, Due: 9}
	row.Tell(x)
	assert.Equal(t, []refdata.StepRow{row}, told(t, x).steps)
	_, err := listen(strings.NewReader(`{"Action":"attr","Key":"`+refdata.StepAttribute+`","Value":"{"}`), new(bytes.Buffer))
	require.Error(t, err)
}
