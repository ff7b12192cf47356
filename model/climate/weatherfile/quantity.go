package weatherfile

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// quantity is a column of numbers.
type quantity struct {
	name, unit string
	low, high  float64
	missing    float64 // code from which on a value is missing; +Inf: none
	factor     float64 // to the unit of hourly.Hours; 0 means 1
}

// parse returns the number of a cell in its SI unit, NaN for a missing value, or
// what was expected. A blank cell is missing.
func (q *quantity) parse(cell string) (v float64, want string) {
	if cell == "" {
		return math.NaN(), ""
	}
	v, err := strconv.ParseFloat(cell, 64)
	if err == nil && v >= q.missing && !math.IsInf(v, 0) {
		return math.NaN(), ""
	}
	if err != nil || !(v >= q.low && v <= q.high) || strings.ContainsAny(cell, "xX_") {
		return 0, fmt.Sprintf("a number from %g to %g %s", q.low, q.high, q.unit)
	}
	if q.factor != 0 {
		v *= q.factor
	}
	return v, ""
}

// series is a column as it is read.
type series []float64

// holes counts the missing values.
func (s series) holes() (n int) {
	for _, v := range s {
		if math.IsNaN(v) {
			n++
		}
	}
	return n
}

// zero reports that no value differs from zero.
func (s series) zero() bool {
	for _, v := range s {
		if v != 0 {
			return false
		}
	}
	return true
}
