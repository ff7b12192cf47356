package report

import (
	"math"
	"slices"
)

// stop is a building of the survey order, with what rounds are made by.
type stop struct {
	building            uint32
	worth               int32
	visit               bool // somebody has to go there
	group               string
	latitude, longitude float64 // degrees, NaN where not known
}

// inRounds puts the visits among the stops, which come in order of worth after all
// that need none, into rounds of at most n, and returns the round of every stop, 0
// without one. A round starts at the stop worth most that is left and goes on to
// the nearest one each time: by distance where both have coordinates, else within
// the same group; a stop with neither goes alone with the next in worth.
func inRounds(stops []stop, n int) []int {
	rounds := make([]int, len(stops))
	from := slices.IndexFunc(stops, func(s stop) bool { return s.visit })
	if from < 0 {
		return rounds
	}
	left := slices.Clone(stops[from:])
	for at, round := from, 1; len(left) > 0; round++ {
		next := 0
		for i := 0; i < n && len(left) > 0; i++ {
			s := left[next]
			stops[at], rounds[at] = s, round
			at++
			left = slices.Delete(left, next, next+1)
			next = nearest(&s, left)
		}
	}
	return rounds
}

// nearest returns the place of the stop nearest to s, the first of equals.
func nearest(s *stop, list []stop) int {
	best, least := 0, math.Inf(1)
	for i := range list {
		d := apart(s, &list[i])
		if d < least {
			best, least = i, d
		}
	}
	return best
}

// Where coordinates are missing: a stop of the same group is as near as one in the
// same town, any other as far as none with coordinates is, m: choices of this tool.
const (
	sameGroup = 2e3
	unrelated = 4e7
)

// apart is the distance between two stops in m, on a sphere of the Earth's mean radius.
func apart(a, b *stop) float64 {
	const radius, degree = 6371e3, math.Pi / 180
	dLat, dLon := (b.latitude-a.latitude)*degree, (b.longitude-a.longitude)*degree
	h := math.Pow(math.Sin(dLat/2), 2) + math.Cos(a.latitude*degree)*math.Cos(b.latitude*degree)*math.Pow(math.Sin(dLon/2), 2)
	switch {
	case !math.IsNaN(h):
		return 2 * radius * math.Asin(math.Sqrt(min(h, 1)))
	case a.group != "" && a.group == b.group:
		return sameGroup
	}
	return unrelated
}
