// Package bank is the house battery of ampwake: how much charge it holds, at
// what voltage it stands, what it takes and what it gives.
//
// A Model is the battery as fitted (chemistry, size, temperature rules,
// charger); it never changes and may be shared between goroutines. A State is
// what the battery holds at one moment: a small value that may be copied
// freely. Step moves a State through one span of time at the bus node, where
// sources, loads and battery meet. For most use:
//
//	m, err := bank.New(bank.Default(bank.AGM, 230))
//	s := m.Start(0.9, 24)
//	f := m.Step(&s, bank.Node{Supply: 60, Power: 12, Current: 1.4, Temp: 24, Length: 1.0 / 6})
//
// Currents are positive when the battery discharges. Voltages are those of the
// battery's terminals, which are the bus.
//
// # What is modelled
//
// Charge sits in two tanks, one at hand and one bound [Manwell 1993]; voltage
// follows from the total charge, not from the tank at hand, and from a
// resistance; charging is held back by the charger's voltage, an
// amps-to-Ah-to-go rule, the tank and the largest current allowed; part of the
// charge is lost on the way in; the rest leaks away slowly. Capacity and
// resistances change with temperature; charge in Ah does not.
//
// The terminal voltage is good to about ±0.1 V between 20 and 95 % state of
// charge and worse below; between charging and discharging it moves in one
// jump, without the hours of settling a real battery takes. A real battery
// differs from these figures by tens of per cent with age and history.
//
// # Defaults
//
// What Default sets, 12 V at 25 °C, and how far each figure is to be trusted:
// measured (on a battery), sheet (a maker's data sheet or page), book (a handbook
// or paper), practice (common practice, no source), memory (of something
// published), own (our choice). A test holds this table to the code.
//
//	                           agm             flooded         gel             lfp
//	absorption, V              14.4 practice   14.8 sheet      14.1 sheet      14.4 practice
//	float, V                   13.6 book       13.2 sheet      13.5 sheet      13.4 practice
//	compensation, mV/K         -30 sheet       -30 sheet       -30 sheet       0 practice
//	absorption ends at, C      0.020 practice  0.020 practice  0.020 practice  0.020 practice
//	or after, h                4 practice      4 practice      4 practice      4 practice
//	or at full charge, %       98 practice     98 practice     98 practice     98 practice
//	largest charge, C          0.30 sheet      0.25 practice   0.25 practice   0.50 practice
//	A for each Ah to go        1.0 measured    1.0 practice    1.0 practice    0.0 own
//	trickle, upkeep, 1/h       0.10 0.03 own   0.10 0.03 own   0.10 0.03 own   0.00 0.00 own
//	stored below 80 %          0.97 measured   0.97 practice   0.97 practice   0.99 practice
//	stored when full           0.60 book       0.60 book       0.60 book       0.99 practice
//	self-discharge, %/month    3 book          6 book          2 book          2 practice
//	cut-off, V                 10.5 practice   10.5 practice   10.5 practice   10.0 practice
//	back at, V                 12.2 practice   12.2 practice   12.2 practice   12.8 practice
//	resistance, mΩ of 100 Ah   5.5 measured    8.0 practice    6.5 practice    10.0 memory
//	voltage on discharge       measured        memory          measured (agm)  measured
//	voltage on charge          measured        own             own             measured
//	held by the tanks, C20     1.056 sheet     1.138 sheet     1.116 memory    1.003 memory
//	of that at hand            0.4605 sheet    0.5580 sheet    0.4676 memory   0.9253 memory
//	levelling, 1/h             0.9375 sheet    0.2856 sheet    0.6024 memory   3.3766 memory
//	capacity left at 5 °C      0.88 sheet      0.88 sheet      0.88 sheet      0.99 measured
//
// Capacity and resistance against temperature, cycle lives and the charging side
// of flooded and gel are told where they stand: Setup, LifeOf, and the comments of
// voltage.go.
//
// # Sources
//
//   - [Manwell 1993] J. F. Manwell, J. G. McGowan, Lead acid battery storage
//     model for hybrid energy systems, Solar Energy 50(5), 399-405.
//   - [Copetti 1993] J. B. Copetti, E. Lorenzo, F. Chenlo, A general battery
//     model for PV system simulation, Prog. Photovoltaics 1, 283-292.
//   - [Bode 1977] H. Bode, Lead-Acid Batteries, through the Sulzer 2019
//     parameter set of the PyBaMM library.
//   - [Sulzer 2019] V. Sulzer et al., J. Electrochem. Soc. 166(12), A2363:
//     measured 17 Ah VRLA battery (BSD-3 data).
//   - [ASTM E1049] ASTM E1049-85 (2017), section 5.4.4, rainflow counting.
//   - [IEC 60228] conductor resistances; [ASTM B258] American wire gauge.
//   - [IEEE 485], [IEEE 1013], [IEEE 1562]: sizing steps.
//   - [SOLAS IV/13], [COMSAR/Circ.16]: reserve source of energy.
//
// # Caution
//
// The results are estimates: verify on board with a battery monitor and a real
// capacity test before relying on them. Lead-acid batteries give off hydrogen
// while charging: ventilate, and keep sparks away. Charge voltage must be
// compensated for temperature; a hot battery held at a fixed high voltage can
// run away. Lithium iron phosphate must not be charged below 0 °C, and its
// protection may disconnect the whole bank without warning. Fuse every positive
// conductor close to the battery. Keep an independent supply for distress
// calls and do not plan on the last ampere-hour.
package bank
