package steady

import (
	"math"

	"wallsift/model/air"
	"wallsift/model/material"
)

// DryingCapacity returns how much water in kg/m²a a wet plane at node could
// give off to both sides, month by month, months of net condensation counted
// as zero. Vapour runs in straight lines from saturation at the plane to the
// air on either side; with a variable retarder its s_d follows the humidity on
// its own two faces. Source: ISO 13788:2012, 6.4.4 (evaporation from a wet
// plane) applied to all months.
func DryingCapacity(p *Profile, months *[12]Month, node int) float64 {
	sum := 0.0
	for m := range months {
		mo := &months[m]
		wet := air.Psat(p.Theta(node, mo))
		inward := (wet - mo.Pi) / insideSd(p, mo, node, wet)
		outward := 0.0
		if s := p.S[node]; s > 0 {
			outward = (wet - mo.Pe) / s
		}
		sum += max(0, air.DeltaStandard*(inward+outward)) * Seconds[m]
	}
	return sum
}

// insideSd returns the s_d in m from node to the room when the plane at node
// has the vapour pressure wet.
func insideSd(p *Profile, m *Month, node int, wet float64) float64 {
	last := p.N - 1
	total := p.S[last] - p.S[node]
	if p.Retarder == 0 || node >= p.Retarder {
		return total
	}
	dry := p.S[p.Retarder] - p.S[p.Retarder-1]
	sd := dry
	for range 40 {
		all := total - dry + sd
		outer := wet + (m.Pi-wet)*(p.S[p.Retarder-1]-p.S[node])/all
		inner := wet + (m.Pi-wet)*(p.S[p.Retarder-1]-p.S[node]+sd)/all
		rh := (min(1, outer/air.Psat(p.Theta(p.Retarder-1, m))) + min(1, inner/air.Psat(p.Theta(p.Retarder, m)))) / 2
		want := material.SdAt(p.curve, rh)
		if math.Abs(want-sd) < 0.005*sd {
			break
		}
		sd = math.Sqrt(sd * want)
	}
	return total - dry + sd
}
