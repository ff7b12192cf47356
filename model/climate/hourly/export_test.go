package hourly

// Span is the hours of a month, for tests.
var Span = span

// How years differ, for tests.
const (
	RainSpread, RainWith = rainSpread, rainWith
	WindSpread, WindWith = windSpread, windWith
	SunSpread, SunWith   = sunSpread, sunWith
	WarmSpread, WarmWith = warmSpread, warmWith
)
