package transient

import (
	"math"
	"testing"
)

// The test walls. Property values: ISO 10456:2007 tables 3 and 4 for λ, ρ, μ;
// A_w, w80, w_f from memory within the literature's ranges for each material.
func mustParam(w80, wf float64) Parametric {
	p, err := NewParametric(w80, wf)
	if err != nil {
		panic(err)
	}
	return p
}

func compiled(t testing.TB, m Material) *Compiled {
	t.Helper()
	c, err := Compile(m)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func porous(name string, rho, c, lam, b, w80, wf, aw, muD, muW float64) Material {
	m := Material{Name: name, Density: rho, HeatCapacity: c, Lambda: lam, LambdaMoisture: b,
		Storage: mustParam(w80, wf), Vapour: Mu{muD, muW}}
	if aw > 0 {
		m.Liquid = CapillaryUptake{Aw: aw, Wf: wf}
	}
	return m
}

var (
	brick     = porous("brick", 1800, 850, 0.6, 8, 9, 250, 0.2, 16, 10)
	sandstone = porous("sandstone", 2200, 850, 2.0, 5, 5, 130, 0.05, 40, 30)
	mortar    = porous("lime mortar", 1700, 850, 0.8, 8, 20, 250, 0.15, 10, 6)
	wool      = porous("mineral wool", 60, 1030, 0.038, 0.5, 0.5, 60, 0, 1, 1)
	gypsum    = porous("gypsum board", 900, 1000, 0.25, 8, 6, 400, 0.29, 10, 4)
)

// fakeYear is invented weather in closed form (no source): seasons, days, fog
// nights, and rain spells. scripts under testdata/reference/transient repeat it.
func fakeYear(hours int) *Weather {
	w := &Weather{}
	for _, p := range []*[]float64{&w.Theta, &w.RH, &w.Wind, &w.WindFrom, &w.Rain, &w.DirectNormal, &w.Diffuse, &w.Global} {
		*p = make([]float64, hours)
	}
	for k := 0; k < hours; k++ {
		t := float64(k) + 0.5
		season := -math.Cos(2 * math.Pi * (t - 500) / 8760)
		day := -math.Cos(2 * math.Pi * (t - 3) / 24)
		slow := math.Sin(2*math.Pi*t/97) + math.Sin(2*math.Pi*t/231+1)
		w.Theta[k] = 8 + 9*season + (2.5+1.5*season)*day + 2*slow
		w.RH[k] = 0.78 - 0.06*season - 0.08*day + 0.03*slow
		w.Wind[k] = 4 + 1.5*math.Sin(2*math.Pi*t/61)
		w.WindFrom[k] = 225 + 60*math.Sin(2*math.Pi*t/143)
		if s := math.Sin(2*math.Pi*t/71) + math.Sin(2*math.Pi*t/173+0.5) + 0.8*math.Sin(2*math.Pi*t/13); s > 1.3 {
			w.Rain[k] = 1.5 * (s - 1.3)
		}
		w.Diffuse[k] = math.Max(0, 60+60*season+(90+60*season)*day)
		w.Global[k] = w.Diffuse[k]
	}
	return w
}

// edgeDrive runs hourly edges given directly.
func edgeDrive(out, in []Edge) *Drive {
	d := &Drive{starts: []int{0}}
	for k := range out {
		d.hours, d.starts = append(d.hours, hour{out[k], in[k]}), append(d.starts, k+1)
	}
	return d
}

// constantDrive holds both edges constant.
func constantDrive(out, in Edge) *Drive { return edgeDrive([]Edge{out}, []Edge{in}) }

const outer, inner = 0, 1

// withContact returns a copy of d with one face touching water at suction s (Pa; 0
// is free water).
func (d *Drive) withContact(side int, s float64) *Drive {
	c := *d
	c.contact[side] = contact{true, uOfS(s)}
	return &c
}

func fakeDrive(t testing.TB, hours int) *Drive { return fakeDriveRain(t, hours, 0.4) }

func fakeDriveRain(t testing.TB, hours int, coefficient float64) *Drive {
	return fakeGathered(t, hours, coefficient, Gather{})
}

func fakeGathered(t testing.TB, hours int, coefficient float64, g Gather) *Drive {
	t.Helper()
	w := fakeYear(hours)
	in := &Indoor{Theta: make([]float64, hours), RH: make([]float64, hours)}
	for k := range in.Theta {
		in.Theta[k] = 20 + 0.15*math.Max(0, w.Theta[k]-10)
		in.RH[k] = math.Max(0.3, math.Min(0.6, 0.4+0.01*w.Theta[k]))
	}
	f := Face{Absorptivity: 0.6, Emissivity: 0.9, GroundAlbedo: 0.2, RainCoefficient: coefficient, Wind: 1, Sun: 1}
	s := NewSite(w, 52, 0, 0)
	a := s.Aspect(225, in, g)
	return a.Drive(&f)
}

// NewSolver makes a solver of one wall.
func NewSolver(w Wall, o Options) (*Solver, error) {
	s := &Solver{}
	if err := s.Reset(w, o); err != nil {
		return nil, err
	}
	return s, nil
}

// closely is how near to a yearly state the tests want to come.
var closely = PeriodicOptions{MaxYears: 40, Tolerance: 0.002}

// retrofitWall is brick, lime plaster, mineral wool, variable retarder, gypsum.
func retrofitWall(t testing.TB) Wall {
	return Wall{Layers: []Layer{
		{Thickness: 0.40, Material: compiled(t, brick)},
		{Thickness: 0.02, Material: compiled(t, mortar)},
		{Thickness: 0.08, Material: compiled(t, wool)},
		{Thickness: 0.0125, Material: compiled(t, gypsum), Contact: Interface{Curve: []SdPoint{{0.5, 5}, {0.6, 4}, {0.9, 0.3}}}},
	}, RainShare: 0.01, RainDepth: 0.05}
}

// runOff is the rain offered and not taken, kg/m².
func (f *Flows) runOff() float64 { return f.RainOffered - f.RainFace - f.RainBehind }

// openBy is how far what flowed in is off what was stored, in water and in heat, as
// shares of what passed.
func (s *Solver) openBy(water, heat float64) (w, h float64) {
	share := func(stored float64, flows ...float64) float64 {
		net, gross := -stored, 0.0
		for _, x := range flows {
			net, gross = net+x, gross+math.Abs(x)
		}
		return math.Abs(net) / gross
	}
	g, q := []float64{s.out.vap.total, s.out.liq.total, s.in.vap.total, s.in.liq.total}, []float64{s.out.q.total, s.in.q.total}
	for _, c := range s.src {
		g, q = append(g, c.g.total), append(q, c.q.total)
	}
	return share(water, g...), share(heat, q...)
}

// booked is the water (kg/m²) and enthalpy (J/m²) of a wall by its books.
func (s *Solver) booked() (water, heat float64) {
	for _, y := range s.y {
		water, heat = water+y.u, heat+y.t
	}
	return water, heat
}
