package climate

import (
	"compress/gzip"
	"encoding/csv"
	"errors"
	"math"
	"os"
	"sort"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ampwake/sim/track"
	"ampwake/sim/units"
	"ampwake/testdata/refdata"
)

const ms = 1852.0 / 3600 // knots to m/s

// midOf returns the instant where the monthly values of the table hold.
func midOf(year, month int) time.Time { return time.Unix(midMonth(year, time.Month(month)), 0).UTC() }

func place(lat, lon float64) track.Position {
	return track.Position{Lat: units.Degrees(lat), Lon: units.Degrees(lon)}
}

// The embedded table holds every value of the source without loss, and no cell
// that the source has not.
func TestOceanEqualsSource(t *testing.T) {
	file, err := os.Open(refdata.Path(t, "climate/ocean_climate.csv.gz"))
	require.NoError(t, err)
	defer file.Close()
	zip, err := gzip.NewReader(file)
	require.NoError(t, err)
	rows, err := csv.NewReader(zip).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 1+27912) // the reference's own count

	seen := 0
	for _, r := range rows[1:] {
		n := func(i int) float64 {
			x, err := strconv.ParseFloat(r[i], 64)
			require.NoError(t, err)
			return x
		}
		m, doubts, ok := Ocean().month((int(n(0))+66)/4, int(n(1))/5, int(n(2))-1)
		require.True(t, ok, r)
		want := means{n(4), n(5) + 0, n(6) + 0, n(7), n(8), n(9)}
		for i, d := range []float64{m.speed - want.speed, m.east - want.east, m.north - want.north, m.cloud - want.cloud, m.air - want.air, m.sea - want.sea} {
			if math.Abs(d) > 1e-12 { // the same decimals, read another way
				t.Fatalf("%v: value %d is off by %g", r, i, d)
			}
		}
		for _, f := range []struct {
			letter int
			flag   Quality
		}{{0, FilledWind}, {2, FilledCloud}, {3, FilledAir}, {4, FilledSea}} {
			if got, want := doubts&f.flag != 0, r[10][f.letter] == 'F'; got != want {
				t.Fatalf("%v: doubts %b", r, doubts)
			}
		}
		seen++
	}
	present := 0
	for j := range gridRows {
		for i := range gridColumns {
			for mo := range 12 {
				if _, _, ok := Ocean().month(j, i, mo); ok {
					present++
				}
			}
		}
	}
	assert.Equal(t, seen, present)
}

// The tolerances of the reference against values read straight from the
// datasets (README of the reference, end of section 8). They were stated for 102
// points, of which 42 are in the file.
func TestCheckpoints(t *testing.T) {
	var speed, cloud, sea, air, vector worst
	var airs []float64
	for _, r := range refdata.Read(t, "climate/checkpoints.csv") {
		lat, lon := r.Float("lat"), r.Float("lon")
		c, err := Ocean().At(midOf(2027, int(r.Float("month"))), place(lat, lon))
		require.NoError(t, err, r.Where())
		if r.Has("ek_wspd") {
			speed.add(float64(c.WindSpeed)*ms-r.Float("ek_wspd"), r.Text("name"))
			cloud.add(float64(c.Cloud)-r.Float("ek_cloud"), r.Text("name"))
			d := float64(c.Air) - r.Float("ek_airt")
			air.add(d, r.Text("name"))
			airs = append(airs, math.Abs(d))
		}
		if r.Has("atlas_sst") {
			sea.add(float64(c.Sea)-r.Float("atlas_sst"), r.Text("name"))
		}
		if lat > -35 && r.Float("coads_corners") == 4 {
			vector.add(float64(c.East)*ms-r.Float("coads_u"), r.Text("name"))
			vector.add(float64(c.North)*ms-r.Float("coads_v"), r.Text("name"))
		}
	}
	speed.tell(t, refdata.Check{Model: refdata.Climate, Quantity: "monthly mean wind", Source: "heat budget atlas (Esbensen & Kushnir 1981), 42 checkpoints", Status: refdata.Published, Tolerance: 0.3, Unit: "m/s"})
	cloud.tell(t, refdata.Check{Model: refdata.Climate, Quantity: "monthly mean cloud", Source: "heat budget atlas (Esbensen & Kushnir 1981), 42 checkpoints", Status: refdata.Published, Tolerance: 0.01})
	sea.tell(t, refdata.Check{Model: refdata.Climate, Quantity: "monthly sea temperature", Source: "monthly ocean atlas, 42 checkpoints", Status: refdata.Published, Tolerance: 1, Unit: "°C"})
	air.tell(t, refdata.Check{Model: refdata.Climate, Quantity: "monthly air temperature", Source: "heat budget atlas (Esbensen & Kushnir 1981), 42 checkpoints", Status: refdata.Published, Tolerance: 2.3, Unit: "°C"})
	vector.tell(t, refdata.Check{Model: refdata.Climate, Quantity: "monthly wind vector", Source: "COADS (Woodruff et al. 1987), 30 checkpoints", Status: refdata.Published, Tolerance: 1.5, Unit: "m/s"})
	sort.Float64s(airs)
	assert.LessOrEqual(t, airs[len(airs)*9/10-1], 1.1, "90 %% of the air temperatures, °C")
	assert.Greater(t, len(vector.all), 40)
}

// worst keeps the largest difference and where it was.
type worst struct {
	most  float64
	where string
	all   []float64
}

func (w *worst) add(d float64, where string) {
	w.all = append(w.all, d)
	if math.Abs(d) > math.Abs(w.most) {
		w.most, w.where = d, where
	}
}

// tell makes the differences a row of README's table.
func (w *worst) tell(t *testing.T, c refdata.Check) {
	t.Helper()
	k := c.Begin(t)
	for _, d := range w.all {
		k.Off(d)
	}
	if !(math.Abs(w.most) <= c.Tolerance) {
		t.Errorf("%s: worst difference %+.3f at %s, want within %g (%d values)", c.Quantity, w.most, w.where, c.Tolerance, len(w.all))
	}
	t.Logf("%s: worst difference %+.3f at %s (%d values)", c.Quantity, w.most, w.where, len(w.all))
}

// Half way between two mid-months lies the mean of the two, and the middle of a
// month is what the calendar says.
func TestMonths(t *testing.T) {
	assert.Equal(t, "2027-01-16T12:00:00Z", midOf(2027, 1).Format(time.RFC3339))
	assert.Equal(t, "2027-02-15T00:00:00Z", midOf(2027, 2).Format(time.RFC3339))
	assert.Equal(t, "2028-02-15T12:00:00Z", midOf(2028, 2).Format(time.RFC3339))
	assert.Equal(t, "2027-04-16T00:00:00Z", midOf(2027, 4).Format(time.RFC3339))

	at := place(38, -30)
	for year := 2023; year < 2029; year++ { // December to January, and a leap February
		for month := 1; month <= 12; month++ {
			a, b := midOf(year, month), midOf(year, month+1)
			x, err := Ocean().At(a, at)
			require.NoError(t, err)
			y, err := Ocean().At(b, at)
			require.NoError(t, err)
			mid, err := Ocean().At(a.Add(b.Sub(a)/2), at)
			require.NoError(t, err)
			assert.InDelta(t, float64(x.Cloud+y.Cloud)/2, float64(mid.Cloud), 1e-9)
			assert.InDelta(t, float64(x.Sea+y.Sea)/2, float64(mid.Sea), 1e-9)
		}
	}
	before, err := Ocean().At(time.Date(1965, 7, 16, 12, 0, 0, 0, time.UTC), at)
	require.NoError(t, err)
	after, err := Ocean().At(midOf(2027, 7), at)
	require.NoError(t, err)
	assert.InDelta(t, float64(after.Sea), float64(before.Sea), 1e-9, "the same climate every year, before 1970 too")
}

func TestInland(t *testing.T) {
	for _, p := range []track.Position{place(46, 105), place(0, 25), place(-11, -58), place(52, -105)} {
		c, err := Ocean().At(midOf(2027, 5), p)
		require.ErrorIs(t, err, ErrInland)
		assert.Contains(t, err.Error(), "no climate inland: give the weather in the file")
		assert.NotZero(t, c.Quality&Inland)
		assert.Positive(t, float64(c.WindSpeed), "the nearest sea's climate all the same")
		assert.True(t, Land(p))
	}
}

// No sea of the land mask between the ends of the table lies inland of it.
func TestNoHoleAtSea(t *testing.T) {
	for lat := -65.5; lat < 70; lat++ {
		for lon := -179.5; lon < 180; lon++ {
			p := place(lat, lon)
			if Land(p) {
				continue
			}
			if _, err := Ocean().At(midOf(2027, 3), p); errors.Is(err, ErrInland) {
				t.Errorf("%v: %v", p, err)
			}
		}
	}
}

func TestQuality(t *testing.T) {
	for _, x := range []struct {
		name     string
		lat, lon float64
		month    int
		has, not Quality
	}{
		{"open trades", 15, -30, 1, 0, 0xff},
		{"Balearic Sea", 39.5, 5, 7, FilledCloud, FilledSea | Beyond | Inland},
		{"Aegean", 37, 25, 7, FilledCloud, Beyond | Inland},
		{"Black Sea", 43, 34, 5, FilledCloud, Beyond | Inland},
		{"Baltic, Gotland", 57.5, 20, 8, FilledCloud, Beyond | Inland},
		{"Hudson Bay", 59, -85, 8, FilledCloud, Beyond | Inland},
		{"Southern Ocean", -52, -130, 1, Sparse, Beyond | Inland},
		{"off Svalbard", 78, 5, 7, Beyond, Sparse | Inland},
		{"Weddell Sea", -70, -40, 1, Beyond | Sparse, Inland},
	} {
		c, err := Ocean().At(midOf(2027, x.month), place(x.lat, x.lon))
		require.NoError(t, err, x.name)
		assert.Equal(t, x.has, c.Quality&x.has, x.name)
		assert.Zero(t, c.Quality&x.not, x.name)
		assert.Len(t, c.Quality.Notes(), popcount(c.Quality), x.name)
	}
	assert.Contains(t, strings.Join(FilledCloud.Notes(), ""), "Mediterranean")
}

func popcount(q Quality) (n int) {
	for ; q != 0; q &= q - 1 {
		n++
	}
	return n
}

// A walker that has been elsewhere tells the same as a fresh one, whichever way
// the longitude is written; the climate has no jump anywhere.
func TestWalker(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := Ocean().Walk()
		when := time.Unix(rapid.Int64Range(-2e9, 4e9).Draw(t, "unix"), 0)
		p := place(rapid.Float64Range(-85, 85).Draw(t, "lat"), rapid.Float64Range(-180, 180).Draw(t, "lon"))
		for range 20 {
			got, errGot := w.At(when, p)
			want, errWant := Ocean().At(when, p)
			if got != want || (errGot == nil) != (errWant == nil) {
				t.Fatalf("walker %v, table %v", got, want)
			}
			turned, _ := Ocean().At(when, place(float64(p.Lat), float64(p.Lon)+360))
			if math.Abs(float64(turned.WindSpeed-want.WindSpeed)) > 1e-9 {
				t.Fatalf("%v: a turn round the globe changes %v to %v", p, want, turned)
			}
			aside, _ := Ocean().At(when.Add(time.Second), place(float64(p.Lat)+1e-7, float64(p.Lon)-1e-7))
			if d := math.Abs(float64(aside.WindSpeed - want.WindSpeed)); d > 1e-4 {
				t.Fatalf("%v: a jump of %g kn", p, d)
			}
			when = when.Add(time.Duration(rapid.Int64Range(0, 1e15).Draw(t, "ns")))
			p.Lat = min(max(p.Lat+units.Degrees(rapid.Float64Range(-3, 3).Draw(t, "north")), -85), 85)
			p.Lon += units.Degrees(rapid.Float64Range(-5, 5).Draw(t, "east"))
		}
	})
}

// A cell's centre at mid-month gives the row of the table itself: the first row
// of the source.
func TestCellCentres(t *testing.T) {
	c, err := Ocean().At(midOf(2027, 1), place(-66, 0)) // -66,0,1,100,6.0,-0.9,1.4,0.92,0.5,0.5,EBEEO
	require.NoError(t, err)
	assert.InDelta(t, 6.0, float64(c.WindSpeed)*ms, 1e-9)
	assert.InDelta(t, -0.9, float64(c.East)*ms, 1e-9)
	assert.InDelta(t, 1.4, float64(c.North)*ms, 1e-9)
	assert.InDelta(t, 0.92, float64(c.Cloud), 1e-9)
	assert.InDelta(t, 0.5, float64(c.Air), 1e-9)
	assert.InDelta(t, 147.26, float64(c.WindFrom()), 0.01) // toward 327.26°, south-easterly
	assert.InDelta(t, math.Hypot(.9, 1.4)/6, float64(c.Steadiness()), 1e-9)
}

func TestNoSuchPlace(t *testing.T) {
	assert.Panics(t, func() { Ocean().At(midOf(2027, 1), place(91, 0)) })
	assert.Panics(t, func() { Ocean().At(midOf(2027, 1), place(math.NaN(), 0)) })
	assert.Panics(t, func() { Ocean().At(midOf(2027, 1), place(0, math.Inf(1))) })
}
