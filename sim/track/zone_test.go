package track_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"ampwake/sim/track"
	"ampwake/sim/units"
	"ampwake/testdata/refdata"
)

func TestZone(t *testing.T) {
	hours := refdata.Check{
		Model: refdata.Track, Quantity: "ship's zone",
		Source: "rule of the zones; two cases from print", Status: refdata.Published, Tolerance: 0, Unit: "h",
	}.Begin(t)
	for _, row := range refdata.Read(t, "voyage/zone_time_check.csv") {
		zone := track.Zone(units.Degrees(row.Float("lon_deg_east_positive")))
		hours.Within(float64(zone), row.Float("utc_offset_h"), row.Text("id"))
		assert.Equal(t, int(row.Float("zone_description_h_add_to_zone_time")), track.ZoneDescription(zone), row.Text("id"))
		utc := row.Time("utc")
		assert.Equal(t, row.Time("zone_time"), utc.Add(time.Duration(zone)*time.Hour), row.Text("id"))
	}
	// Exactly between two zones: the farther one; common practice, no source.
	for lon, want := range map[units.Degrees]int{7.5: 1, -7.5: -1, 22.5: 2, 180: 12, -180: -12, 190: -11, -200: 11, 0: 0} {
		assert.Equal(t, want, track.Zone(lon), "Zone(%v)", lon)
	}
}

// The zone told by distance is that of the longitude there, but for a hair
// about the border itself.
func TestZoneAtAgreesWithLongitude(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		points := []track.Waypoint{{Position: drawPlace(t, "start")}}
		for range rapid.IntRange(1, 4).Draw(t, "legs") {
			points = append(points, track.Waypoint{
				Position: drawPlace(t, "waypoint"),
				Line:     track.Line(rapid.IntRange(0, 1).Draw(t, "line")),
			})
		}
		r, err := track.NewRoute(track.Sphere{}, points)
		if err != nil {
			t.Skip(err)
		}
		for range 50 {
			d := units.NauticalMiles(rapid.Float64Range(0, 1).Draw(t, "share")) * r.Length()
			zone, until := r.ZoneAt(d)
			p, _ := r.At(d)
			off := math.Abs(math.Remainder(float64(p.Lon)-7.5, 15))
			line := 180 - math.Abs(float64(p.Lon))
			if off > 1e-6 && line > 1e-6 && zone != track.Zone(p.Lon) {
				t.Fatalf("at %v nm, %v: zone %d, of the longitude %d", d, p, zone, track.Zone(p.Lon))
			}
			if until <= d {
				t.Fatalf("at %v the zone holds until %v", d, until)
			}
		}
	})
}

// Westward from exactly 7.5° E, where the zone is 1 but only at that point.
func TestZoneFromABorder(t *testing.T) {
	r := newRoute(t,
		track.Waypoint{Position: track.Position{Lat: -10, Lon: 7.5}},
		track.Waypoint{Position: track.Position{Lat: -12, Lon: -8}, Line: track.RhumbLine})
	zone, until := r.ZoneAt(0)
	assert.Zero(t, zone)
	p, _ := r.At(until)
	assert.InDelta(t, -7.5, float64(p.Lon), 1e-9)
	zone, _ = r.ZoneAt(until)
	assert.Equal(t, -1, zone)
}

// Over the date line eastward the clock goes back a day: from +12 to -12 h. By
// middle latitude sailing the line is 120' cos 16.37° / sin 56.53° = 138.0 nm off.
func ExampleRoute_ZoneAt() {
	r, err := track.NewRoute(track.Sphere{}, []track.Waypoint{
		{Name: "Fiji", Position: track.Position{Lat: -17.0, Lon: 178.0}},
		{Name: "Wallis", Position: track.Position{Lat: -13.3, Lon: -176.2}, Line: track.RhumbLine},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	zone, until := r.ZoneAt(0)
	fmt.Printf("%+d h for %.1f nm\n", zone, float64(until))
	zone, _ = r.ZoneAt(until)
	fmt.Printf("%+d h from there\n", zone)
	// Output:
	// +12 h for 138.0 nm
	// -12 h from there
}

func BenchmarkZoneAt(b *testing.B) {
	r := pacific(b)
	d := units.NauticalMiles(0)
	for b.Loop() {
		if d++; d > r.Length() {
			d = 0
		}
		r.ZoneAt(d)
	}
}
