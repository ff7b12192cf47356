package transient

import (
	"math"
	"testing"
)

// The accelerated periodic state against brute-force years.
func TestPeriodicEqualsBruteForce(t *testing.T) {
	wet, dry := fakeDrive(t, 8760), fakeDriveRain(t, 8760, 0)
	dense := porous("dense limestone", 2600, 850, 2.3, 2, 3, 40, 0.002, 150, 120)
	foam := porous("foam", 30, 1400, 0.03, 0, 0.5, 30, 0, 80, 80)
	for _, c := range []struct {
		name  string
		w     Wall
		d     *Drive
		rh    float64 // start
		years int
	}{
		{"retrofit in rain", retrofitWall(t), wet, 0.8, 8},
		{"sandstone in rain", Wall{Layers: []Layer{{Thickness: 0.5, Material: compiled(t, sandstone)}, {Thickness: 0.02, Material: compiled(t, mortar)}}}, wet, 0.8, 5},
		{"dense stone under foam, drying from wet", Wall{Layers: []Layer{{Thickness: 0.3, Material: compiled(t, dense)}, {Thickness: 0.08, Material: compiled(t, foam)}}}, dry, 0.99, 60},
	} {
		t.Run(c.name, func(t *testing.T) {
			d, years := c.d, c.years
			if raceOn && years > 10 {
				t.Skip("too long under the race detector")
			}
			fast, err := NewSolver(c.w, Options{Cells: 30})
			if err != nil {
				t.Fatal(err)
			}
			brute, _ := NewSolver(c.w, Options{Cells: 30})
			fast.SetUniform(10, c.rh)
			brute.SetUniform(10, c.rh)
			p := fast.RunPeriodic(d, closely, nil)
			if p.Err != nil {
				t.Fatal(p.Err)
			}
			first := -1
			for y := 0; y < years; y++ {
				r := brute.Run(d, d.Hours(), nil)
				if r.Err != nil {
					t.Fatal(r.Err)
				}
				// How many plain years until as close as the fast one stopped?
				if diff, _ := stateDistance(fast, brute); first < 0 && diff < 0.002 {
					first = y + 1
				}
			}
			diff, water := stateDistance(fast, brute)
			t.Logf("accelerated %d years (distance left %.1e); brute force came within 0.002 after %d years; after %d they differ by %.1e in RH or w/w_f, %.4f kg/m² water",
				p.Years, p.Distance, first, years, diff, water)
			if diff > 0.004 {
				t.Errorf("accelerated state differs from %d brute-force years by %.2g in RH or w/w_f", years, diff)
			}
		})
	}
}

// stateDistance is the largest difference in RH or filling, and that in water.
func stateDistance(a, b *Solver) (worst, water float64) {
	va, vb := a, b
	for i := 0; i < va.Cells(); i++ {
		worst = math.Max(worst, math.Abs(va.RH(i)-vb.RH(i)))
		worst = math.Max(worst, math.Abs(va.Water(i)-vb.Water(i))/a.tableOf(i).wf)
		water += (va.Water(i) - vb.Water(i)) * a.dx[i]
	}
	return worst, water
}
