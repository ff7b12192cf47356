// Package damage judges one place in a wall, or one layer, from the hours of a
// hygrothermal year: a file for each damage model, each a small accumulator
// that is set up with its parameters, fed hour by hour and asked for a Finding.
// It owns the published models and their coefficients. It refuses to know how
// the hours were computed, to hold limits (they are passed in) and to weigh one
// finding against another.
//
// All accumulators share these rules.
//
//   - Temperatures are in °C, relative humidities 0–1 with a trace above 1 where
//     pores are overfilled (read as 1 where a model ends there), water in kg/m³
//     or kg/m².
//   - One call is one hour, in order and without gaps. The hour given is only
//     the name by which a Finding points back, such as 0–8759 (an engine that
//     counts the ends of hours from 1 passes (n-1) mod 8760).
//   - A year may be fed again and again; state carries over from December to
//     January. Repeat does so until a measure settles. To start afresh, set the
//     variable to a new value.
//   - What cannot be judged is never taken for good: after an hour or parameter
//     that is no possible value, or before any hour was fed, the answer is
//     MaxUtilisation with a demand that is NaN.
//   - Nothing is allocated. One value serves one goroutine.
package damage
