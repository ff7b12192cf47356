package transient

import (
	"cmp"
	"math"

	"gonum.org/v1/gonum/interp"
)

// Options steer the numerics. The zero value is the default set.
type Options struct {
	Cells     int     // about so many cells in the wall; 0 means 40
	Fine      float64 // cell width at the outer face, m; 0 means 1 mm, or more with fewer than 40 cells
	Tolerance float64 // error tolerance, a factor on 0.1 K, 0.005 RH, 0.005 of w/w_f; 0 means 1
	MaxStep   float64 // s; 0 means, and no step exceeds, an entry of the drive
	MinStep   float64 // s; below it a step that fails ends the run; 0 means 0.001
	NoIce     bool    // pore water does not freeze
}

func (o Options) withDefaults() Options {
	o.Cells, o.Tolerance = cmp.Or(o.Cells, 40), cmp.Or(o.Tolerance, 1)
	o.MaxStep, o.MinStep = cmp.Or(o.MaxStep, math.Inf(1)), cmp.Or(o.MinStep, 0.001)
	o.Fine = cmp.Or(o.Fine, max(0.001, 0.04/float64(o.Cells)))
	return o
}

// Solver is the workspace of one wall, ready after Reset. It holds the state between
// runs and is not safe for use by several goroutines at once.
type Solver struct {
	wall Wall
	opt  Options

	n     int       // cells
	dx    []float64 // their width, m
	mid   []float64 // their centre, m from the outer face
	layer []int     // their layer
	first []int     // first cell of each layer, and the number of cells at the end

	x, x1, x2 []pair // newest state and the two before it
	it        []pair // Newton iterate
	xp        []pair // scratch of the error estimate
	y, d      []pair // conserved amounts (J/m², kg/m²) and their last change
	ynew      []pair
	wt        []pair // error weights
	cells     []cell
	joins     []join // joins[i] lies between cells i−1 and i (1…n−1)
	src       []source
	sys       blockTri
	out, in   edgeFlux

	Hour int // hours run since the state was set

	polish   bool    // iterate to the end
	rainMark float64 // rain of the entry before, kg/(m²·s)
	hist     int     // valid entries of history behind x (0…2)
	since    int     // steps since the last restart; the first is backward Euler, others BDF2
	dt1, dt2 float64 // the last two steps, s
	a0, a1   float64 // coefficients of the step being tried
	want     float64 // step wanted next, s
	kappa    float64 // Newton contraction: |Δ₂| ≈ κ·|Δ₁|²

	offered float64 // driving rain since the books were opened, kg/m²
	stat    Counters
	yearly  *average // kept by RunPeriodic
}

// tableOf returns the material of cell i.
func (s *Solver) tableOf(i int) *Compiled { return s.wall.Layers[s.layer[i]].Material }

// Reset checks a wall and makes the solver ready for it, reusing its memory. The state
// is 20 °C and 50 % RH until set.
func (s *Solver) Reset(w Wall, o Options) error {
	if err := w.check(); err != nil {
		return err
	}
	s.wall, s.opt = w, o.withDefaults()
	s.lay()
	n := s.n
	for _, v := range []*[]pair{&s.x, &s.x1, &s.x2, &s.it, &s.xp, &s.y, &s.d, &s.ynew, &s.wt} {
		*v = grow(*v, n)
	}
	s.cells = grow(s.cells, n)
	s.sys.resize(n)
	s.layJoins()
	s.laySources()
	s.SetUniform(20, 0.5)
	return nil
}

func (s *Solver) layJoins() {
	w := &s.wall
	s.joins = grow(s.joins, s.n)
	for i := 1; i < s.n; i++ {
		hl, hr := s.dx[i-1]/2, s.dx[i]/2
		j := join{rdx: 1 / (hl + hr), wl: hr / (hl + hr), wr: hl / (hl + hr), hl: hl, hr: hr}
		if a, b := s.layer[i-1], s.layer[i]; a != b {
			j.ifc = &w.Layers[b].Contact
			j.tl, j.tr = w.Layers[a].Material, w.Layers[b].Material
			j.vl, j.vr = 0.5, 0.5
			j.vapourOnly = j.tl.Liquid == nil && j.tr.Liquid == nil
			if j.tr.Liquid == nil {
				j.vl, j.vr = 0, 1
			} else if j.tl.Liquid == nil {
				j.vl, j.vr = 1, 0
			}
		}
		s.joins[i] = j
	}
}

func (s *Solver) laySources() {
	s.src = s.src[:0]
	w := &s.wall
	for _, d := range [...]struct{ depth, share float64 }{{w.RainDepth, w.RainShare}, {w.SkinDepth, w.SkinShare}} {
		if d.share > 0 {
			s.src = append(s.src, source{kind: deposit, cell: s.CellAt(d.depth), coef: d.share})
		}
	}
	for i, l := range s.layer {
		layer := &s.wall.Layers[l]
		if layer.AirChange > 0 {
			s.src = append(s.src, source{kind: vent, cell: i, coef: layer.AirChange / hourSeconds * s.dx[i]})
		}
		if layer.Drained {
			s.src = append(s.src, source{kind: drain, cell: i, coef: s.dx[i] / drainTime})
		}
	}
}

// SetUniform sets the whole wall to theta °C and relative humidity rh (0–1] and
// starts the clock at hour 0.
func (s *Solver) SetUniform(theta, rh float64) {
	x := pair{theta, uOfS(Suction(rh, theta))}
	for i := range s.x {
		s.x[i] = x
	}
	s.Hour = 0
	s.begin()
}

// Snapshot is the state of a wall over the depth, to go back to or to start a like
// wall from. It is immutable.
type Snapshot struct {
	theta, u interp.PiecewiseLinear
	hour     int
}

// Save keeps the present state.
func (s *Solver) Save() *Snapshot {
	p, theta, u := &Snapshot{hour: s.Hour}, make([]float64, s.n), make([]float64, s.n)
	for i, x := range s.x {
		theta[i], u[i] = x.t, x.u
	}
	_, _ = p.theta.Fit(s.mid, theta), p.u.Fit(s.mid, u) // never fails for depths that rise
	return p
}

// Restore sets state and clock to those of p, which may come from another wall;
// on another grid the state is interpolated over the depth from the outer face.
// Suction is common to all materials, so a wall of other materials starts in the
// humidity of the one that was saved.
func (s *Solver) Restore(p *Snapshot) {
	for i, x := range s.mid {
		s.x[i] = pair{p.theta.Predict(x), p.u.Predict(x)}
	}
	s.Hour = p.hour
	s.begin()
}

// begin makes the state in s.x the start. Nothing is left of what was run before:
// the same start gives the same result to the last bit.
func (s *Solver) begin() {
	s.hist, s.since = 0, 0
	s.paths(func(p *path, _ int) { *p = path{} })
	for k, e := range [2]*edgeFlux{&s.out, &s.in} {
		x := s.x[k*(s.n-1)]
		e.u, e.x, e.limited = dual{v: x.u}, x, false
	}
	for i := 1; i < s.n; i++ {
		s.joins[i].warm(s.x[i-1], s.x[i])
	}
	s.rainMark = math.NaN()
	s.evalProps(s.x, false)
	for i := range s.y {
		s.y[i] = pair{s.cells[i].h * s.dx[i], s.cells[i].w * s.dx[i]}
	}
	s.want = 60
	s.kappa = 1
}
