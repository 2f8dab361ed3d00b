package breakeven

import (
	"compress/gzip"
	"context"
	"encoding/csv"
	"fmt"
	"os"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ampwake/scenarios"
	"ampwake/sim"
	"ampwake/sim/climate"
	"ampwake/sim/track"
	"ampwake/sim/units"
	"ampwake/testdata/refdata"
)

// read opens a built-in scenario with overrides.
func read(t testing.TB, name string, set ...string) *scenarios.Scenario {
	t.Helper()
	label, src, err := scenarios.Source(name)
	require.NoError(t, err)
	s, err := scenarios.Read(label, src, set, "")
	require.NoError(t, err)
	return s
}

func of(t testing.TB, s *scenarios.Scenario, opt Options) *Maps {
	t.Helper()
	m, err := Of(t.Context(), s, opt)
	require.NoError(t, err)
	return m
}

// asked is the maps without the maps: only the answer.
func asked(t testing.TB, s *scenarios.Scenario, opt Options) *Maps {
	t.Helper()
	m, k, sky, err := question(t.Context(), s, opt)
	require.NoError(t, err)
	require.NoError(t, m.answer(t.Context(), k, sky))
	return m
}

// A day of the map agrees with a day sailed by a scenario file that asks for it:
// along a parallel from midnight to midnight, ship's time, at that speed and
// heel, under that cloud and in those temperatures, with a bank as large as a
// file may have.
func TestAgreesWithADaySailed(t *testing.T) {
	for _, x := range []struct {
		name     string
		from, to string // along a parallel, in one zone of ship's time
		depart   string // midnight there
		speed    string
		state    string
		cloud    string
	}{
		{"radio-cover", "20°S 3°W", "20°S 7°E", "2027-01-10 00:00 UTC", "5 kn", "under sail", "5 oktas"},
		{"radio-cover", "20°S 3°W", "20°S 7°E", "2027-01-10 00:00 UTC", "3.2 kn", "under sail", "1 okta"},
		{"radio-cover", "20°S 3°W", "20°S 7°E", "2027-01-10 00:00 UTC", "7 kn", "under sail", "8 oktas"},
		{"radio-cover", "45°N 32°W", "45°N 24°W", "2027-06-20 02:00 UTC", "4 kn", "under sail", "2 oktas"},
		{"radio-cover", "45°N 32°W", "45°N 24°W", "2027-06-20 02:00 UTC", "4 kn", "under sail", "{amount: 6 oktas, average: no}"},
		{"doldrums-week", "2°N 31°W", "2°N 24°W", "2027-03-05 02:00 UTC", "0.3 kn", "drifting", "7 oktas"},
		{"doldrums-week", "2°N 31°W", "2°N 24°W", "2027-03-05 02:00 UTC", "4.4 kn", "under sail", "4 oktas"},
		{"bank-sizes", "33°N 44°W", "33°N 50°W", "2027-05-02 03:00 UTC", "2.5 kn", "under sail", "3 oktas"},
		{"southern-ocean", "49°S 119°W", "49°S 113°W", "2027-07-05 08:00 UTC", "6 kn", "under sail", "6 oktas"},
		{"southern-ocean", "49°S 119°W", "49°S 113°W", "2027-07-05 08:00 UTC", "3.6 kn", "under sail", "0 oktas"},
	} {
		t.Run(fmt.Sprintf("%s %s %s", x.name, x.speed, x.cloud), func(t *testing.T) {
			set := []string{
				"voyage.depart=" + x.depart, "voyage.for=24 h", "voyage.zones=",
				fmt.Sprintf("voyage.route=[{name: A, at: %s}, {name: B, at: %s, by: rhumb line}]", x.from, x.to),
				fmt.Sprintf("voyage.pace=[{speed: %s, state: %s, heel: 12° to port}]", x.speed, x.state),
				"weather={cloud: " + x.cloud + "}",
			}
			m := asked(t, read(t, x.name, set...), Options{})
			sailed := read(t, x.name, append(set,
				fmt.Sprintf("weather.air=%.3f °C", float64(m.Air)), fmt.Sprintf("weather.sea=%.3f °C", float64(m.Sea)),
				"bank.capacity=20000 Ah", "bank.start=70 %")...)
			res, err := sailed.Voyage().Sail(t.Context(), sim.Options{})
			require.NoError(t, err)
			require.InDelta(t, 24, res.End.Sub(res.Depart).Hours(), 1e-6)
			require.Zero(t, res.Books.SpilledCharge)
			want := balance(res)
			t.Logf("made %.3f and %.3f sailed (%+.3f %%), used %.3f and %.3f sailed (%+.3f %%)", float64(m.Here.Made), float64(want.Made),
				100*float64(m.Here.Made/want.Made-1), float64(m.Here.Used), float64(want.Used), 100*float64(m.Here.Used/want.Used-1))
			// tol: 1 %; she moves by up to 170 miles, which the map's day does not.
			require.InEpsilon(t, float64(want.Made), float64(m.Here.Made), 0.01)
			require.InEpsilon(t, float64(want.Used), float64(m.Here.Used), 0.01)
		})
	}
}

// The day of the map starts from half way: the middle of the miles, with the
// course, the heel, the speed and the cloud that she has there.
func TestMiddleOfThePassage(t *testing.T) {
	s := read(t, "radio-cover")
	m := asked(t, s, Options{})
	r := s.Voyage().Route
	half, course := r.At(r.Length() / 2)
	assert.InDelta(t, float64(half.Lat), float64(m.Place.Lat), 0.05)
	assert.InDelta(t, float64(half.Lon), float64(m.Place.Lon), 0.05)
	assert.InDelta(t, float64(course), float64(m.Course), 0.1)
	// There she reaches close at 5.2 kn with 16° of heel, under the 4 oktas of 25
	// January to 8 February: as the file says.
	assert.Equal(t, units.Knots(5.2), m.Speed)
	assert.Equal(t, units.Degrees(16), m.Heel)
	assert.InDelta(t, 0.5, float64(m.Cloud), 1e-9)
	assert.Equal(t, time.February, m.Date.Month())
	assert.InDelta(t, 4813.0/1032, float64(m.YearSpeed), 0.06) // miles over hours of the run
	assert.Equal(t, m.Passage[0].Time, s.Voyage().Depart)
	assert.Len(t, m.Passage, 44) // 43 days less an hour, both ends

	at := track.Position{Lat: 50, Lon: -20}
	speed := units.Knots(0)
	m = asked(t, s, Options{At: &at, Month: time.December, Speed: &speed})
	assert.Equal(t, at, m.Place)
	assert.Equal(t, time.December, m.Date.Month())
	cell, err := climate.Ocean().At(m.Date.Add(12*time.Hour), at)
	require.NoError(t, err)
	assert.Equal(t, cell.Cloud, m.Cloud, "the climate's, since a place was asked for")
	assert.InDelta(t, float64(cell.Air), float64(m.Air), 1e-12)
	assert.Equal(t, speed, m.YearSpeed)
}

// On either side of the break-even she gains and loses; the map says the same.
func TestCrossingsAreWhereTheySay(t *testing.T) {
	for _, name := range []string{"doldrums-week", "southern-ocean", "bank-sizes"} {
		s := read(t, name)
		m := asked(t, s, Options{})
		require.Len(t, m.Even, 1, name)
		c := m.Even[0]
		require.True(t, c.Gains)
		k := newKit(s.Voyage())
		k.course, k.heel = m.Course, m.Heel
		sky, _ := there(m.Place, m.Date)
		sky.Cloud = m.Cloud
		net := func(v units.Knots) float64 {
			b, err := k.day(t.Context(), m.Place, m.Date, v, sky)
			require.NoError(t, err)
			return float64(b.Net())
		}
		assert.GreaterOrEqual(t, net(c.Speed), 0.0, name)
		assert.Less(t, net(c.Speed-0.011), 0.0, name)
		assert.Equal(t, c.Leaps, net(c.Speed)-net(c.Speed-0.011) > 1, name)
		if c.Leaps { // the generator goes down at 3 kn: the file says so
			assert.InDelta(t, 3, float64(c.Speed), 0.01, name)
		}
		assert.Equal(t, m.Still[1].Net(), units.AmpHours(net(0)))
	}
}

// More cloud never makes more, more speed (with a generator that is never
// lifted for speed) never less, and what is used follows neither but for what
// she uses when drifting and for the bus voltage.
func TestMapIsMonotonic(t *testing.T) {
	if testing.Short() {
		t.Skip("2,400 days")
	}
	m := of(t, read(t, "radio-cover"), Options{})
	require.Len(t, m.BySpeed, 17)
	for j, row := range m.BySpeed {
		require.Len(t, row, 81)
		for i, b := range row {
			if i > 0 {
				assert.GreaterOrEqual(t, float64(b.Made), float64(row[i-1].Made)*(1-1e-6), "%v kn, %v oktas", m.Speeds[i], j/2)
			}
			if j > 0 {
				assert.LessOrEqual(t, float64(b.Made), float64(m.BySpeed[j-1][i].Made)*(1+1e-6))
			}
			assert.InEpsilon(t, float64(m.Here.Used), float64(b.Used), 0.02)
		}
	}
	require.Len(t, m.ByYear, 41)
	for _, row := range m.ByYear {
		require.Len(t, row, 25)
		require.Equal(t, row[0], row[24])
	}
}

// What is made counts in full, however small the bank: a generator of 40 A on
// 20 Ah. And the engine, which the file starts on low charge, is not in it.
func TestSmallBankTakesAll(t *testing.T) {
	set := []string{"sources.hydro={rotor: {diameter: 0.35 m}, limit: 40 A, lift below: 2 kn}"}
	large, bigKit, sky, err := question(t.Context(), read(t, "radio-cover", append(set, "bank.capacity=2000 Ah")...), Options{})
	require.NoError(t, err)
	small, smallKit, _, err := question(t.Context(), read(t, "radio-cover", append(set, "bank.capacity=20 Ah", "bank.start=85 %",
		"sources.engine={alternator: 60 A, on below: 80 %, off above: 90 %}")...), Options{})
	require.NoError(t, err)
	assert.Empty(t, large.Left)
	assert.Equal(t, []string{"engine"}, small.Left)
	for _, speed := range []units.Knots{0, 4, 8} {
		for _, cloud := range []units.Fraction{0, 0.5, 1} {
			sky.Cloud = cloud
			a, err := bigKit.day(t.Context(), large.Place, large.Date, speed, sky)
			require.NoError(t, err)
			b, err := smallKit.day(t.Context(), large.Place, large.Date, speed, sky)
			require.NoError(t, err)
			t.Logf("%v, %.0f oktas: large bank %+.2f, small %+.2f Ah", speed, 8*float64(cloud), float64(a.Net()), float64(b.Net()))
			// tol: a bank that moves stands higher on its curve, and Ah are W/V
			assert.InEpsilon(t, float64(a.Made), float64(b.Made), 0.02)
			assert.True(t, speed < 8 || a.Made > 800)
		}
	}
}

// The mean around the globe is that of the source's own rows: 34°S is one of its
// latitudes, and the middle of the month its moment.
func TestAroundTheGlobe(t *testing.T) {
	file, err := os.Open(refdata.Path(t, "climate/ocean_climate.csv.gz"))
	require.NoError(t, err)
	defer file.Close()
	zip, err := gzip.NewReader(file)
	require.NoError(t, err)
	rows, err := csv.NewReader(zip).ReadAll()
	require.NoError(t, err)
	for _, x := range []struct {
		lat   float64
		month time.Month
		mid   time.Time
	}{
		{-34, time.January, time.Date(2027, 1, 16, 12, 0, 0, 0, time.UTC)},
		{-58, time.June, time.Date(2027, 6, 16, 0, 0, 0, 0, time.UTC)},
		{46, time.July, time.Date(2027, 7, 16, 12, 0, 0, 0, time.UTC)},
	} {
		var n, wind, cloud, air, sea float64
		for _, r := range rows[1:] {
			v := make([]float64, 10)
			for i := range v {
				if v[i], err = strconv.ParseFloat(r[i], 64); err != nil {
					t.Fatal(err)
				}
			}
			if v[0] == x.lat && int(v[2]) == int(x.month) {
				n++
				wind, cloud, air, sea = wind+v[4], cloud+v[7], air+v[8], sea+v[9]
			}
		}
		require.Greater(t, n, 30.0)
		got := around(units.Degrees(x.lat), x.mid)
		assert.InDelta(t, cloud/n, float64(got.Cloud), 1e-9, "cloud at %v", x.lat)
		assert.InDelta(t, wind/n*3600/1852, float64(got.WindSpeed), 1e-9)
		assert.InDelta(t, air/n, float64(got.Air), 1e-9)
		assert.InDelta(t, sea/n, float64(got.Sea), 1e-9)
	}
}

func TestAllYear(t *testing.T) {
	m := &Maps{
		Latitudes: []units.Degrees{-30, -15, 0, 15, 30}, Dates: make([]time.Time, 3),
		ByYear: make([][]Balance, 5),
	}
	for j, worst := range []units.AmpHours{5, -1, 2, 3, 0} {
		m.ByYear[j] = []Balance{{Made: 10 + worst, Used: 0}, {Made: worst}, {Made: 10 + worst}}
	}
	south, north, ok := m.AllYear()
	assert.Equal(t, []any{units.Degrees(0), units.Degrees(30), true}, []any{south, north, ok})
	lat, _, net := m.Worst()
	assert.Equal(t, []any{units.Degrees(-15), units.AmpHours(-1)}, []any{lat, net})
	lat, _, net = m.Best()
	assert.Equal(t, []any{units.Degrees(-30), units.AmpHours(15)}, []any{lat, net})
	for j := range m.ByYear {
		m.ByYear[j][1].Used = 100
	}
	_, _, ok = m.AllYear()
	assert.False(t, ok)
}

func TestStopsWhenTold(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	stop()
	_, err := Of(ctx, read(t, "doldrums-week"), Options{})
	require.ErrorIs(t, err, context.Canceled)
	at := track.Position{Lat: 88}
	_, err = Of(t.Context(), read(t, "doldrums-week"), Options{At: &at})
	require.ErrorContains(t, err, "beyond 85°")
}

func BenchmarkDay(b *testing.B) {
	s := read(b, "southern-ocean")
	k := newKit(s.Voyage())
	at, date := track.Position{Lat: -49, Lon: -142}, time.Date(2027, 7, 5, 0, 0, 0, 0, time.UTC)
	sky, _ := there(at, date)
	for b.Loop() {
		if _, err := k.day(b.Context(), at, date, 5, sky); err != nil {
			b.Fatal(err)
		}
	}
}
