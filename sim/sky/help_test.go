package sky

import (
	"math"
	"testing"
	"time"

	"ampwake/sim/units"
	"ampwake/testdata/refdata"
)

// ledger collects the worst error of each quantity compared, so that a test
// prints how good the code is and not only that it passes.
type ledger struct {
	t     *testing.T
	names []string
	worst map[string]float64
	rows  map[string]*refdata.Checked
}

func newLedger(t *testing.T) *ledger {
	l := &ledger{t: t, worst: map[string]float64{}, rows: map[string]*refdata.Checked{}}
	t.Cleanup(func() {
		for _, n := range l.names {
			t.Logf("worst error of %s: %.3g", n, l.worst[n])
		}
	})
	return l
}

// tell makes what is called by these names a row of README's table.
func (l *ledger) tell(c refdata.Check, names ...string) {
	k := c.Begin(l.t)
	for _, n := range names {
		l.rows[n] = k
	}
}

// within fails the test unless got is within tol of want.
func (l *ledger) within(where, what string, got, want, tol float64) {
	l.t.Helper()
	d := math.Abs(got - want)
	if _, ok := l.worst[what]; !ok {
		l.names = append(l.names, what)
	}
	if d >= l.worst[what] || math.IsNaN(d) {
		l.worst[what] = d
	}
	if !(d <= tol) {
		l.t.Errorf("%s: %s = %.8g, want %.8g ± %.3g", where, what, got, want, tol)
	}
	if k := l.rows[what]; k != nil && !k.Off(d) {
		l.t.Errorf("%s: %s is off by %g, more than README's table tells", where, what, d)
	}
}

// at fails the test unless two instants are within tol.
func (l *ledger) at(where, what string, got, want time.Time, tol time.Duration) {
	l.t.Helper()
	l.within(where, what+" (s)", got.Sub(want).Seconds(), 0, tol.Seconds())
}

// between returns the angle on the sky between two directions given by azimuth
// and elevation, degrees.
func between(az1, el1, az2, el2 units.Degrees) float64 {
	a, b := SunTowards(az1, el1, 1), SunTowards(az2, el2, 1)
	x := a.East*b.Up - a.Up*b.East
	y := a.Up*b.North - a.North*b.Up
	z := a.North*b.East - a.East*b.North
	return math.Atan2(math.Sqrt(x*x+y*y+z*z), a.North*b.North+a.East*b.East+a.Up*b.Up) * deg
}

func utc(year int, month time.Month, d, h, m, s int) time.Time {
	return time.Date(year, month, d, h, m, s, 0, time.UTC)
}
