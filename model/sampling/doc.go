// Package sampling owns seeded low-discrepancy points, the few inverse
// distribution functions that turn them into uncertain values, and what is
// read off the outcome: the chance that a limit is exceeded, with its sampling
// error, and how much knowing one fact would cut the chance of a wrong choice.
//
// The points are the randomised Halton points of Owen (2017), as gonum draws
// them: every point is uniform on the unit cube, all points together fill it
// evenly. Equal arguments give equal points to the bit.
//
// It refuses: to know what is sampled, to run models, to keep state between
// calls, and to draw at random without a seed.
package sampling
