package climate

// Liquid share of precipitation: half at a monthly mean of −2 °C, because wet
// winter days are milder than the month, with a spread of 5 K. Both are choices
// of this tool from memory of coastal and inland stations; they understate
// winter rain where warm storms cross a cold coast (Nova Scotia: about a fifth
// here, over a half recorded, from memory).
const (
	liquidHalf  = -2 // °C
	liquidSigma = 5  // K
)

// LiquidShare returns the estimated share (0–1) of a month's precipitation that
// falls as rain, for the monthly mean temperature in °C. An estimate.
func LiquidShare(temp float64) float64 { return normal((temp - liquidHalf) / liquidSigma) }
