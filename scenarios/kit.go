package scenarios

import (
	"ampwake/loads"
	"ampwake/loads/timetable"
	"ampwake/sim/units"
)

// Bank is the house batteries.
type Bank struct {
	Chemistry  Chemistry       `key:"chemistry" doc:"what kind of batteries" default:"agm" status:"own choice"`
	Capacity   units.AmpHours  `key:"capacity,required" doc:"rated at the 20-hour rate, 12 V" min:"1 Ah" max:"20000 Ah" example:"2 x 115 Ah"`
	Start      units.Fraction  `key:"start" doc:"state of charge at departure" default:"100 %" status:"own choice (charged alongside)" min:"0 %" max:"100 %"`
	Floor      *units.Fraction `key:"floor" doc:"state of charge that the crew does not like to pass; the margin is measured from it, or from the goal to stay above" min:"0 %" max:"95 %" example:"50 %"`
	Age        units.Fraction  `key:"age" doc:"what is left of the rated capacity" default:"100 %" status:"changes nothing (as new)" min:"20 %" max:"100 %"`
	CutOff     *units.Volts    `key:"cut-off" doc:"low-voltage cut-off at the bus; 0 V for none; the usual one of the chemistry if absent" status:"by chemistry (see package bank)" min:"0 V" max:"12.5 V" example:"10.8 V"`
	Reset      *units.Volts    `key:"reset" doc:"bus voltage at which loads come back after a cut-off; the usual one of the chemistry if absent" status:"by chemistry (see package bank)" min:"10 V" max:"14 V" example:"12.4 V"`
	Absorption *units.Volts    `key:"absorption" doc:"charge voltage at 25 °C; the usual one of the chemistry if absent" status:"by chemistry (see package bank)" min:"12 V" max:"16 V" example:"14.4 V"`
	Float      *units.Volts    `key:"float" doc:"float voltage at 25 °C; the usual one of the chemistry if absent" status:"by chemistry (see package bank)" min:"12 V" max:"15 V" example:"13.6 V"`
	MaxCharge  *units.Amps     `key:"most charge" doc:"highest charging current the makers allow; the usual one of the chemistry if absent" status:"by chemistry (see package bank)" min:"0.1 A" max:"2000 A" example:"60 A"`

	Worth
	WeighsPerAh *units.Kilograms `key:"weighs per Ah" doc:"weight by the ampere-hour, in place of 'weighs' where capacities are compared" min:"0 kg" max:"5 kg" example:"0.28 kg"`
	CostsPerAh  *float64         `key:"costs per Ah" doc:"price by the ampere-hour, in place of 'costs'" min:"0" max:"10000" example:"2.5"`
}

// Sources is what makes electricity.
type Sources struct {
	Panels []Panel  `key:"panels" doc:"solar panels, any number"`
	Hydro  *Hydro   `key:"hydro" doc:"a water-driven generator"`
	Engine *Engine  `key:"engine" doc:"the engine's alternator"`
	Wind   *Turbine `key:"wind" doc:"a wind turbine"`
	Shore  *Shore   `key:"shore" doc:"a charger on shore power, alongside only"`
}

// Panel is one solar panel.
type Panel struct {
	Name       string         `key:"name,required" doc:"what it is called"`
	Rated      units.Watts    `key:"rated,required" doc:"power at 1000 W/m² and 25 °C" min:"1 W" max:"5 kW" example:"85 W"`
	Tilt       units.Degrees  `key:"tilt" doc:"from the horizontal, boat upright" default:"0°" status:"own choice (flat)" min:"0°" max:"90°"`
	Facing     Facing         `key:"facing" doc:"where it looks, from the bow clockwise; or trimmed to the sun some times a day" default:"up" status:"own choice (flat)" example:"aft"`
	Shaded     units.Fraction `key:"shaded" doc:"share lost to sails, rigging and wires" default:"10 %" status:"common practice, no source" min:"0 %" below:"100 %"`
	Dirt       units.Fraction `key:"dirt" doc:"share lost to salt and dirt" default:"5 %" status:"common practice, no source" min:"0 %" below:"100 %"`
	Controller Controller     `key:"controller" doc:"how it is joined to the bus" default:"tracking" status:"own choice"`
	Efficiency units.Fraction `key:"efficiency" doc:"of a tracking controller" default:"95 %" status:"common practice, no source" min:"50 %" max:"100 %"`
	NOCT       units.Celsius  `key:"noct" doc:"nominal operating cell temperature" default:"45 °C" status:"common practice, no source (45 to 48 °C for a free panel)" min:"20 °C" max:"80 °C"`
	Fades      units.Fraction `key:"fades" doc:"share of power lost by each kelvin of cell above 25 °C" default:"0.4 %" status:"common practice, no source" min:"0 %" max:"1 %"`
	From       *Instant       `key:"from" doc:"in use from then on" example:"2027-02-01 12:00 UTC"`
	To         *Instant       `key:"to" doc:"in use until then" example:"2027-02-20 12:00 UTC"`
	Spare      *SparePanel    `key:"spare" doc:"a panel that is stowed until it is needed"`
	Only       []BoatState    `key:"only,one" doc:"in use only in these states of the boat"`

	Worth
	WeighsPerW *units.Kilograms `key:"weighs per W" doc:"weight by the watt, in place of 'weighs' where sizes are compared" min:"0 kg" max:"5 kg" example:"0.09 kg"`
	CostsPerW  *float64         `key:"costs per W" doc:"price by the watt, in place of 'costs'" min:"0" max:"10000" example:"2"`
}

// SparePanel says when a stowed panel is rigged.
type SparePanel struct {
	Below   *units.Fraction `key:"out below" doc:"rigged when the state of charge falls under this" min:"1 %" max:"99 %" example:"50 %"`
	Above   *units.Fraction `key:"stowed above" doc:"stowed again when it has come back to this; 20 points more if absent" status:"own choice" min:"2 %" max:"100 %" example:"80 %"`
	After   []string        `key:"after,one" doc:"rigged when one of these sources is lost"`
	Rigging units.Hours     `key:"rigging" doc:"from the decision to the first watt" default:"2 h" status:"own choice" min:"0 h" max:"14 d"`
}

// Hydro is a water-driven generator.
type Hydro struct {
	Name      string           `key:"name" doc:"what it is called" default:"hydro"`
	Curve     []CurvePoint     `key:"curve" doc:"current by speed through the water, straight lines between"`
	At        units.Volts      `key:"at" doc:"bus voltage at which the curve and the limit were measured" default:"14 V" status:"common practice, no source" min:"10 V" max:"16 V"`
	Rotor     *Rotor           `key:"rotor" doc:"a rotor in place of a curve"`
	CutIn     *units.Knots     `key:"cut-in" doc:"nothing under this speed" min:"0 kn" max:"10 kn" example:"3 kn"`
	Limit     units.Amps       `key:"limit" doc:"most it gives" default:"20 A" status:"common practice, no source" min:"0.1 A" max:"200 A"`
	LiftBelow units.Knots      `key:"lift below" doc:"lifted out of the water under this speed" default:"2.5 kn" status:"common practice, no source" min:"0 kn" max:"10 kn"`
	LiftAbove *units.Knots     `key:"lift above" doc:"lifted out of the water over this speed" min:"4 kn" max:"30 kn" example:"9 kn"`
	LiftWind  *units.Knots     `key:"lift in wind" doc:"lifted over this true wind: never down in heavy weather" min:"10 kn" max:"80 kn" example:"35 kn"`
	Down      *units.Fraction  `key:"down below" doc:"let down when the state of charge falls under this, since it costs speed; always down if absent" status:"changes nothing" min:"1 %" max:"99 %" example:"60 %"`
	Up        *units.Fraction  `key:"up above" doc:"lifted again above this; 20 points more if absent" status:"own choice" min:"2 %" max:"100 %" example:"85 %"`
	Hours     []timetable.When `key:"hours,one" doc:"down only in these hours" example:"08:00-20:00 ship's time"`
	Drag      *Drag            `key:"drag" doc:"what it costs in speed, for a curve; a rotor brings its own"`
	Only      []BoatState      `key:"only,one" doc:"down only in these states of the boat; under sail, hove-to and drifting if absent" status:"common practice, no source"`

	Worth
}

// CurvePoint is a current at a speed.
type CurvePoint struct {
	Speed   units.Knots `key:"speed,required,row" doc:"through the water" min:"0 kn" max:"20 kn"`
	Current units.Amps  `key:"current,required,row" doc:"into the bus" min:"0 A" max:"200 A"`
}

// Rotor is a water rotor.
type Rotor struct {
	Diameter   units.Metres   `key:"diameter" doc:"of the rotor" default:"0.28 m" status:"common practice, no source" min:"0.05 m" max:"1 m"`
	CP         float64        `key:"power coefficient" doc:"shaft power over the power of the stream; Betz allows 0.593" default:"0.35" status:"common practice, no source" min:"0.01" max:"0.593"`
	CT         float64        `key:"thrust coefficient" doc:"drag over the dynamic force on the disc" default:"0.8" status:"common practice, no source" min:"0.05" max:"1.5"`
	Efficiency units.Fraction `key:"efficiency" doc:"from shaft to bus" default:"80 %" status:"common practice, no source" min:"10 %" max:"100 %"`
	Spread     units.Knots    `key:"spread" doc:"standard deviation of the speed about its mean: power goes with its cube (0.5 to 1 kn in the trades: common practice, no source)" default:"0 kn" status:"changes nothing" min:"0 kn" max:"3 kn"`
}

// Drag is the drag of a generator in the water.
type Drag struct {
	Diameter units.Metres `key:"diameter" doc:"of the rotor" default:"0.28 m" status:"common practice, no source" min:"0.05 m" max:"1 m"`
	CT       float64      `key:"thrust coefficient" doc:"drag over the dynamic force on the disc" default:"0.8" status:"common practice, no source" min:"0.05" max:"1.5"`
}

// Engine is the engine's alternator.
type Engine struct {
	Name     string              `key:"name" doc:"what it is called" default:"engine"`
	Rated    units.Amps          `key:"alternator,required" doc:"rated current of the alternator" min:"5 A" max:"400 A" example:"60 A"`
	Hot      units.Fraction      `key:"hot" doc:"share of the rating that a warm alternator keeps up" default:"60 %" status:"common practice, no source (50 to 60 % in a small yacht)" min:"10 %" max:"100 %"`
	Runs     []timetable.When    `key:"runs,one" doc:"hours of the day at which it is run" example:"10:00-11:00 ship's time"`
	Below    *units.Fraction     `key:"on below" doc:"started when the state of charge falls under this" min:"0 %" max:"95 %" example:"55 %"`
	Until    *units.Fraction     `key:"off above" doc:"stopped when the state of charge has come back to this" min:"1 %" max:"100 %" example:"80 %"`
	Least    units.Hours         `key:"at least" doc:"shortest run once started" default:"30 min" status:"own choice" min:"0 h" max:"12 h"`
	Quiet    []timetable.When    `key:"quiet,one" doc:"hours of the day at which it is not started" example:"21:00-07:00 ship's time"`
	Fuel     units.Litres        `key:"fuel" doc:"in the tank at departure" default:"60 L" status:"own choice" min:"0 L" max:"5000 L"`
	NoLoad   units.LitresPerHour `key:"no-load fuel" doc:"fuel rate with nothing on the belt" default:"0.45 L/h" status:"from memory (0.35 to 0.60 L/h)" min:"0 L/h" max:"10 L/h"`
	PerKWh   float64             `key:"litres per kWh" doc:"fuel for each kWh at the shaft beyond that" default:"0.27" status:"from memory (0.25 to 0.30)" min:"0.1" max:"1"`
	Motoring units.LitresPerHour `key:"motoring fuel" doc:"fuel rate while the engine drives the boat" default:"1.8 L/h" status:"common practice, no source (owners tell of 1.5 to 2 L/h at 5 kn)" min:"0 L/h" max:"100 L/h"`

	Worth              // once 'weighs' is given, the fuel weighs too
	CostsPerL *float64 `key:"costs per L" doc:"price of a litre of fuel" min:"0" max:"10000" example:"1.8"`
}

// Turbine is a wind turbine.
type Turbine struct {
	Name     string       `key:"name" doc:"what it is called" default:"wind turbine"`
	Diameter units.Metres `key:"diameter" doc:"of the rotor" default:"1.1 m" status:"common practice, no source" min:"0.2 m" max:"5 m"`
	CP       float64      `key:"power coefficient" doc:"electrical power over the power of the wind" default:"0.25" status:"common practice, no source" min:"0.01" max:"0.593"`
	Rated    units.Watts  `key:"limit" doc:"most it gives" default:"300 W" status:"common practice, no source" min:"1 W" max:"5 kW"`
	CutIn    units.Knots  `key:"cut-in" doc:"nothing under this apparent wind" default:"6 kn" status:"common practice, no source" min:"0 kn" max:"20 kn"`
	CutOut   units.Knots  `key:"cut-out" doc:"stopped over this apparent wind" default:"39 kn" status:"common practice, no source" min:"10 kn" max:"100 kn"`
	Only     []BoatState  `key:"only,one" doc:"in use only in these states of the boat"`

	Worth
}

// Shore is a shore-power charger.
type Shore struct {
	Name  string      `key:"name" doc:"what it is called" default:"shore power"`
	Power units.Watts `key:"power,required" doc:"into the bus" min:"1 W" max:"10 kW" example:"300 W"`

	Worth
}

// Load is one user of electricity.
type Load struct {
	Name      string           `key:"name,required" doc:"what it is called"`
	Draws     *loads.Draw      `key:"draws" doc:"current (stays the same as the voltage falls) or power (the current rises)" example:"0.5 A"`
	When      []timetable.When `key:"when,one" doc:"when it is on, or on the air for a radio; always on, or listening, if absent" example:"19:00-21:00 ship's time"`
	For       units.Hours      `key:"for" doc:"how long each slot lasts, where 'when' gives only its beginning" min:"1 min" max:"24 h" example:"15 min"`
	Share     units.Fraction   `key:"share" doc:"share of that time that it really draws, as a mean" default:"100 %" status:"changes nothing" above:"0 %" max:"100 %"`
	Only      []BoatState      `key:"only,one" doc:"on only in these states of the boat"`
	OffBelow  *units.Fraction  `key:"off below" doc:"the crew does without it under this state of charge" min:"1 %" max:"99 %" example:"55 %"`
	BackAbove *units.Fraction  `key:"back above" doc:"and takes it back from this on; 10 points more if absent" status:"own choice" min:"2 %" max:"100 %" example:"70 %"`
	Spare     bool             `key:"goes first" doc:"first to be switched off at the low-voltage cut-off"`
	Receive   *units.Amps      `key:"receive" doc:"a radio's current while it listens" min:"0 A" max:"50 A" example:"2.5 A"`
	Transmit  *Transmit        `key:"transmit" doc:"a radio's transmitter"`
	Standby   units.Hours      `key:"standby" doc:"how long a radio listens before each slot" min:"0 h" max:"12 h" example:"30 min"`
	Above     *units.Volts     `key:"works above" doc:"lowest voltage at its own terminals at which it works" min:"5 V" max:"14 V" example:"11.6 V"`
	Cable     *Cable           `key:"cable" doc:"from the bus to its terminals"`
	Station   string           `key:"station" doc:"a weather fax station whose published schedule it follows"`
	Group     *LoadGroup       `key:"group" doc:"which loads a trial sail corrects together with this one; by what it is if absent" example:"lights"`
	Charts    []string         `key:"charts,one" doc:"which of the station's charts: start times in UTC, or words of their titles; all if absent" example:"surface analysis"`
}

// Transmit is a radio's transmitter.
type Transmit struct {
	Peak    units.Amps     `key:"peak,required" doc:"current on voice peaks: the voltage is checked with it" min:"0.1 A" max:"200 A" example:"25 A"`
	Average *units.Amps    `key:"average" doc:"mean current while keyed; half the peak if absent" status:"common practice, no source (0.35 to 0.6 of the peak are met)" min:"0.1 A" max:"200 A" example:"10 A"`
	Share   units.Fraction `key:"share" doc:"share of the slot that is keyed" default:"15 %" status:"common practice, no source" min:"0 %" max:"100 %"`
}

// Cable is a pair of conductors.
type Cable struct {
	Run   units.Metres            `key:"run,required" doc:"length one way" min:"0.1 m" max:"50 m" example:"6 m"`
	Area  units.SquareMillimetres `key:"area,required" doc:"of each conductor" min:"0.5 mm²" max:"120 mm²" example:"16 mm²"`
	Fixed units.Ohms              `key:"fuse and lugs" doc:"of fuse, switch and lugs together" default:"5 mΩ" status:"common practice, no source" min:"0 Ω" max:"1 Ω"`
}

// Model is the choices of the calculation.
type Model struct {
	Step    units.Hours  `key:"step" doc:"longest step; it must divide an hour" default:"10 min" status:"own choice (see DEVELOPERS.md)" min:"30 s" max:"1 h"`
	Charger ChargeStages `key:"charger" doc:"staged: absorption, then float; plain: one voltage limit for ever" default:"staged" status:"own choice"`
}
