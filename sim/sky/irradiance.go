package sky

import "ampwake/sim/units"

// Irradiance is the light on the horizontal and along the beam. The zero value
// is night.
type Irradiance struct {
	Global  units.WattsPerSquareMetre // on the horizontal
	Beam    units.WattsPerSquareMetre // direct normal
	Diffuse units.WattsPerSquareMetre // from the sky, on the horizontal
	Beyond  units.WattsPerSquareMetre // beyond the atmosphere, normal to the sun
}

// SolarConstant is the irradiance beyond the atmosphere at one astronomical
// unit, ±0.5 W/m²: [Gueymard 2018].
const SolarConstant units.WattsPerSquareMetre = 1361.1

// Extraterrestrial returns the irradiance normal to the sun beyond the
// atmosphere at a distance in astronomical units.
func Extraterrestrial(constant units.WattsPerSquareMetre, distance float64) units.WattsPerSquareMetre {
	return constant / units.WattsPerSquareMetre(distance*distance)
}

// Model turns the sun and the cloud into light. The zero value is the default:
// Haurwitz's clear sky corrected for the sun's distance, the weather's own word
// on what comes through the cloud, Erbs's split.
type Model struct {
	Clear     ClearSky
	Turbidity float64 // Linke turbidity for ClearIneichen, 1 to 10; 0 stands for 3
	Cloud     Cloud
}

// lowestBeam is the cosine of an apparent zenith of 87°, beyond which all light
// counts as diffuse: there the split divides two small numbers.
const lowestBeam = 0.05233595624294383

// Light returns the light under the sun s when the share through of the clear
// sky's global irradiance comes through the cloud: see Through. It is zero when
// the apparent sun is below the horizon. It does not allocate.
func (m *Model) Light(s *Sun, through units.Fraction) Irradiance {
	cosZ := s.Up
	if cosZ <= 0 {
		return Irradiance{}
	}
	beyond := float64(SolarConstant) / (s.Distance * s.Distance)
	global := m.clear(s, beyond) * float64(through)
	diffuse := global
	beam := 0.0
	if cosZ >= lowestBeam {
		kt := min(1, global/(beyond*max(cosZ, lowestClearness)))
		diffuse = global * erbs(kt)
		beam = (global - diffuse) / cosZ
	}
	return Irradiance{
		Global:  units.WattsPerSquareMetre(global),
		Beam:    units.WattsPerSquareMetre(beam),
		Diffuse: units.WattsPerSquareMetre(diffuse),
		Beyond:  units.WattsPerSquareMetre(beyond),
	}
}

// ClearGlobal returns the clear sky's global irradiance on the horizontal.
func (m *Model) ClearGlobal(s *Sun) units.WattsPerSquareMetre {
	if s.Up <= 0 {
		return 0
	}
	return units.WattsPerSquareMetre(m.clear(s, float64(SolarConstant)/(s.Distance*s.Distance)))
}
