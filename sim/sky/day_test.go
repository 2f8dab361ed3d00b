package sky

import (
	"testing"
	"time"

	"ampwake/sim/units"
	"ampwake/testdata/refdata"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Reference: an independent ephemeris library, to the second; tolerance 30 s.
func TestLocalNoon(t *testing.T) {
	l := newLedger(t)
	l.tell(refdata.Check{
		Model: refdata.Sun, Quantity: "apparent noon aboard",
		Source: "an ephemeris library", Status: refdata.Library, Tolerance: 30, Unit: "s",
	}, "apparent noon (s)")
	for _, r := range refdata.Read(t, "voyage/local_apparent_noon_check.csv") {
		want, err := time.Parse("2006-01-02T15:04:05", r.Text("lan_utc"))
		require.NoError(t, err)
		got := LocalNoon(r.Time("nominal_date_of_local_noon"), units.Degrees(r.Float("lon_deg_east_positive")))
		l.at(r.Where(), "apparent noon", got, want, 30*time.Second)
		l.within(r.Where(), "equation of time (min)", TermsAt(want).Equation.Minutes(),
			r.Float("equation_of_time_min_apparent_minus_mean"), 0.08)
	}
}

// L. Strous, Astronomy Answers, sunrise on 1 January 2002 in local mean solar
// time, printed to the minute (secondary). Longitude 0: mean solar time is UTC.
func TestSunriseTable(t *testing.T) {
	l := newLedger(t)
	l.tell(refdata.Check{
		Model: refdata.Sun, Quantity: "sunrise, 64°S to 50°N",
		Source: "Strous, Astronomy Answers; printed to the minute", Status: refdata.Published, Tolerance: 40, Unit: "s",
	}, "sunrise (s)")
	for _, c := range []struct {
		lat  units.Degrees
		h, m int
	}{
		{-64, 1, 43},
		{-60, 2, 43},
		{-56, 3, 19},
		{-50, 3, 55},
		{-44, 4, 21},
		{-30, 5, 2},
		{-20, 5, 24},
		{0, 6, 0},
		{20, 6, 35},
		{30, 6, 56},
		{40, 7, 22},
		{50, 7, 59},
	} {
		d, err := RiseSet(utc(2002, 1, 1, 0, 0, 0), c.lat, 0, Limb)
		require.NoError(t, err)
		l.at(c.lat.String(), "sunrise", d.Rise, utc(2002, 1, 1, c.h, c.m, 0), 40*time.Second) // half a minute of print, 10 s of sun
	}
}

// Day lengths of 2025 at longitude 0, solved on [Reda 2004]; almanacs print the
// same to the minute (from memory). 20 s: 10 s each for rise and set; at 65° and
// 66° the sun sets at a slant of 1:7 and less.
func TestDayLengthTable(t *testing.T) {
	l := newLedger(t)
	dates := [3]time.Time{utc(2025, 6, 21, 0, 0, 0), utc(2025, 12, 21, 0, 0, 0), utc(2025, 3, 20, 0, 0, 0)}
	for _, c := range []struct {
		lat    units.Degrees
		length [3]string
	}{
		{0, [3]string{"12h07m21s", "12h07m30s", "12h06m30s"}},
		{10, [3]string{"12h42m34s", "11h32m32s", "12h06m40s"}},
		{20, [3]string{"13h20m34s", "10h55m24s", "12h07m04s"}},
		{30, [3]string{"14h04m45s", "10h12m52s", "12h07m46s"}},
		{40, [3]string{"15h00m59s", "9h19m39s", "12h08m52s"}},
		{45, [3]string{"15h37m07s", "8h45m57s", "12h09m39s"}},
		{50, [3]string{"16h22m17s", "8h04m21s", "12h10m41s"}},
		{55, [3]string{"17h22m29s", "7h09m59s", "12h12m01s"}},
		{57, [3]string{"17h53m23s", "6h42m40s", "12h12m41s"}},
		{60, [3]string{"18h52m05s", "5h52m09s", "12h13m51s"}},
		{65, [3]string{"22h02m14s", "3h34m45s", "12h16m27s"}},
		{66, [3]string{"", "2h46m24s", "12h17m07s"}}, // up all day in June
	} {
		for i, date := range dates {
			d, err := RiseSet(date, c.lat, 0, Limb)
			if c.length[i] == "" {
				require.ErrorIs(t, err, ErrPolarDay)
				_, ok := d.Length()
				require.False(t, ok)
				continue
			}
			require.NoError(t, err)
			want, err := time.ParseDuration(c.length[i])
			require.NoError(t, err)
			got, ok := d.Length()
			require.True(t, ok)
			l.within(c.lat.String()+date.Format(" 2 January"), "day length (s)", float64(got)*3600, want.Seconds(), 20)
		}
	}
}

func TestPolarSentinels(t *testing.T) {
	d, err := RiseSet(utc(2025, 6, 21, 0, 0, 0), 70, 20, Limb)
	require.ErrorIs(t, err, ErrPolarDay)
	require.True(t, d.Rise.IsZero() && d.Set.IsZero() && !d.Noon.IsZero())
	d, err = RiseSet(utc(2025, 12, 21, 0, 0, 0), 70, 20, Limb)
	require.ErrorIs(t, err, ErrPolarNight)
	require.True(t, d.Rise.IsZero() && d.Set.IsZero() && !d.Noon.IsZero())

	// The last sunrise before the polar day has no sunset after it.
	var lone Day
	for date := utc(2025, 5, 1, 0, 0, 0); date.Month() < 6; date = date.AddDate(0, 0, 1) {
		if d, err := RiseSet(date, 70, 20, Limb); err != nil && !d.Rise.IsZero() {
			require.ErrorIs(t, err, ErrPolarDay)
			lone = d
		}
	}
	require.False(t, lone.Rise.IsZero())
	_, ok := lone.Length()
	require.False(t, ok)
}

// Between the polar circles a day grows towards the pole that the sun favours,
// and a sunrise is a sunrise: the plain sun stands at the limb.
func TestDayLengthProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		date := time.Unix(rapid.Int64Range(946684800, 2524608000).Draw(t, "date"), 0).UTC()
		lat := rapid.Float64Range(-60, 55).Draw(t, "lat")
		further := lat + rapid.Float64Range(0.5, 5).Draw(t, "more")
		lon := units.Degrees(rapid.Float64Range(-180, 180).Draw(t, "lon"))
		a, err := RiseSet(date, units.Degrees(lat), lon, Limb)
		if err != nil {
			t.Fatal(err)
		}
		b, err := RiseSet(date, units.Degrees(further), lon, Limb)
		if err != nil {
			t.Fatal(err)
		}
		for _, at := range []time.Time{a.Rise, a.Set} {
			if d := At(at, units.Degrees(lat), lon).Elevation - Limb; d > 1.2e-4 || d < -1.2e-4 {
				t.Fatalf("elevation at rise or set is %v off the limb", d)
			}
		}
		if !a.Rise.Before(a.Noon) || !a.Noon.Before(a.Set) {
			t.Fatalf("out of order: %v", a)
		}
		la, _ := a.Length()
		lb, _ := b.Length()
		switch δ := TermsAt(a.Noon).Declination; {
		case δ > 2 && lb < la, δ < -2 && lb > la: // 2°: the limb lengthens all days towards the poles
			t.Fatalf("day of %v at %v°, %v at %v°, declination %v", la, lat, lb, further, δ)
		}
	})
}

// Every UTC date has its transit, but for the odd one near the date line.
func TestTransitFallsOnTheDate(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		date := time.Unix(86400*rapid.Int64Range(10957, 29220).Draw(t, "day"), 0).UTC()
		lon := units.Degrees(rapid.Float64Range(-180, 180).Draw(t, "lon"))
		at := Transit(date, lon)
		if s := At(at, 0, lon); s.Hour > 0.001 || s.Hour < -0.001 {
			t.Fatalf("hour angle %v at transit", s.Hour)
		}
		since := at.Sub(date)
		if since < -time.Minute || since > 24*time.Hour+time.Minute {
			t.Fatalf("transit of %v at %v", date, at)
		}
		if (since < 0 || since >= 24*time.Hour) && lon > -172 && lon < 175 { // equation of time within -14.3 and 16.5 min
			t.Fatalf("transit of %v at %v", date, at)
		}
	})
}
