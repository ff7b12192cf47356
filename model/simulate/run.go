package simulate

import (
	"errors"
	"math"

	"wallsift/model/transient"
)

// Worker runs cases. It holds the engine's memory and serves one goroutine.
type Worker struct {
	mats   *Materials
	solver transient.Solver
	watch  watcher
	drives []driven
}

// NewWorker returns a worker that shares compiled materials with others.
func NewWorker(mats *Materials) *Worker { return &Worker{mats: mats} }

// driven is a drive kept for the next case of the same face.
type driven struct {
	climate *Climate
	indoor  uint8
	azimuth float64
	rain    float64
	block   int
	gain    float64
	drive   *transient.Drive
}

// keptDrives is enough for the strategies of one building.
const keptDrives = 4

func (w *Worker) drive(c *Case) (*driven, error) {
	want := driven{climate: c.Climate, indoor: uint8(c.Indoor), azimuth: c.Azimuth, rain: c.RainCoefficient, block: c.Settings.Block, gain: c.Params.Absorptivity}
	for i := range w.drives {
		d := w.drives[i]
		d.drive = nil
		if d == want {
			return &w.drives[i], nil
		}
	}
	d, err := c.drive()
	if err != nil {
		return nil, err
	}
	want.drive = d
	if len(w.drives) == keptDrives {
		copy(w.drives, w.drives[1:])
		w.drives = w.drives[:keptDrives-1]
	}
	w.drives = append(w.drives, want)
	return &w.drives[len(w.drives)-1], nil
}

// The start of every search for the yearly state, near the air of temperate
// winters; the yearly state does not depend on it.
const (
	startTheta = 10   // °C
	startRH    = 0.85 // 0–1
)

// closeEnough is the distance from the yearly state, in relative humidity and
// degree of filling, that ends the search.
const closeEnough = 0.01

// Run simulates a case. course, when not nil, receives the watched year day by
// day. A run that does not converge is repeated once without ice in the pores,
// the stiffest part of the equations (Unfrozen); an outcome that still has none
// says so (Failed). The error is that of a case
// that cannot be set up.
func (w *Worker) Run(c *Case, course *Course) (Outcome, error) {
	y, err := c.lay(w.mats)
	if err != nil {
		return Outcome{}, err
	}
	d, err := w.drive(c)
	if err != nil {
		return Outcome{}, err
	}
	opt := transient.Options{Cells: c.Settings.Cells, Tolerance: c.Settings.Tolerance}
	o, err := w.run(c, y, d, opt, course)
	if err == nil && o.Failed {
		opt.NoIce = true
		o, err = w.run(c, y, d, opt, course)
		o.Unfrozen = true
	}
	return o, err
}

func (w *Worker) run(c *Case, y *layout, d *driven, opt transient.Options, course *Course) (Outcome, error) {
	o := Outcome{Dried: math.NaN()}
	s := &w.solver
	if err := s.Reset(y.wall, opt); err != nil {
		return o, err
	}
	if err := s.SetUniform(startTheta, startRH); err != nil {
		return o, err
	}
	begin := func() {
		w.watch.begin(c, y, s.State(), course)
	}
	p := s.RunPeriodic(d.drive, transient.PeriodicOptions{Tolerance: closeEnough, MaxYears: c.Settings.Years, Begin: begin}, w.watch.observe)
	o.Years = int32(p.Years)
	o.count(&p.Counters)
	o.Gathering = errors.Is(p.Err, transient.ErrNotPeriodic)
	if p.Err != nil && !o.Gathering {
		o.Failed = true
		return o, nil
	}
	if course != nil {
		d.drive.EachRain(func(hour int, rain float64) { course.Rain[hour/24%365] += rain })
	}
	w.watch.finish(&o)
	r := p.Last
	o.Rise, o.Rain, o.Taken, o.HeatLoss = r.StoredWater, r.Flows.RainOffered, r.Flows.RainFace+r.Flows.RainBehind, r.Flows.HeatIn/3.6e6
	return o, nil
}

func (o *Outcome) count(c *transient.Counters) {
	o.Steps += int64(c.Steps)
	o.Newton += int64(c.Newton)
	o.Refused += int64(c.TooCoarse + c.Diverged)
}
