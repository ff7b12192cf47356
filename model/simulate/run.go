package simulate

import (
	"errors"

	"wallsift/model/climate"
	"wallsift/model/transient"
)

// Worker runs cases. It holds the engine's memory and serves one goroutine.
type Worker struct {
	mats    *Materials
	solver  transient.Solver
	watch   watcher
	aspects map[aspectKey]*transient.Aspect
}

// NewWorker returns a worker that shares compiled materials with others.
func NewWorker(mats *Materials) *Worker {
	return &Worker{mats: mats, aspects: map[aspectKey]*transient.Aspect{}}
}

// aspectKey names what shapes an aspect; the draws of a home share a few.
type aspectKey struct {
	climate *Climate
	indoor  climate.Indoor
	azimuth float64
	gather  transient.Gather
}

// keptAspects is enough for one building: the years that draws are judged in, at
// the facings that govern.
const keptAspects = 64

// drive gives the forcing of the case's face in a climate.
func (w *Worker) drive(c *Case, y *layout, year *Climate, g transient.Gather) (*transient.Drive, error) {
	key := aspectKey{year, c.Indoor, c.Azimuth, g}
	a := w.aspects[key]
	if a == nil {
		var err error
		if a, err = year.aspect(c.Azimuth, c.Indoor, g); err != nil {
			return nil, err
		}
		if len(w.aspects) == keptAspects {
			clear(w.aspects)
		}
		w.aspects[key] = a
	}
	return a.Drive(&transient.Face{Azimuth: c.Azimuth, Absorptivity: c.Places.Absorptivity, Emissivity: emissivity, GroundAlbedo: albedo,
		RainCoefficient: c.RainCoefficient, Wind: c.Wind, Sun: c.Sun, RainLimit: y.rainLimit, Aw: y.takes}), nil
}

// The start of a search for the yearly state without a settled one to begin
// from, near the air of temperate winters.
const (
	startTheta = 10   // °C
	startRH    = 0.85 // 0–1
)

// gains is the rise of the stored water over a mean year, as a share of it, from
// which a wall that has not settled counts as gathering water: a screening choice
// of this tool.
const gains = 0.01

// Settled is the state of a wall at the end of the mean years: a start for
// another case, which takes it when its grid is equal. It is immutable.
type Settled struct {
	state transient.Snapshot
}

// Run settles a case on its mean year and then runs the judged year once from
// there. from, if not nil, is the start of the search. course, if not nil, receives
// the judged year day by day. A run that does not converge is repeated once
// without ice in the pores, the stiffest part of the equations (Unfrozen); an
// outcome that still has none says so (Failed) and comes without a settled state.
// The error is that of a case that cannot be set up.
func (w *Worker) Run(c *Case, from *Settled, course *Course) (Outcome, *Settled, error) {
	y, err := c.lay(w.mats)
	if err != nil {
		return Outcome{}, nil, err
	}
	mean, err := w.drive(c, y, c.Climate, c.Settings.Settle)
	if err != nil {
		return Outcome{}, nil, err
	}
	year, err := w.drive(c, y, c.judged(), c.Settings.Judge)
	if err != nil {
		return Outcome{}, nil, err
	}
	opt := transient.Options{Cells: c.Settings.Cells, Tolerance: c.Settings.Tolerance}
	r := run{Worker: w, c: c, y: y, mean: mean, year: year, from: from, course: course}
	o, settled, err := r.attempt(opt)
	if err == nil && o.Failed {
		opt.NoIce = true
		o, settled, err = r.attempt(opt)
		o.Unfrozen = true
	}
	return o, settled, err
}

// run is a case on its way.
type run struct {
	*Worker
	c          *Case
	y          *layout
	mean, year *transient.Drive
	from       *Settled
	course     *Course
}

func (r *run) attempt(opt transient.Options) (Outcome, *Settled, error) {
	var o Outcome
	s, watch := &r.solver, &r.watch
	if err := s.Reset(r.y.wall, opt); err != nil {
		return o, nil, err
	}
	if r.from == nil || !s.Restore(r.from.state) {
		if err := s.SetUniform(startTheta, startRH); err != nil {
			return o, nil, err
		}
	}
	watch.begin(r.c, r.y, s.State())
	p := s.RunPeriodic(r.mean, transient.PeriodicOptions{Tolerance: r.c.Settings.CloseEnough, MaxYears: r.c.Settings.Years,
		Begin: func() { watch.year(r.c.Climate, r.mean, true, nil) }}, watch.observe)
	o.Years = int32(p.Years)
	o.count(&p.Counters)
	o.Unsettled = errors.Is(p.Err, transient.ErrNotPeriodic)
	if p.Err != nil && !o.Unsettled {
		o.Failed = true
		return o, nil, nil
	}
	o.Rise = p.Last.StoredWater
	o.Gathering = o.Unsettled && o.Rise > gains*s.Water()
	watch.slow(meanYears)
	settled := &Settled{state: s.Save()}
	watch.year(r.c.judged(), r.year, false, r.course)
	last := s.Run(r.year, r.year.Hours(), watch.observe)
	o.count(&last.Counters)
	if last.Err != nil {
		o.Failed = true
		return o, nil, nil
	}
	watch.finish(&o)
	f := &last.Flows
	o.Rain, o.Taken, o.HeatLoss = f.RainOffered, f.RainFace+f.RainBehind, f.HeatIn/3.6e6
	return o, settled, nil
}

func (o *Outcome) count(c *transient.Counters) {
	o.Steps += int64(c.Steps)
	o.Newton += int64(c.Newton)
	o.Refused += int64(c.TooCoarse + c.Diverged)
}
