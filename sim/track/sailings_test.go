package track_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ampwake/sim/track"
	"ampwake/sim/units"
	"ampwake/testdata/refdata"
)

// mean is the sphere of the check tables.
var mean = track.Sphere{Radius: track.MeanRadius}

func place(row refdata.Row, lat, lon string) track.Position {
	return track.Position{Lat: units.Degrees(row.Float(lat)), Lon: units.Degrees(row.Float(lon))}
}

// turn returns the difference of two angles, degrees, in (-180, 180].
func turn[T ~float64](a, b T) float64 { return math.Remainder(float64(a)-float64(b), 360) }

func samePlace(t *testing.T, got, want track.Position, tol float64, msg ...any) {
	t.Helper()
	assert.InDelta(t, float64(want.Lat), float64(got.Lat), tol, msg...)
	assert.InDelta(t, 0, turn(got.Lon, want.Lon), tol, msg...)
}

// tellPlace compares two places for a row of README's table.
func tellPlace(k *refdata.Checked, got, want track.Position, where string) {
	k.Within(float64(got.Lat), float64(want.Lat), where, ", latitude")
	k.Within(turn(got.Lon, want.Lon), 0, where, ", longitude")
}

func TestSailings(t *testing.T) {
	// tol: the table is rounded there
	length := refdata.Check{
		Model: refdata.Track, Quantity: "length of a great circle or rhumb line",
		Source: "a geodesic library on the sphere", Status: refdata.Library, Tolerance: 1e-6, Unit: "nm",
	}.Begin(t)
	angle := refdata.Check{
		Model: refdata.Track, Quantity: "course and place on the way, dead reckoning",
		Source: "a geodesic library on the sphere", Status: refdata.Library, Tolerance: 1e-6, Unit: "°",
	}.Begin(t)
	for _, row := range refdata.Read(t, "voyage/sailings_check.csv") {
		name := row.Text("id") + " " + row.Text("name")
		t.Run(name, func(t *testing.T) {
			from, to := place(row, "lat1", "lon1"), place(row, "lat2", "lon2")
			f := row.Float("fraction")

			gc, err := mean.GreatCircle(from, to)
			require.NoError(t, err)
			length.Within(float64(gc.Length()), row.Float("gc_nm_sphere"), name)
			p, _ := gc.At(units.NauticalMiles(f) * gc.Length())
			tellPlace(angle, p, place(row, "gc_point_lat", "gc_point_lon"), name)
			end, final := gc.At(gc.Length())
			samePlace(t, end, to, 0)

			rl, err := mean.RhumbLine(from, to)
			require.NoError(t, err)
			length.Within(float64(rl.Length()), row.Float("rhumb_nm_sphere"), name)
			p, c := rl.At(units.NauticalMiles(f) * rl.Length())
			tellPlace(angle, p, place(row, "rhumb_point_lat", "rhumb_point_lon"), name)

			if !row.Has("gc_initial_course_deg") { // the same point
				assert.Zero(t, gc.Length())
				assert.Zero(t, final)
				return
			}
			_, initial := gc.At(0)
			angle.Within(turn(float64(initial), row.Float("gc_initial_course_deg")), 0, name)
			angle.Within(turn(float64(final), row.Float("gc_final_course_deg")), 0, name)
			angle.Within(turn(float64(c), row.Float("rhumb_course_deg_sphere")), 0, name)
			// Just short of the end the formulae must lead there by themselves.
			for _, l := range []track.Leg{gc, rl} {
				p, _ := l.At(l.Length() * (1 - 1e-12))
				samePlace(t, p, to, 1e-9, l.Line())
			}
		})
	}
}

// The ellipsoid is not ours: the sphere of one mile a minute is within 0.6 %
// of it, as the package comment says.
func TestSphereAgainstEllipsoid(t *testing.T) {
	sphere := refdata.Check{
		Model: refdata.Track, Quantity: "the sphere in place of the ellipsoid",
		Source: "a geodesic library, WGS 84", Status: refdata.Library, Tolerance: 0.6, Unit: "%",
	}.Begin(t)
	for _, row := range refdata.Read(t, "voyage/sailings_check.csv") {
		want := row.Float("geodesic_nm_wgs84")
		gc, err := track.Sphere{}.GreatCircle(place(row, "lat1", "lon1"), place(row, "lat2", "lon2"))
		require.NoError(t, err)
		sphere.Ratio(float64(gc.Length()), want, row.Where())
	}
}

func TestDeadReckoning(t *testing.T) {
	there := refdata.Check{
		Model: refdata.Track, Quantity: "course and place on the way, dead reckoning",
		Source: "a geodesic library on the sphere", Status: refdata.Library, Tolerance: 1e-6, Unit: "°",
	}.Begin(t)
	for _, row := range refdata.Read(t, "voyage/dead_reckoning_check.csv") {
		from := place(row, "lat1", "lon1")
		c, d := units.Degrees(row.Float("course_deg")), units.NauticalMiles(row.Float("distance_nm"))
		p, err := mean.DeadReckon(track.RhumbLine, from, c, d)
		require.NoError(t, err, row.Where())
		tellPlace(there, p, place(row, "rhumb_lat2_sphere", "rhumb_lon2_sphere"), row.Text("id"))
		p, err = mean.DeadReckon(track.GreatCircle, from, c, d)
		require.NoError(t, err, row.Where())
		tellPlace(there, p, place(row, "gc_lat2_sphere_same_initial_course", "gc_lon2_sphere_same_initial_course"), row.Text("id"))
	}
}

// Worked examples from print, on the sphere of one mile a minute.
func TestPublishedExamples(t *testing.T) {
	radians := refdata.Check{
		Model: refdata.Track, Quantity: "a great circle of 2144 nm, in radians",
		Source: "Williams, Aviation Formulary", Status: refdata.Published, Tolerance: 0.5e-6, Unit: "rad",
	}.Begin(t)
	sydney := refdata.Check{
		Model: refdata.Track, Quantity: "Sydney to Valparaiso",
		Source: "Pallikaris & Latsas 2009", Status: refdata.Published, Tolerance: 0.5, Unit: "nm",
	}.Begin(t)
	lax := track.Position{Lat: 33 + 57.0/60, Lon: -(118 + 24.0/60)}
	jfk := track.Position{Lat: 40 + 38.0/60, Lon: -(73 + 47.0/60)}
	var s track.Sphere

	// Williams, Aviation Formulary: 0.623585 rad = 2144 nm, course 1.150035 rad.
	gc, err := s.GreatCircle(lax, jfk)
	require.NoError(t, err)
	radians.Within(float64(gc.Length()/track.NauticalRadius), 0.623585)
	_, c := gc.At(0)
	radians.Within(float64(c)*math.Pi/180, 1.150035)
	// 100 nm from the start: 34°37' N 116°33' W, printed to the minute.
	p, _ := gc.At(100)
	samePlace(t, p, track.Position{Lat: 34 + 37.0/60, Lon: -(116 + 33.0/60)}, 0.5/60)
	// Four tenths of the way: 38°40.167' N 101°37.570' W.
	p, _ = gc.At(0.4 * gc.Length())
	samePlace(t, p, track.Position{Lat: 38 + 40.167/60, Lon: -(101 + 37.570/60)}, 0.0005/60)

	// The rhumb line between them: 2164.6 nm, 79.3° (printed value from memory).
	rl, err := s.RhumbLine(lax, jfk)
	require.NoError(t, err)
	assert.InDelta(t, 2164.6, float64(rl.Length()), 0.05)
	_, c = rl.At(0)
	assert.InDelta(t, 79.3, float64(c), 0.05)

	// Pallikaris and Latsas, Journal of Navigation 62 (2009) 493: Sydney to
	// Valparaiso, sphere, 6113 nm.
	gc, err = s.GreatCircle(
		track.Position{Lat: -(33 + 46.21/60), Lon: 151 + 31.964/60},
		track.Position{Lat: -(32 + 59.998/60), Lon: -(71 + 36.675/60)})
	require.NoError(t, err)
	sydney.Within(float64(gc.Length()), 6113)
}

func TestLegRefuses(t *testing.T) {
	at := func(lat, lon float64) track.Position {
		return track.Position{Lat: units.Degrees(lat), Lon: units.Degrees(lon)}
	}
	nan := math.NaN()
	for _, c := range []struct {
		line     track.Line
		from, to track.Position
		want     string
	}{
		{track.GreatCircle, at(86, 0), at(0, 0), "beyond 85°"},
		{track.RhumbLine, at(0, 0), at(-86, 0), "beyond 85°"},
		{track.RhumbLine, at(0, 0), at(-91, 0), "does not exist"},
		{track.GreatCircle, at(0, 181), at(1, 0), "does not exist"},
		{track.GreatCircle, at(nan, 1), at(1, 0), "no number"},
		{track.RhumbLine, at(0, 1), at(1, math.Inf(1)), "no number"},
		{track.GreatCircle, at(20, 10), at(-20, -170), "opposite points"},
	} {
		_, err := track.Sphere{}.Leg(c.line, c.from, c.to)
		assert.ErrorContains(t, err, c.want, "%v from %v to %v", c.line, c.from, c.to)
	}
	assert.Panics(t, func() { track.Sphere{}.Leg(7, at(0, 0), at(1, 1)) })
	assert.Panics(t, func() { track.Sphere{Radius: -1}.Leg(0, at(0, 0), at(1, 1)) })
}

func TestDeadReckonRefuses(t *testing.T) {
	var s track.Sphere
	for _, c := range []struct {
		line    track.Line
		from    track.Position
		course  units.Degrees
		d       units.NauticalMiles
		message string
	}{
		{track.RhumbLine, track.Position{Lat: 80}, 10, 600, "leads beyond 85°"},
		{track.GreatCircle, track.Position{Lat: 80}, 10, 600, "leads beyond 85°"},
		{track.RhumbLine, track.Position{Lat: 87}, 180, 600, "beyond 85°"},
		{track.RhumbLine, track.Position{}, 10, -1, "distance"},
		{track.GreatCircle, track.Position{}, 10, 10801, "distance"},
		{track.GreatCircle, track.Position{}, units.Degrees(math.NaN()), 1, "course"},
	} {
		_, err := s.DeadReckon(c.line, c.from, c.course, c.d)
		assert.ErrorContains(t, err, c.message)
	}
}

func drawPlace(t *rapid.T, name string) track.Position {
	return track.Position{
		Lat: units.Degrees(rapid.Float64Range(-84, 84).Draw(t, name+" lat")),
		Lon: units.Degrees(rapid.Float64Range(-180, 180).Draw(t, name+" lon")),
	}
}

// Laws of both lines: the great circle is the shorter; lengths do not depend on
// the direction; dead reckoning from the start along the leg's own course and
// length ends at its end; and a short step forward leads along the course.
func TestLegLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var s track.Sphere
		from, to := drawPlace(t, "from"), drawPlace(t, "to")
		gc, err := s.GreatCircle(from, to)
		if err != nil {
			t.Skip(err)
		}
		rl, err := s.RhumbLine(from, to)
		if err != nil {
			t.Fatal(err)
		}
		if gc.Length() > rl.Length()+1e-7 {
			t.Fatalf("great circle %v is longer than rhumb line %v", gc.Length(), rl.Length())
		}
		for _, l := range []track.Leg{gc, rl} {
			back, err := s.Leg(l.Line(), to, from)
			if err != nil || math.Abs(float64(back.Length()-l.Length())) > 1e-7 {
				t.Fatalf("%v back: %v, there %v, %v", l.Line(), back.Length(), l.Length(), err)
			}
			if l.Length() < 1e-3 || l.Length() > 10700 {
				continue // the course is ill defined at the antipode
			}
			_, c := l.At(0)
			end, err := s.DeadReckon(l.Line(), from, c, l.Length())
			if err != nil {
				if math.Abs(float64(to.Lat)) > 84.9 {
					continue
				}
				t.Fatal(err)
			}
			if off := apart(t, s, end, to); off > 1e-5 {
				t.Fatalf("%v from %v to %v ends %v nm off", l.Line(), from, to, off)
			}
			high := math.Abs(float64(l.Highest()))
			if high > 84.5 {
				continue // no rhumb line can be drawn to compare with
			}
			f := rapid.Float64Range(0, 0.999).Draw(t, "fraction")
			d := l.Length() * units.NauticalMiles(f)
			p, c := l.At(d)
			q, _ := l.At(d + 0.001*l.Length())
			chord, err := s.RhumbLine(p, q)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(float64(p.Lat)) > high+1e-6 {
				t.Fatalf("%v is higher than %v", p, l.Highest())
			}
			_, cc := chord.At(0)
			if turn(c, cc) > 5 || turn(c, cc) < -5 {
				t.Fatalf("%v: course %v, made good %v", l.Line(), c, cc)
			}
		}
	})
}

func apart(t *rapid.T, s track.Sphere, a, b track.Position) float64 {
	l, err := s.GreatCircle(a, b)
	if err != nil {
		t.Fatal(err)
	}
	return float64(l.Length())
}

// A rhumb line must not jump where the level form takes over, at a change of
// latitude of 1e-4 radians.
func TestRhumbLineLevelForm(t *testing.T) {
	for _, lat := range []float64{0, 40, -60, 80} {
		for _, change := range []float64{1e-9, 1e-6, 0.99e-4, 1.01e-4, 2e-3} {
			from := track.Position{Lat: units.Degrees(lat), Lon: -10}
			to := track.Position{Lat: units.Degrees(lat + change*180/math.Pi), Lon: 70}
			l, err := track.Sphere{}.RhumbLine(from, to)
			require.NoError(t, err)
			// Nearly to the end by formula; then as far back again.
			p, _ := l.At(l.Length() * (1 - 1e-9))
			samePlace(t, p, to, 2e-7, "lat %v change %v", lat, change)
			// On the mean latitude, half the distance is half the longitude
			// but for a term of the order of the change.
			p, _ = l.At(l.Length() / 2)
			assert.InDelta(t, 30, float64(p.Lon), 60*change*(1+math.Abs(math.Tan(lat*math.Pi/180)))+1e-9)
		}
	}
}

func BenchmarkLegAt(b *testing.B) {
	for _, line := range []track.Line{track.GreatCircle, track.RhumbLine} {
		b.Run(line.String(), func(b *testing.B) {
			l, err := track.Sphere{}.Leg(line, track.Position{Lat: 16, Lon: -24.5}, track.Position{Lat: -20, Lon: -34})
			require.NoError(b, err)
			d := l.Length() / 1000
			x := units.NauticalMiles(0)
			b.ReportAllocs()
			for b.Loop() {
				if x += d; x > l.Length() {
					x = d
				}
				l.At(x)
			}
		})
	}
}
