package sources

import (
	"fmt"
	"strings"

	"ampwake/sim"
	"ampwake/sim/sky"
	"ampwake/sim/units"
)

// Glass chooses how light is lost at a slant.
type Glass uint8

// The glasses on offer.
const (
	GlassASHRAE     Glass = iota // on the beam only
	GlassMartinRuiz              // on beam, sky and sea, each by its own factor
)

// Cooling chooses how hot the cells get.
type Cooling uint8

// The coolings on offer. Those with wind take the true wind.
const (
	CoolingNOCT  Cooling = iota // by the nominal operating cell temperature, no wind
	CoolingWind                 // in the open, with the wind (Faiman)
	CoolingOpen                 // in the open, with the wind (Sandia)
	CoolingGlued                // stuck on deck, with the wind (Sandia)
)

// Controller chooses how the panel is joined to the bus.
type Controller uint8

// The controllers on offer.
const (
	// ControllerTracking holds the panel at its best point: the watts do not
	// depend on the voltage of the bus.
	ControllerTracking Controller = iota
	// ControllerSwitching (PWM) ties the panel to the bus: about its best
	// current at the voltage of the bus, never more than its best power.
	ControllerSwitching
)

var (
	glassNames      = []string{"ashrae", "martin-ruiz"}
	coolingNames    = []string{"noct", "wind", "open", "glued"}
	controllerNames = []string{"tracking", "switching"}
)

func (g Glass) String() string      { return panelChoice(glassNames, int(g)) }
func (c Cooling) String() string    { return panelChoice(coolingNames, int(c)) }
func (c Controller) String() string { return panelChoice(controllerNames, int(c)) }

// UnmarshalText reads "ashrae" or "martin-ruiz".
func (g *Glass) UnmarshalText(text []byte) error {
	return setPanelChoice(g, glassNames, "a kind of glass", text)
}

// UnmarshalText reads "noct", "wind", "open" or "glued".
func (c *Cooling) UnmarshalText(text []byte) error {
	return setPanelChoice(c, coolingNames, "a kind of cooling", text)
}

// UnmarshalText reads "tracking" or "switching".
func (c *Controller) UnmarshalText(text []byte) error {
	return setPanelChoice(c, controllerNames, "a kind of controller", text)
}

// panelChoice returns the name of choice i.
func panelChoice(names []string, i int) string {
	if i < 0 || i >= len(names) {
		return fmt.Sprintf("choice %d", i)
	}
	return names[i]
}

// setPanelChoice reads a choice by its name.
func setPanelChoice[T ~uint8](x *T, names []string, what string, text []byte) error {
	for i, n := range names {
		if n == string(text) {
			*x = T(i)
			return nil
		}
	}
	return fmt.Errorf("%q is not %s: want one of %s", text, what, strings.Join(names, ", "))
}

// glass returns the light behind the glass, W/m².
func (p *SolarPanel) glass(plane *sky.Plane, n sky.Vector) float64 {
	beam, dome, sea := float64(plane.Beam), float64(plane.Sky), float64(plane.Sea)
	if p.spec.Glass == GlassMartinRuiz {
		fromSky, fromSea := sky.MartinRuizDiffuse(n.Tilt(), p.spec.AR)
		through := float64(sky.MartinRuiz(plane.CosIncidence, p.spec.AR))
		return float64(beam*through) + float64(dome*float64(fromSky)) + float64(sea*float64(fromSea))
	}
	return float64(beam*float64(sky.ASHRAE(plane.CosIncidence, p.spec.B0))) + dome + sea
}

// cell returns the temperature of the cells for the light on the plane.
func (p *SolarPanel) cell(c *sim.Conditions, light units.WattsPerSquareMetre) units.Celsius {
	air := c.Weather.Air
	switch p.spec.Cooling {
	case CoolingWind:
		return sky.CellFaiman(air, light, c.Weather.WindSpeed)
	case CoolingOpen:
		return sky.CellSandia(air, light, c.Weather.WindSpeed, sky.SandiaOpen())
	case CoolingGlued:
		return sky.CellSandia(air, light, c.Weather.WindSpeed, sky.SandiaGlued())
	}
	return air + units.Celsius(p.heat*float64(light)) // sky.CellNOCT
}
