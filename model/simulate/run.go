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
func (w *Worker) drive(c *Case, y *layout, year *Climate, g transient.Gather) *transient.Drive {
	key := aspectKey{year, c.Indoor, c.Azimuth, g}
	a := w.aspects[key]
	if a == nil {
		a = year.weather().Aspect(c.Azimuth, year.At(c.Indoor), g)
		if len(w.aspects) == keptAspects {
			clear(w.aspects)
		}
		w.aspects[key] = a
	}
	return a.Drive(&transient.Face{Absorptivity: c.Places.Absorptivity, Emissivity: emissivity, GroundAlbedo: albedo,
		RainCoefficient: c.RainCoefficient, Wind: c.Wind, Sun: c.Sun, RainLimit: y.rainLimit, Aw: y.takes})
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
// another case.
type Settled = transient.Snapshot

// Run settles a case on its mean year and then runs the judged year once from
// there. from, if not nil, is the start of the search. course, if not nil, receives
// the judged year day by day. A run that does not converge is repeated once
// without ice in the pores, the stiffest part of the equations (Unfrozen); an
// outcome that still has none says so (Failed) and comes without a settled state.
// The error is that of a case that cannot be set up.
func (w *Worker) Run(c *Case, from *Settled, course *Course) (o Outcome, settled *Settled, err error) {
	y, err := c.lay(w.mats)
	if err != nil {
		return o, nil, err
	}
	mean, year := w.drive(c, y, c.Climate, c.Settings.Settle), w.drive(c, y, c.judged(), c.Settings.Judge)
	s := &w.solver
	for _, noIce := range []bool{false, true} {
		if err := s.Reset(y.wall, transient.Options{Cells: c.Settings.Cells, Tolerance: c.Settings.Tolerance, NoIce: noIce}); err != nil {
			return o, nil, err
		}
		s.SetUniform(startTheta, startRH)
		if from != nil {
			s.Restore(from)
		}
		w.watch.begin(c, y, s)
		o = Outcome{Unfrozen: noIce}
		if settled = w.years(&o, c, mean, year, course); !o.Failed {
			break
		}
	}
	return o, settled, nil
}

// years runs the mean years and the judged one, and returns the state between them.
func (w *Worker) years(o *Outcome, c *Case, mean, year *transient.Drive, course *Course) *Settled {
	s, watch := &w.solver, &w.watch
	p := s.RunPeriodic(mean, transient.PeriodicOptions{Tolerance: c.Settings.CloseEnough, MaxYears: c.Settings.Years,
		Begin: func() { watch.year(c.Climate, mean, true, nil) }}, watch.observe)
	o.Years = int32(p.Years)
	o.Steps = int64(p.Counters.Steps)
	o.Unsettled = errors.Is(p.Err, transient.ErrNotPeriodic)
	if o.Failed = p.Err != nil && !o.Unsettled; o.Failed {
		return nil
	}
	o.Gathering = o.Unsettled && p.StoredWater > gains*s.Stored()
	watch.slow(meanYears)
	settled := s.Save()
	watch.year(c.judged(), year, false, course)
	last := s.Run(year, year.Hours(), watch.observe)
	o.Steps += int64(last.Counters.Steps)
	if o.Failed = last.Err != nil; o.Failed {
		return nil
	}
	watch.finish(o)
	f := &last.Flows
	o.Rain, o.Taken, o.HeatLoss = f.RainOffered, f.RainFace+f.RainBehind, f.HeatIn/3.6e6
	return settled
}
