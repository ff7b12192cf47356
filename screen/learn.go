package screen

import (
	"context"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"golang.org/x/sync/errgroup"

	"wallsift/ingest"
	"wallsift/model/sampling"
	"wallsift/model/simulate"
	"wallsift/model/surrogate"
)

// learned holds the response surface of every strategy that needed one: fitted
// to engine runs over the zones and stones of the portfolio, whatever its
// buildings are, and checked on runs it has not seen.
type learned struct {
	surfaces  []*surrogate.Surface // by strategy, nil without
	agreement [][]surrogate.Agreement
	runs      int
}

// blur returns, by output, the error (root mean square) of a strategy's surface on
// the runs held out, on the scale of press; infinite where none showed it.
func (l *learned) blur(strategy uint8) (d [numOutputs]float64) {
	for i, a := range l.agreement[strategy] {
		d[i] = math.Inf(1)
		if a.Count > 0 {
			d[i] = a.RMS
		}
	}
	return d
}

// Design dimensions follow those of a draw.
const (
	designMasonry = iota
	designStone
	designZone
	designExposure
	designOuter
	designInner
	designInsulation
	designDims
)

// The masonry a surface learns from, m: thinner or thicker walls are judged as
// the nearest.
const thinMasonry, thickMasonry = 0.2, 1.0

// fewestRows is what an output needs to be learnt at all.
const fewestRows = 30

// heldOutShare of the runs check the surface and do not teach it.
const heldOutShare = 0.2

// learn runs the engine on designed cases and fits the surfaces. The design
// depends on the configuration and on the sets of zones and stones alone, not on
// the buildings: one more building moves nothing.
func (e *Engine) learn(ctx context.Context, zones, stones []uint16, used []bool, tell func(done, total int)) (*learned, error) {
	total := e.cfg.Chance.TrainingRuns
	held := int(heldOutShare * float64(total))
	seed := uint64(e.cfg.Run.Seed)
	points := append(sampling.Points(total-held, e.dims+designDims, seed), sampling.Points(held, e.dims+designDims, seed+1)...)
	x := make([][][]float64, len(e.strategies))
	y := make([][][]float64, len(e.strategies))
	for s := range x {
		x[s], y[s] = make([][]float64, total), make([][]float64, total)
	}
	var next atomic.Int64
	var telling sync.Mutex
	done := 0
	g, gctx := errgroup.WithContext(ctx)
	for range e.workers() {
		g.Go(func() error {
			w := e.NewWorker()
			for {
				i := int(next.Add(1)) - 1
				if i >= total {
					return nil
				}
				if err := e.teach(gctx, w, points[i], zones, stones, used, i, x, y); err != nil {
					return err
				}
				telling.Lock()
				done++
				tell(done, total)
				telling.Unlock()
			}
		})
	}
	if err := g.Wait(); err != nil {
		return nil, err
	}
	l := &learned{surfaces: make([]*surrogate.Surface, len(e.strategies)), agreement: make([][]surrogate.Agreement, len(e.strategies)), runs: total}
	fits, fctx := errgroup.WithContext(ctx)
	fits.SetLimit(e.workers())
	for s := range e.strategies {
		if !used[s] {
			continue
		}
		fits.Go(func() error {
			if err := fctx.Err(); err != nil {
				return err
			}
			n := total - held
			surface, err := e.outcomes.fit(x[s][:n], y[s][:n])
			if err != nil {
				return fmt.Errorf("strategy %s: the response surface cannot be fitted: %w", e.strategies[s].ID, err)
			}
			l.surfaces[s], l.agreement[s] = surface, surrogate.Check(surface, x[s][n:], y[s][n:])
			return nil
		})
	}
	return l, fits.Wait()
}

// fit fits a surface, or takes the one that was kept for the same rows.
func (o *outcomes) fit(x, y [][]float64) (*surrogate.Surface, error) {
	opt := surrogate.Options{MinRows: fewestRows}
	if o.kept == nil {
		s, _, err := surrogate.Fit(x, y, opt)
		return s, err
	}
	h := sha256.New()
	fmt.Fprintln(h, surrogate.Method, opt)
	var b []byte
	for _, row := range slices.Concat(x, y) {
		b = binary.LittleEndian.AppendUint32(b[:0], uint32(len(row)))
		for _, v := range row {
			b = binary.LittleEndian.AppendUint64(b, math.Float64bits(v))
		}
		h.Write(b)
	}
	key := [32]byte(h.Sum(nil))
	if b, ok := o.kept.Get(key); ok {
		s := &surrogate.Surface{}
		if s.UnmarshalBinary(b) == nil {
			return s, nil
		}
	}
	s, _, err := surrogate.Fit(x, y, opt)
	if err != nil {
		return nil, err
	}
	if b, err = s.MarshalBinary(); err == nil {
		err = o.kept.Put(key, b)
	}
	if err != nil {
		return nil, fmt.Errorf("keeping a surface: %w", err)
	}
	return s, nil
}

// teach runs one designed case under every strategy in use.
func (e *Engine) teach(ctx context.Context, w *Worker, point []float64, zones, stones []uint16, used []bool, i int, x, y [][][]float64) error {
	d, p := draw(point[:e.dims]), point[e.dims:]
	pick := func(dim, n int) int { return min(int(p[dim]*float64(n)), n-1) }
	b := ingest.Building{Stone: e.stones[stones[pick(designStone, len(stones))]].ID, Zone: e.zones[zones[pick(designZone, len(zones))]].id}
	for k := range b.Num {
		b.Num[k] = math.NaN()
	}
	b.Num[ingest.WallThickness] = thinMasonry + p[designMasonry]*(thickMasonry-thinMasonry)
	b.Cat[ingest.Exposure] = uint8(1 + pick(designExposure, 4))
	b.Cat[ingest.OuterFinish] = uint8(1 + pick(designOuter, len(e.outer)-1))
	b.Cat[ingest.InnerFinish] = uint8(1 + pick(designInner, len(e.inner)-1))
	for s := range e.strategies {
		if err := ctx.Err(); err != nil {
			return err
		}
		if !used[s] {
			continue
		}
		st := &e.strategies[s]
		var scratch Judgement
		now := facts{cat: b.Cat, num: &b.Num}
		after := e.repaired(st, &now, &scratch)
		world := e.worldOf(&b, &after, st, d)
		sized := st.Thickness.Min + p[designInsulation]*(st.Thickness.Max-st.Thickness.Min)
		out, before, err := w.outcomes(&b, &now, st, &world, sized, d)
		if err != nil {
			return err
		}
		c := e.caseOf(e.zones[e.zoneIndex[b.Zone]], &world, st, sized)
		var f [simulate.NumFeatures]float64
		c.Features(&f)
		logs := e.outputs(out, st, before)
		row := make([]float64, numOutputs)
		for k, v := range logs {
			row[k] = float64(v)
		}
		x[s][i], y[s][i] = append([]float64(nil), f[:]...), row
	}
	return nil
}

func (e *Engine) workers() int {
	if n := e.cfg.Run.Workers; n > 0 {
		return n
	}
	return runtime.GOMAXPROCS(0)
}
