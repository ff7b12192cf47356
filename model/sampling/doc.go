// Package sampling owns seeded points that fill the unit cube evenly, the few
// inverse distribution functions that turn them into uncertain values, and what
// is read off the outcome: between what bounds the chance that a limit is
// exceeded lies, whether that settles the question, and how much knowing one
// fact would cut the chance of a wrong choice.
//
// It refuses: to know what is sampled, to run models, to keep state between
// calls, and to draw at random without a seed.
package sampling
