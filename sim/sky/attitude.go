package sky

import (
	"math"

	"ampwake/sim/units"
)

// Vector is a direction, a unit vector in north, east and up.
type Vector struct{ North, East, Up float64 }

// Tilt returns the angle between the vector and the zenith, [0°, 180°].
func (v Vector) Tilt() units.Degrees {
	return units.Degrees(math.Atan2(math.Hypot(v.North, v.East), v.Up) * deg)
}

// Facing returns the direction the vector points to, [0°, 360°); 0° if it
// points straight up or down.
func (v Vector) Facing() units.Degrees { return compass(v.East, v.North) }

// Mount is the normal of a panel in the boat's frame, a unit vector.
type Mount struct{ Forward, Starboard, Up float64 }

// NewMount returns a mount tilted against the deck and facing a direction from
// the bow, clockwise seen from above: 0° forward, 90° starboard, 180° aft.
func NewMount(tilt, facing units.Degrees) Mount {
	sinT, cosT := math.Sincos(float64(tilt) * rad)
	sinF, cosF := math.Sincos(float64(facing) * rad)
	return Mount{sinT * cosF, sinT * sinF, cosT}
}

// Attitude is how the boat lies.
type Attitude struct {
	sinHeading, cosHeading float64
	sinHeel, cosHeel       float64
	sinPitch, cosPitch     float64
}

// NewAttitude returns the attitude for a true heading, heel (starboard down
// positive) and pitch (bow up positive).
func NewAttitude(heading, heel, pitch units.Degrees) Attitude {
	a := Attitude{cosHeel: 1, cosPitch: 1}
	a.sinHeading, a.cosHeading = math.Sincos(float64(heading) * rad)
	if heel != 0 {
		a.sinHeel, a.cosHeel = math.Sincos(float64(heel) * rad)
	}
	if pitch != 0 {
		a.sinPitch, a.cosPitch = math.Sincos(float64(pitch) * rad)
	}
	return a
}

// Normal turns a mount from the boat's frame into the world's: by the heel about
// the fore-and-aft axis, then the pitch, then the heading.
func (a *Attitude) Normal(m Mount) Vector {
	y := float64(m.Starboard*a.cosHeel) + float64(m.Up*a.sinHeel)
	z := float64(m.Up*a.cosHeel) - float64(m.Starboard*a.sinHeel)
	x := float64(m.Forward*a.cosPitch) - float64(z*a.sinPitch)
	z = float64(m.Forward*a.sinPitch) + float64(z*a.cosPitch)
	return Vector{
		North: float64(x*a.cosHeading) - float64(y*a.sinHeading),
		East:  float64(x*a.sinHeading) + float64(y*a.cosHeading),
		Up:    z,
	}
}

// Mount turns a direction of the world into the boat's frame: the inverse of
// Normal.
func (a *Attitude) Mount(v Vector) Mount {
	x := float64(v.North*a.cosHeading) + float64(v.East*a.sinHeading)
	y := float64(v.East*a.cosHeading) - float64(v.North*a.sinHeading)
	z := float64(v.Up*a.cosPitch) - float64(x*a.sinPitch)
	x = float64(x*a.cosPitch) + float64(v.Up*a.sinPitch)
	return Mount{
		Forward:   x,
		Starboard: float64(y*a.cosHeel) - float64(z*a.sinHeel),
		Up:        float64(z*a.cosHeel) + float64(y*a.sinHeel),
	}
}
