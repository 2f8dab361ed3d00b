package sources

import (
	"math"

	"ampwake/sim"
	"ampwake/sim/sky"
)

// trimmed returns how a panel that the crew points Trims times a day is mounted
// now. Daylight (sunrise to sunset at the present place) is cut into so many
// equal parts. At the start of each the crew aims the panel where the sun will
// stand in the middle of the part, and leaves it so against the boat. A crew that
// aims at the sun as it stands, not ahead of it, gets what this gives at half
// the count.
//
// With a fixed tilt only the direction is set; with FreeTilt the panel looks
// straight at that sun, but never further down than upright against the deck.
//
// A source keeps no memory, so the boat is taken to have had her present heading
// and heel at the last trim. On a passage under a wind vane they change slowly;
// where the course jumps at a waypoint the crew trims at once.
func (p *SolarPanel) trimmed(c *sim.Conditions, a *sky.Attitude) sky.Mount {
	const rad = math.Pi / 180
	sinφ, cosφ := math.Sincos(float64(c.Place.Lat) * rad)
	sinδ, cosδ := math.Sincos(float64(c.Sun.Declination) * rad)
	swing := cosφ * cosδ
	// Half the arc of daylight, [Meeus 1998] eq. 15.1; π in polar day.
	const sinLimb = -0.014543314792540165 // sin -0.8333°
	half := math.Acos(max(-1, min(1, (sinLimb-float64(sinφ*sinδ))/swing)))
	part := 2 * half / float64(p.spec.Trims)
	k := max(0, min(float64(p.spec.Trims-1), math.Floor((float64(c.Sun.Hour)*rad+half)/part)))
	sinH, cosH := math.Sincos((k+0.5)*part - half)
	m := a.Mount(sky.Vector{
		North: float64(cosφ*sinδ) - float64(sinφ*cosδ)*cosH,
		East:  -cosδ * sinH,
		Up:    float64(sinφ*sinδ) + float64(swing*cosH),
	})
	level := math.Hypot(m.Forward, m.Starboard)
	switch {
	case p.spec.FreeTilt && m.Up >= 0:
		return m
	case level < 1e-9: // the sun stands over the deck: any direction will do
		return p.mount
	case p.spec.FreeTilt:
		return sky.Mount{Forward: m.Forward / level, Starboard: m.Starboard / level}
	}
	x := p.sinTilt / level
	return sky.Mount{Forward: x * m.Forward, Starboard: x * m.Starboard, Up: p.cosTilt}
}
