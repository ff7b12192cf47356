package hourly

// Span is the hours of a month, Extremes its mean daily extremes, for tests.
var (
	Span     = span
	Extremes = extremes
)

// How years differ, for tests.
const (
	RainSpread, RainWith = rainSpread, rainWith
	WindSpread, WindWith = windSpread, windWith
	SunSpread, SunWith   = sunSpread, sunWith
	WarmSpread, WarmWith = warmSpread, warmWith
)
