package sky

import (
	"math"
	"testing"

	"ampwake/sim/units"
	"ampwake/testdata/refdata"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

func TestKastenCzeplak(t *testing.T) {
	l := newLedger(t)
	l.tell(refdata.Check{
		Model: refdata.Light, Quantity: "cloud and diffuse share: Kasten & Czeplak 1980; Reed 1977; Erbs et al. 1982",
		Source: "the formulae, evaluated", Status: refdata.Calculated, Tolerance: 1e-5,
	}, "factor", "factor from the weather's word")
	for _, r := range refdata.Read(t, "solar/cloud_kasten_czeplak.csv") {
		l.within(r.Where(), "factor", float64(CloudFactor(units.Fraction(r.Float("oktas")/8), LandCloud)), r.Float("kasten_czeplak_factor"), 1e-5)
		m := Model{Cloud: CloudKastenCzeplak}
		s := SunTowards(180, 45, 1)
		cloud := units.Fraction(r.Float("fraction"))
		l.within(r.Where(), "factor from the weather's word", float64(m.Through(&s, CloudFactor(cloud, OceanCloud), cloud)),
			r.Float("kasten_czeplak_factor"), 1e-5)
	}
}

func TestReed(t *testing.T) {
	l := newLedger(t)
	l.tell(refdata.Check{
		Model: refdata.Light, Quantity: "cloud and diffuse share: Kasten & Czeplak 1980; Reed 1977; Erbs et al. 1982",
		Source: "the formulae, evaluated", Status: refdata.Calculated, Tolerance: 1e-5,
	}, "factor", "of the model")
	m := Model{Cloud: CloudReed}
	for _, r := range refdata.Read(t, "solar/cloud_reed.csv") {
		cloud, noon := units.Fraction(r.Float("cloud_fraction")), units.Degrees(r.Float("noon_altitude_deg"))
		l.within(r.Where(), "factor", float64(ReedFactor(cloud, noon)), r.Float("capped"), 1e-5)
		s := Sun{Up: 0.5, Noon: noon, Distance: 1}
		l.within(r.Where(), "of the model", float64(m.Through(&s, 0.123, cloud)), r.Float("capped"), 1e-5)
	}
}

// How far the factor at the mean cloud lies above the mean of the factor, from
// the climate reference (computed there by sampling, printed to 1 %): a = 0.75.
func TestMeanCloudFactorTable(t *testing.T) {
	means := []units.Fraction{0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9}
	for nu, row := range map[float64][]float64{
		3.0: {4, 6, 9, 11, 13, 14, 12},
		1.2: {9, 13, 17, 21, 24, 25, 21},
		0.6: {14, 20, 25, 31, 35, 36, 29},
	} {
		for i, want := range row {
			over := 100 * (float64(CloudFactor(means[i], LandCloud)/MeanCloudFactor(means[i], nu, LandCloud)) - 1)
			require.InDelta(t, want, over, 0.5, "mean %v, nu %v", means[i], nu)
		}
	}
}

// The closed form against quadrature over the beta distribution.
func TestMeanCloudFactorIsTheIntegral(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mean := rapid.Float64Range(0.05, 0.95).Draw(t, "mean")
		nu := rapid.Float64Range(0.4, 20).Draw(t, "nu")
		b := distuv.Beta{Alpha: mean * nu, Beta: (1 - mean) * nu}
		// Over the probability, where the integrand has no poles.
		got := float64(MeanCloudFactor(units.Fraction(mean), nu, OceanCloud))
		want := quad.Fixed(func(u float64) float64 {
			// u = 3v² - 2v³ packs points at both ends.
			p := u * u * (3 - 2*u)
			return float64(CloudFactor(units.Fraction(b.Quantile(p)), OceanCloud)) * 6 * u * (1 - u)
		}, 0, 1, 200, nil, 0)
		if math.Abs(got-want) > 1e-4 {
			t.Fatalf("MeanCloudFactor(%v, %v) = %v, integral %v", mean, nu, got, want)
		}
	})
}

func TestMeanCloudFactorEdges(t *testing.T) {
	require.Equal(t, units.Fraction(1), MeanCloudFactor(0, 2, 0.7))
	require.InDelta(t, 0.3, float64(MeanCloudFactor(1, 2, 0.7)), 1e-15)
	require.InDelta(t, 0.3, float64(MeanCloudFactor(1-1e-12, 2, 0.7)), 1e-9)
	require.InDelta(t, 1, float64(MeanCloudFactor(1e-12, 2, 0.7)), 1e-9)
	// Without scatter it is the factor of the mean.
	require.InDelta(t, float64(CloudFactor(0.6, 0.7)), float64(MeanCloudFactor(0.6, 1e7, 0.7)), 1e-6)
	require.PanicsWithValue(t, "sky: concentration of the cloud must be positive", func() { MeanCloudFactor(0.5, 0, 0.7) })
}

// Overcast over its one-okta sky at sin h 0.5 and 0.6 is 0.37 to 0.39: statement
// of the climate reference on [Dobson 1988].
func TestDobsonSmith(t *testing.T) {
	for _, sin := range []float64{0.5, 0.6} {
		ratio := float64(DobsonSmith(1361, sin, 1) / DobsonSmith(1361, sin, 0.125))
		require.GreaterOrEqual(t, ratio, 0.365)
		require.LessOrEqual(t, ratio, 0.395)
	}
	require.Equal(t, DobsonSmith(1361, 0.5, 0.125), DobsonSmith(1361, 0.5, 0))
	require.InDelta(t, 1361*0.5*(0.380+0.468*0.5), float64(DobsonSmith(1361, 0.5, 0.5)), 1e-9) // 4 oktas, by hand
	mid := (DobsonSmith(1361, 0.5, 0.5) + DobsonSmith(1361, 0.5, 0.625)) / 2
	require.InDelta(t, float64(mid), float64(DobsonSmith(1361, 0.5, 4.5/8)), 1e-9)
	require.Zero(t, DobsonSmith(1361, -0.1, 0.5))

	// Through, it gives the same light whatever the clear sky.
	s := SunTowards(180, 40, 1.01)
	for c := ClearHaurwitz; c <= ClearSmithsonian; c++ {
		m := Model{Clear: c, Cloud: CloudDobsonSmith}
		l := m.Light(&s, m.Through(&s, 1, 0.7))
		require.InDelta(t, float64(DobsonSmith(Extraterrestrial(SolarConstant, 1.01), s.Up, 0.7)), float64(l.Global), 1e-9)
	}
	m, night := Model{Cloud: CloudDobsonSmith}, SunTowards(0, -5, 1)
	require.Zero(t, m.Through(&night, 1, 0.5))
}

func TestCloudAsGiven(t *testing.T) {
	var m Model
	s := SunTowards(180, 40, 1)
	require.Equal(t, units.Fraction(0.42), m.Through(&s, 0.42, 0.9))
}

func FuzzNames(f *testing.F) {
	for _, s := range []string{"haurwitz", "ineichen", "reed", "dobson-smith", "perez", "", "Haurwitz", "hay-davies "} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		var a ClearSky
		var b Cloud
		var c Transposition
		if a.UnmarshalText([]byte(s)) == nil && a.String() != s {
			t.Errorf("%q reads as %v", s, a)
		}
		if b.UnmarshalText([]byte(s)) == nil && b.String() != s {
			t.Errorf("%q reads as %v", s, b)
		}
		if c.UnmarshalText([]byte(s)) == nil && c.String() != s {
			t.Errorf("%q reads as %v", s, c)
		}
	})
}

func TestNames(t *testing.T) {
	var c Cloud
	require.NoError(t, c.UnmarshalText([]byte("reed")))
	require.Equal(t, CloudReed, c)
	require.EqualError(t, c.UnmarshalText([]byte("fog")), `"fog" is not a cloud model: want one of as-given, kasten-czeplak, reed, dobson-smith`)
	require.Equal(t, CloudReed, c)
	require.Equal(t, "choice 9", Cloud(9).String())
	var s ClearSky
	require.Error(t, s.UnmarshalText(nil))
}
