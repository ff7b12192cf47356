package transient

import (
	"fmt"
	"math"
)

// Options steer the numerics. The zero value is the default set.
type Options struct {
	Cells     int     // about so many cells in the wall; 0 means 40
	Fine      float64 // cell width at the outer face, m; 0 means 0.001
	Tolerance float64 // error tolerance, a factor on 0.1 K, 0.005 RH, 0.005 of w/w_f; 0 means 1
	MaxStep   float64 // s; 0 means, and no step exceeds, an entry of the drive
	MinStep   float64 // s; below it a step that fails ends the run; 0 means 0.001
	MaxNewton int     // Newton iterations a step before it is cut; 0 means 16
	Order     int     // 1: backward Euler only; 0 or 2: BDF2 with backward-Euler restarts
	NoIce     bool    // pore water does not freeze
}

// Error tolerances at Options.Tolerance = 1, per step and unknown.
const (
	tolTheta = 0.1   // K
	tolRH    = 0.005 // relative humidity, 0–1
	tolFill  = 0.005 // w/w_f
)

func (o Options) withDefaults() (Options, error) {
	if o.Cells == 0 {
		o.Cells = 40
	}
	if o.Fine == 0 {
		o.Fine = 0.001
	}
	if o.Tolerance == 0 {
		o.Tolerance = 1
	}
	if o.MaxStep == 0 {
		o.MaxStep = math.Inf(1)
	}
	if o.MinStep == 0 {
		o.MinStep = 0.001
	}
	if o.MaxNewton == 0 {
		o.MaxNewton = 16
	}
	if o.Order == 0 {
		o.Order = 2
	}
	if o.Cells < 3 || o.Cells > 10000 || !(o.Fine > 0) || !(o.Tolerance > 0) ||
		!(o.MaxStep > 0) || !(o.MinStep > 0 && o.MinStep <= o.MaxStep) ||
		o.MaxNewton < 1 || o.Order < 1 || o.Order > 2 {
		return o, fmt.Errorf("transient: options out of range: %+v", o)
	}
	return o, nil
}
