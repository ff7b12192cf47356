package transient

import (
	"math"
	"slices"
	"sort"
	"testing"
)

// Beam on vertical faces by spherical trigonometry: at solar noon on an equinox
// the sun stands at 90° − latitude due south, so a south face sees it at its
// altitude; six hours earlier it rises due east.
func TestSolarOnVerticalFaces(t *testing.T) {
	const lat, day = 50.0, 80 // 21 March: declination within 0.5° of zero
	beam := func(azimuth, hour float64) float64 {
		s := sunOf(day-1, lat, 0, 0)
		return s.beam(hour, 1000).onto(bearing(azimuth))
	}
	eot := 7.5 / 60 // the sun is about 7.5 minutes late on 21 March
	noon := 12 + eot
	want := 1000 * math.Cos((90-lat)*math.Pi/180)
	if got := beam(180, noon); math.Abs(got-want) > 8 {
		t.Errorf("south face at noon: %.1f W/m², trigonometry %.1f", got, want)
	}
	if got := beam(0, noon); got != 0 {
		t.Errorf("north face at noon: %g W/m²", got)
	}
	if e, w := beam(90, noon-3), beam(270, noon+3); math.Abs(e-w) > 5 || e < 100 {
		t.Errorf("east in the morning %.1f and west in the afternoon %.1f W/m² differ", e, w)
	}
	if got := beam(90, 3); got != 0 {
		t.Errorf("sun at night: %g W/m²", got)
	}
	f := Face{GroundAlbedo: 0.2}
	if got := f.solar(0, 100, 200); math.Abs(got-70) > 1e-9 {
		t.Errorf("diffuse and ground: %g W/m², want half the sky and half the reflection, 70", got)
	}
}

// ISO 15927-3: (2/9)·v·r^(8/9)·cos(D − θ), nothing on the lee side.
func TestDrivingRain(t *testing.T) {
	look := bearing(225)
	want := 2.0 / 9 * 6 * math.Pow(3, 8.0/9) * math.Cos(30*math.Pi/180) / 3600
	if got := drivingRain(3, 6, 255).onto(look); math.Abs(got-want) > 1e-12 {
		t.Errorf("driving rain %g, formula %g", got, want)
	}
	if got := drivingRain(3, 6, 45).onto(look); got != 0 {
		t.Errorf("rain on the lee side: %g", got)
	}
}

// Only what reaches the face counts: half the direct sun, half the wind.
func TestShelteredFace(t *testing.T) {
	open, half := Face{Sun: 1, Wind: 1}, Face{Sun: 0.5, Wind: 0.5}
	if a, b := open.solar(500, 0, 0), half.solar(500, 0, 0); math.Abs(b-a/2) > 1e-9 || a < 100 {
		t.Errorf("direct sun %g W/m² in the open, %g half shaded", a, b)
	}
	w := &Weather{Theta: []float64{10}, RH: []float64{0.8}, Wind: []float64{6}}
	d := NewSite(w, 50, 0, 0).Aspect(180, &Indoor{Theta: []float64{20}, RH: []float64{0.5}}, Gather{}).Drive(&half)
	if e := d.hours[0].out; e.H != 16 || math.Abs(e.Beta-lewis*16) > 1e-20 {
		t.Errorf("h = %g W/(m²K), β = %g, want those of 3 m/s", e.H, e.Beta)
	}
}

// A film lets in no more than its limit in any hour, and the rest runs off, however
// hours are gathered.
func TestRainLimit(t *testing.T) {
	const hours, limit = 48, 0.05
	w := &Weather{Theta: make([]float64, hours), RH: make([]float64, hours), Rain: make([]float64, hours), Wind: make([]float64, hours)}
	f := &Face{RainCoefficient: 0.5, RainLimit: limit, Wind: 1}
	all, passed := 0.0, 0.0
	for k := range hours {
		w.Theta[k], w.RH[k], w.Wind[k], w.Rain[k] = 10, 0.9, 5, float64(k%7)*float64(k%5)/10
		r := hourSeconds * f.RainCoefficient * drivingRain(w.Rain[k], w.Wind[k], 0).onto(bearing(0))
		all, passed = all+r, passed+min(r, limit)
	}
	if passed > 0.7*all {
		t.Fatal("nothing to shed")
	}
	site := NewSite(w, 52, 0, 0)
	in := &Indoor{Theta: slices.Repeat([]float64{20}, hours), RH: slices.Repeat([]float64{0.5}, hours)}
	for _, g := range []Gather{{}, {Hours: 12}, {Hours: 24}, {Hours: 24, Rain: true}} {
		a := site.Aspect(0, in, g)
		s, err := NewSolver(Wall{Layers: []Layer{{Thickness: 0.3, Material: compiled(t, brick)}}}, Options{})
		if err != nil {
			t.Fatal(err)
		}
		f := s.Run(a.Drive(f), hours, nil).Flows
		if math.Abs(f.RainFace-passed) > 1e-9 || math.Abs(f.runOff()-all+passed) > 1e-9 {
			t.Errorf("%+v: took %g kg/m² and shed %g, want %g of %g", g, f.RainFace, f.runOff(), passed, all)
		}
	}
}

// A dry face draws A_w·√t while more rain comes than that, begins anew after an hour
// without rain, and takes all of a light rain (the √t law itself).
func TestDryFaceBoundsWhatASpellBrings(t *testing.T) {
	const aw = 0.02 // kg/(m²·√s): 1.2 kg/m² in the first hour
	law := func(hours float64) float64 { return aw * math.Sqrt(hours*hourSeconds) }
	for _, c := range []struct {
		rain []float64 // kg/(m²·h)
		want float64   // kg/m²
	}{
		{[]float64{5, 5, 5, 5}, law(4)},
		{[]float64{5, 0, 5, 5}, law(1) + law(2)},
		{[]float64{0.1, 0.1, 0.1}, 0.3},
		{[]float64{law(1), 5, 0.1}, law(2) + 0.1},
		{[]float64{0.3, 5}, math.Sqrt(0.3*0.3 + law(1)*law(1))},
	} {
		f := runOff{Face: &Face{RainCoefficient: 1, Aw: aw}}
		var hours []wetHour
		for k, r := range c.rain {
			if r > 0 {
				hours = append(hours, wetHour{100 + k, r / hourSeconds})
			}
		}
		if got := f.takes(hours) * hourSeconds; math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%v: %.4f kg/m², want %.4f", c.rain, got, c.want)
		}
	}
}

// A state moves to another wall of the same grid as it is, and to another grid by
// depth.
func TestRestore(t *testing.T) {
	a, err := NewSolver(Wall{Layers: []Layer{{Thickness: 0.3, Material: compiled(t, brick)}}}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	d := fakeDrive(t, 8760)
	a.Run(d, 100, nil)
	kept, depth, was := a.Save(), slices.Clone(a.mid), slices.Clone(a.x)
	other := Wall{Layers: []Layer{{Thickness: 0.3, Material: compiled(t, sandstone)}}}
	fresh, _ := NewSolver(other, Options{})
	fresh.Restore(kept)
	a.Reset(other, Options{})
	a.Run(d, 50, nil)
	a.Restore(kept)
	if x, y := fresh.Run(d, 200, nil), a.Run(d, 200, nil); x != y {
		t.Errorf("a used solver went on differently:\n%+v\n%+v", x, y)
	}
	other.Layers = append(other.Layers, retrofitWall(t).Layers[1:]...)
	a.Reset(other, Options{})
	a.Restore(kept)
	for i, x := range a.mid {
		k := sort.SearchFloat64s(depth, x)
		lo, hi := was[max(k-1, 0)].u, was[min(k, len(was)-1)].u
		if is := a.x[i].u; is < min(lo, hi)-1e-12 || is > max(lo, hi)+1e-12 {
			t.Errorf("%.3f m: u is %g between cells of %g and %g", x, is, lo, hi)
		}
	}
}

// The step loop allocates nothing.
func TestRunAllocatesNothing(t *testing.T) {
	if raceOn {
		t.Skip("the race detector allocates")
	}
	s, err := NewSolver(retrofitWall(t), Options{})
	if err != nil {
		t.Fatal(err)
	}
	d := fakeDrive(t, 8760)
	if n := testing.AllocsPerRun(3, func() { s.Run(d, 500, nil) }); n != 0 {
		t.Errorf("%g allocations in 500 hours", n)
	}
}
