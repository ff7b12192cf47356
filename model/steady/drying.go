package steady

import "wallsift/model/air"

// DryingCapacity returns how much water in kg/m²a a wet plane at node could
// give off to both sides, month by month, months of net condensation counted
// as zero. Vapour runs in straight lines from saturation at the plane to the
// air on either side; with a variable retarder its s_d follows the humidity on
// its own two faces. Source: ISO 13788:2012, 6.4.4 (evaporation from a wet
// plane) applied to all months.
func (v *Solver) DryingCapacity(p *Profile, months *[12]Month, node int) float64 {
	sum, sd := 0.0, v.dry(p)
	for m := range months {
		mo := &months[m]
		wet := air.PsatFast(p.Theta(node, mo))
		inward := (wet - mo.Pi) / v.insideSd(p, mo, node, wet, &sd)
		outward := 0.0
		if s := p.S[node]; s > 0 {
			outward = (wet - mo.Pe) / s
		}
		sum += max(0, air.DeltaStandard*(inward+outward)) * seconds(m)
	}
	return sum
}

// insideSd returns the s_d in m from node to the room when the plane at node
// has the vapour pressure wet. guess holds the retarder's s_d, in and out.
func (v *Solver) insideSd(p *Profile, m *Month, node int, wet float64, guess *float64) float64 {
	last := p.N - 1
	total := p.S[last] - p.S[node]
	if node >= p.Retarder {
		return total
	}
	dry := v.dry(p)
	outerP, innerP := air.PsatFast(p.Theta(p.Retarder-1, m)), air.PsatFast(p.Theta(p.Retarder, m))
	*guess = v.curve.settle(*guess, func(sd float64) float64 {
		all := total - dry + sd
		outer := wet + (m.Pi-wet)*(p.S[p.Retarder-1]-p.S[node])/all
		inner := wet + (m.Pi-wet)*(p.S[p.Retarder-1]-p.S[node]+sd)/all
		return (min(1, outer/outerP) + min(1, inner/innerP)) / 2
	})
	return total - dry + *guess
}
