package transient

import (
	"fmt"
	"math"
)

// Solver is the workspace of one wall. It holds the state between runs and is
// not safe for use by several goroutines at once; its memory is reused by Reset.
type Solver struct {
	wall Wall
	opt  Options
	grid grid
	n    int

	x, x1, x2 []pair // newest state and the two before it
	it        []pair // Newton iterate
	xp        []pair // predictor, then scratch of the error estimate
	y, d      []pair // conserved amounts (J/m², kg/m²) and their last change
	ynew      []pair
	del       []pair // last Newton correction of the step
	cells     []cell
	wt        []pair // error weights
	joins     []join // joins[i] lies between cells i−1 and i (1…n−1)
	src       []source
	sys       blockTri

	slope  []pair  // ∂g/∂u on both sides of each face, kept if not nil
	yearly average // of slope over a year, for RunPeriodic

	out, in edgeFlux
	runs    []layerRun

	polish   bool    // iterate to the end
	touched  bool    // the outer face is in contact with water
	hour     int     // hours run since the state was set
	rainMark float64 // rain of the hour before, kg/(m²·s)
	hist     int     // valid entries of history behind x (0…2)
	since    int     // steps since the last restart
	dt1, dt2 float64 // the last two steps, s
	a0, a1   float64 // coefficients of the step being tried
	want     float64 // step wanted next, s
	kappa    float64 // Newton contraction: |Δ₂| ≈ κ·|Δ₁|²

	books books
	stat  Counters
	view  State
}

// layerRun is the cells of one layer.
type layerRun struct {
	t           *table
	first, last int
}

// NewSolver checks the wall and options and lays out the grid; the state is
// 20 °C and 50 % RH until set.
func NewSolver(w Wall, o Options) (*Solver, error) {
	s := &Solver{}
	if err := s.Reset(w, o); err != nil {
		return nil, err
	}
	return s, nil
}

// Reset makes the solver ready for another wall, reusing its memory.
func (s *Solver) Reset(w Wall, o Options) error {
	if err := w.check(); err != nil {
		return err
	}
	o, err := o.withDefaults()
	if err != nil {
		return err
	}
	s.wall, s.opt = w, o
	s.grid.build(&s.wall, o.Cells, o.Fine)
	n := len(s.grid.dx)
	s.n = n
	for _, v := range []*[]pair{&s.x, &s.x1, &s.x2, &s.del, &s.it, &s.xp, &s.y, &s.d, &s.ynew, &s.wt} {
		*v = grow(*v, n)
	}
	s.cells = grow(s.cells, n)
	s.joins = grow(s.joins, n)
	s.sys.resize(n)
	s.runs = s.runs[:0]
	for l := range w.Layers {
		s.runs = append(s.runs, layerRun{w.Layers[l].Material.tab, s.grid.first[l], s.grid.first[l+1]})
	}
	s.layJoins()
	s.laySources()
	s.view.s = s
	return s.SetUniform(20, 0.5)
}

func (s *Solver) layJoins() {
	g, w := &s.grid, &s.wall
	for i := 1; i < s.n; i++ {
		hl, hr := g.dx[i-1]/2, g.dx[i]/2
		j := join{rdx: 1 / (hl + hr), wl: hr / (hl + hr), wr: hl / (hl + hr), hl: hl, hr: hr}
		if a, b := g.layer[i-1], g.layer[i]; a != b {
			ma, mb := w.Layers[a].Material, w.Layers[b].Material
			j.ifc = &w.Layers[b].Contact
			j.tl, j.tr = ma.tab, mb.tab
			j.vl, j.vr = 0.5, 0.5
			j.vapourOnly = ma.Liquid == nil && mb.Liquid == nil
			if mb.Liquid == nil {
				j.vl, j.vr = 0, 1
			} else if ma.Liquid == nil {
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
			s.src = append(s.src, source{kind: deposit, cell: s.grid.cellAt(d.depth), coef: d.share})
		}
	}
	for l, r := range s.runs {
		layer := &s.wall.Layers[l]
		for i := r.first; i < r.last; i++ {
			if layer.AirChange > 0 {
				s.src = append(s.src, source{kind: vent, cell: i, coef: layer.AirChange / hourSeconds * s.grid.dx[i]})
			}
			if layer.Drained {
				s.src = append(s.src, source{kind: drain, cell: i, coef: s.grid.dx[i] / drainTime})
			}
		}
	}
}

// SetUniform sets the whole wall to theta °C and relative humidity rh (0–1].
func (s *Solver) SetUniform(theta, rh float64) error {
	return s.SetState(func(float64) (float64, float64) { return theta, rh })
}

// SetState sets temperature (°C) and relative humidity (0–1] by depth in m and
// starts the clock at hour 0.
func (s *Solver) SetState(f func(x float64) (theta, rh float64)) error {
	for i, x := range s.grid.x {
		th, rh := f(x)
		if !(th > iceFloor && th < 95 && rh > 1e-6 && rh <= 1) {
			return fmt.Errorf("transient: start at depth %g m: %g °C, RH %g; expected −40…95 and 1e-6…1", x, th, rh)
		}
		s.x[i] = pair{th, uOfS(Suction(rh, th))}
	}
	s.hour = 0
	s.begin()
	return nil
}

// begin makes the state in s.x the start. Nothing is left of an earlier run: the
// same start gives the same result to the last bit.
func (s *Solver) begin() {
	s.hist = 0
	s.books = books{}
	s.out, s.in = edgeFlux{u: s.x[0].u, x: s.x[0]}, edgeFlux{u: s.x[s.n-1].u, x: s.x[s.n-1]}
	for i := 1; i < s.n; i++ {
		s.joins[i].warm(s.x[i-1], s.x[i])
	}
	for k := range s.src {
		s.src[k].water, s.src[k].heat = amount{}, amount{}
	}
	s.restart()
	s.rainMark = math.NaN()
	s.stock()
	s.want = 60
	s.kappa = 1
}

// stock sets the conserved amounts from the state.
func (s *Solver) stock() {
	s.evalProps(s.x, false)
	for i := range s.y {
		s.y[i] = pair{s.cells[i].h * s.grid.dx[i], s.cells[i].w * s.grid.dx[i]}
	}
}

// restart makes the next step backward Euler: nothing of the last step's flows
// is carried over.
func (s *Solver) restart() { s.since = 0 }

func (s *Solver) evalProps(x []pair, wetting bool) {
	for _, r := range s.runs {
		r.t.properties(s.cells[r.first:r.last], x[r.first:r.last], wetting, s.opt.NoIce)
	}
}
