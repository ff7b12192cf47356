package material

import (
	"cmp"
	"maps"
	"math"
)

// Compose returns the effective masonry of stone and mortar. What the row m
// already gives is kept; what it leaves at zero is computed:
//
//   - conductivity lies between series and parallel mixing; Low is the least
//     series bound of the low values, High the greatest parallel bound of the
//     high values over the range of shares, and Typical the geometric mean of both bounds of the typical values (the
//     bounds are Wiener's; taking their geometric mean is common practice);
//   - vapour flows in parallel through stone and mortar, because joints run
//     through the wall;
//   - A_w is the area mean (the face shows both), water contents, density,
//     porosity and heat capacity are volume means;
//   - the critical saturation is the stone's.
func Compose(m, stone, mortar Material) Material {
	share := m.Mix.MortarShare
	between := func(a, b, s float64) float64 { return math.Sqrt(series(a, b, s) * mean(a, b, s)) }
	s := share.Typical
	mixRange(&m.Lambda, stone.Lambda, mortar.Lambda, share, series, between)
	m.MuDry = cmp.Or(m.MuDry, series(stone.MuDry, mortar.MuDry, s))
	m.MuWet = cmp.Or(m.MuWet, series(stone.MuWet, mortar.MuWet, s))
	m.HeatCapacity = cmp.Or(m.HeatCapacity, mean(stone.HeatCapacity, mortar.HeatCapacity, s))
	m.LambdaMoisture = cmp.Or(m.LambdaMoisture, mean(stone.LambdaMoisture, mortar.LambdaMoisture, s))
	mixRange(&m.Density, stone.Density, mortar.Density, share, mean, mean)
	mixRange(&m.Porosity, stone.Porosity, mortar.Porosity, share, mean, mean)
	mixRange(&m.Aw, stone.Aw, mortar.Aw, share, mean, mean)
	mixRange(&m.W80, stone.W80, mortar.W80, share, mean, mean)
	mixRange(&m.Wf, stone.Wf, mortar.Wf, share, mean, mean)
	if m.Scrit == (Range{}) {
		m.Scrit = stone.Scrit
	}
	return m
}

// series returns the harmonic mean of a and b with share s of b.
func series(a, b, s float64) float64 { return 1 / ((1-s)/a + s/b) }

// mean returns the arithmetic mean of a and b with share s of b.
func mean(a, b, s float64) float64 { return (1-s)*a + s*b }

// mixRange fills an empty range with the widest that both components and the share
// of mortar allow, by the laws of its low and its typical end and a volume mean.
func mixRange(r *Range, stone, mortar, share Range, low, typical func(a, b, s float64) float64) {
	if *r != (Range{}) {
		return
	}
	r.Low = min(low(stone.Low, mortar.Low, share.Low), low(stone.Low, mortar.Low, share.High))
	r.High = max(mean(stone.High, mortar.High, share.Low), mean(stone.High, mortar.High, share.High))
	r.Typical = typical(stone.Typical, mortar.Typical, share.Typical)
}

// Resolve returns a copy of the table with every composite row composed. A mix names
// rows of the table that are no mixes; the configuration checks it.
func Resolve(table map[string]Material) map[string]Material {
	out := maps.Clone(table)
	for id, m := range table {
		if m.Mix != nil {
			out[id] = Compose(m, table[m.Mix.Stone], table[m.Mix.Mortar])
		}
	}
	return out
}
