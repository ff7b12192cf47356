// Package damage judges one place in a wall, or one layer, from the hours of a
// hygrothermal year: a file for each damage model, each a small accumulator
// that is set up with its parameters, fed hour by hour and asked what it came to.
// It owns the published models and their coefficients. It refuses to know how
// the hours were computed, and to hold limits: model/indicator compares.
//
// All accumulators share these rules.
//
//   - Temperatures are in °C, relative humidities 0–1 with a trace above 1 where
//     pores are overfilled (read as 1 where a model ends there), fillings w/w_f.
//   - One call is one hour, in order and without gaps. The hour given is only
//     the name by which a Peak points back, such as 0–8759.
//   - A year may be fed again and again; state carries over from December to
//     January. To start afresh, set the variable to a new value.
//   - What cannot be judged is never taken for good: after an hour or parameter
//     that is no possible value, or before any hour was fed, the answer is NaN.
//   - One value serves one goroutine. Only RainFront allocates, once.
package damage
