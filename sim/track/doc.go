// Package track computes positions, courses and ship's time along a route.
//
// The earth is a sphere. On the default one a minute of arc is a nautical mile,
// as in the classical sailings; the radius is a setting (see Sphere). Against
// the ellipsoid a sphere errs by up to 0.6 % of the distance, which is far
// below what anybody knows of a boat's speed.
//
// A Route is built once from waypoints and asked for the position and course
// at a distance sailed, which is cheap: the trigonometry of both ends of each
// leg is done beforehand. Latitudes beyond 85° are refused: no yacht's route
// leads there, and rhumb lines wind up at the poles.
//
// Sources of the formulae:
//
//   - great circle by vectors, its course from the pole of its plane: ordinary
//     vector geometry, derived at the line where it is used;
//   - distance by the arctangent of sine and cosine: Vincenty, Survey Review 23
//     (1975) 88, with flattening nought;
//   - rhumb line by the isometric latitude: Snyder, Map Projections, a Working
//     Manual, US Geological Survey Professional Paper 1395 (1987), eq. 7-1 and
//     page 46 (equation numbers from memory);
//   - composite sailing: the cosine rule of the right-angled triangle at the
//     tangent point, as in Bowditch, The American Practical Navigator, article
//     on composite sailing (number from memory);
//   - zones of time: the same handbook, zone description (see Zone).
package track
