package hourly

// How years differ, for tests.
const (
	RainSpread, RainWith = rainSpread, rainWith
	WindSpread, WindWith = windSpread, windWith
	SunSpread, SunWith   = sunSpread, sunWith
	WarmSpread, WarmWith = warmSpread, warmWith
)
