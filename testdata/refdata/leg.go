package refdata

import (
	"encoding/json"
	"os"
	"testing"
	"time"
)

// Leg is a reference leg, testdata/leg/*.json: all that its calculation read. The
// signs and units are those of the files.
type Leg struct {
	ID    string
	Title string
	Start time.Time `json:"start_utc"`
	Track struct {
		Kind     string
		From, To struct {
			Lat float64 `json:"lat_deg"`
			Lon float64 `json:"lon_deg"`
		}
	}
	Segments []struct {
		Hours float64
		Speed float64 `json:"speed_kn"`
		Heel  float64 `json:"heel_deg"`
	}
	Weather struct {
		Cloud []float64 `json:"cloud_fraction_6h"`
		Knots []float64 `json:"temperature_knots_h"`
		Air   []float64 `json:"air_c"`
		Sea   []float64 `json:"sea_c"`
	}
	Panels []struct {
		Name    string
		Rated   float64 `json:"rated_w"`
		Tilt    float64 `json:"tilt_deg"`
		Facing  float64 `json:"facing_deg_from_bow"`
		Shading float64 `json:"shading_factor"`
		Dirt    float64 `json:"dirt_factor"`
		NOCT    float64 `json:"noct_c"`
		Gamma   float64 `json:"gamma_per_k"`
	}
	Controller float64 `json:"solar_controller_efficiency"`
	Hydro      *struct {
		Speed     []float64 `json:"speed_kn"`
		Power     []float64 `json:"power_w"`
		CutIn     float64   `json:"cut_in_kn"`
		Limit     float64   `json:"limit_w"`
		LiftBelow float64   `json:"lift_below_kn"`
		Drag      *struct {
			Diameter float64   `json:"rotor_diameter_m"`
			CT       float64   `json:"ct"`
			Density  float64   `json:"water_density_kgm3"`
			Factor   float64   `json:"resistance_factor"`
			Speed    []float64 `json:"resistance_speed_kn"`
			Force    []float64 `json:"resistance_n"`
		}
	}
	Loads []struct {
		Name, Unit, When string
		Power            float64 `json:"power_w"`
		Current          float64 `json:"current_a"`
		Phases           []struct {
			From, To string
			Power    float64 `json:"power_w"`
			Current  float64 `json:"current_a"`
		}
	}
	Bank struct {
		Rated float64 `json:"rated_ah"`
		Start float64 `json:"start_soc"`
	}
}

// ReadLeg returns a reference leg by its name, like "leg_a".
func ReadLeg(t testing.TB, name string) *Leg {
	t.Helper()
	raw, err := os.ReadFile(Path(t, "leg/"+name+".json"))
	if err != nil {
		t.Fatal(err)
	}
	f := new(Leg)
	if err := json.Unmarshal(raw, f); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return f
}
