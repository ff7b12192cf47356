package simulate

import (
	"math"

	"wallsift/model/air"
	"wallsift/model/climate"
	"wallsift/model/transient"
	"wallsift/model/wall"
)

// NumFeatures is the length of a case's feature vector.
const NumFeatures = 20

// Features describes a case by the numbers its outcome mostly follows, for
// response surfaces: thicknesses and resistances as they are, what spans decades
// by its logarithm. Cases of equal features may still differ.
func (c *Case) Features(x *[NumFeatures]float64) {
	var outerSd, innerSd, innerR, sized float64
	lambda, masonry, seen := 0.0, 0.0, false
	faceAw, first := c.Stone.Aw, true
	for i := range c.Wall.Layers[:c.Wall.N] {
		l := &c.Wall.Layers[i]
		if first && l.Thickness > 0 {
			first = false
			if l.Role != wall.Masonry {
				faceAw = settled(l).Aw
			}
		}
		switch {
		case l.Role == wall.Masonry:
			masonry, lambda, seen = l.Thickness, l.Lambda, true
			continue
		case l.Role == wall.Sized:
			sized = l.Thickness
		}
		if seen {
			innerSd += l.Sd
			innerR += l.R
		} else {
			outerSd += l.Sd
		}
	}
	s := &c.Stone
	sums := c.Climate.facing(c.Azimuth)
	rain := sums.rain * c.RainCoefficient
	year := c.Climate.summary()
	const little = 1e-4
	*x = [NumFeatures]float64{
		masonry, math.Log(lambda), math.Log(max(s.Aw, little)), math.Log(max(faceAw*c.Skin.Factor, little/10)), math.Log(s.Wf), math.Log(s.W80),
		math.Log(s.MuDry), math.Log(max(s.Scrit*s.Porosity*1000/s.Wf, little)), sized, innerR, math.Log1p(outerSd), math.Log1p(min(innerSd, 50)),
		math.Log(1 + rain), math.Log(little + c.LeakShare*rain), sums.solar, year.cold, year.mean, year.rh, c.Climate.excess(c.Indoor), math.Log(1 + min(rain, 1e3*faceAw*c.Skin.Factor)),
	}
}

// bearing holds what a face of one orientation gets in a year.
type bearing struct {
	rain  float64 // l/m²a, airfield index
	solar float64 // W/m², mean
}

// summary holds what features say of a climate.
type summary struct {
	cold, mean float64 // °C: mean of the hours below 0 °C or 6 K below the year's mean; of all
	rh         float64
	coldPe     float64 // Pa, of the cold hours
}

// bearings is how many orientations are kept; between them lies a straight line.
const bearings = 24

func (c *Climate) facing(azimuth float64) bearing {
	c.faces.Do(func() {
		h := c.Hours.Liquid()
		for i := range c.bearing {
			f := transient.Face{Azimuth: float64(i) * 360 / bearings, GroundAlbedo: albedo, Latitude: c.Latitude, Longitude: c.Longitude, TimeZone: c.TimeZone, RainCoefficient: 1, Sun: 1}
			b := &c.bearing[i]
			for k := range h.Theta {
				b.rain += 3600 * f.DrivingRain(h.Rain[k], h.Wind[k], h.WindFrom[k])
				b.solar += f.Solar(float64(k)+0.5, h.DirectNormal[k], h.Diffuse[k], h.Global[k]) / float64(len(h.Theta))
			}
		}
	})
	at := math.Mod(math.Mod(azimuth, 360)+360, 360) * bearings / 360
	i := int(at) % bearings
	a, b, t := c.bearing[i], c.bearing[(i+1)%bearings], at-math.Floor(at)
	return bearing{a.rain + t*(b.rain-a.rain), a.solar + t*(b.solar-a.solar)}
}

func (c *Climate) summary() *summary {
	c.sums.Do(func() {
		y := &c.sum
		n := 0.0
		for k, th := range c.Hours.Theta {
			y.mean += th / float64(len(c.Hours.Theta))
			y.rh += c.Hours.RH[k] / float64(len(c.Hours.Theta))
		}
		for k, th := range c.Hours.Theta {
			if th < y.mean-6 || th < 0 {
				y.cold += th
				y.coldPe += c.Hours.RH[k] * air.Psat(th)
				n++
			}
		}
		if n > 0 {
			y.cold, y.coldPe = y.cold/n, y.coldPe/n
		} else {
			y.cold, y.coldPe = y.mean, y.rh*air.Psat(y.mean)
		}
	})
	return &c.sum
}

// excess returns the room's vapour pressure over the outdoor one in the cold
// hours, hPa.
func (c *Climate) excess(rule climate.Indoor) float64 {
	y := c.summary()
	_, pi := rule.Room(c.Room, y.cold, y.coldPe)
	return (pi - y.coldPe) / 100
}
