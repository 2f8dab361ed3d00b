// Package climate tells the weather a boat meets at sea.
//
// [Ocean] is a monthly climate of the world ocean; [Mean] gives its averages
// along a passage, [Synthetic] a seeded weather that has the climate's means,
// scatter and persistence, [Fixed] one weather for all, [Dated] values by date
// (also those of a recorded log, see [ReadRecord]), and [Overlay] lays a
// scripted calm or gale over any of them. All of them can serve as the weather
// of a voyage: see [Weather].
//
// Where the tables come from, and under which licence, is in SOURCE.md.
// Formulae:
//
//   - [Falls 1974] L. W. Falls, The beta distribution: a statistical model for
//     world cloud cover, J. Geophys. Res. 79.
//   - [Kasten-Czeplak 1980] F. Kasten, G. Czeplak, Solar and terrestrial
//     radiation dependent on the amount and type of cloud, Solar Energy 24.
//   - [Rice 1945] S. O. Rice, Mathematical analysis of random noise, Bell System
//     Technical Journal 24: the length of a vector with Gaussian components.
//   - [Wichura 1988] M. J. Wichura, Algorithm AS 241: the percentage points of
//     the normal distribution, Applied Statistics 37, 477-484.
//
// Defaults of the synthetic weather, none of which a file can change:
//
//   - cloud factor 1 - 0.70 C^3.4: power published, 0.70 own choice between
//     published coefficients (Hamburg 0.75, an island of Alaska 0.71, the ocean
//     0.61 to 0.63);
//   - concentration of cloud 3.0 and 1.2 (see [Concentration]): chosen between
//     counts of ships and reports, measured but wide apart;
//   - persistence: wind 42 h and 20 h, after buoys; cloud 12 h, after two places
//     ashore, assumed in the trades; air 36 h, between a buoy's 25 h and an
//     island's 72 h;
//   - scatter of the air 0.8 °C and 1.8 °C: own choice after the scatter that ships
//     report; it moves the batteries and the panels little;
//   - cloud and wind independent: measured at one island.
//
// The climate is that of ships of about 1850-1990: no trend, no El Niño, no
// tropical cyclones, no fog, no daily cycle of cloud. Insolation made from it is
// good to about 10 % for a month at a place.
package climate

//go:generate go run ./internal/pack
