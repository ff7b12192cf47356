// Package steady is the month-by-month tier: surface humidity, interstitial
// condensation and drying after ISO 13788:2012. It sees no rain, no storage
// and no capillary flow; rain indices join in the indicators.
//
// All functions are pure and allocate nothing; a Profile is a value that the
// caller owns and may reuse.
package steady

import (
	"wallsift/model/air"
	"wallsift/model/climate"
)

// Month is the mean state of the air on both sides of the wall in one month.
type Month struct {
	Te float64 // °C, outside
	Pe float64 // Pa, outside vapour pressure
	Ti float64 // °C, inside
	Pi float64 // Pa, inside vapour pressure
}

// seconds is the length of a month.
func seconds(month int) float64 { return 86400 * float64(climate.Days[month]) }

// minSpan is the smallest difference of inside and outside temperature, K, at
// which a surface factor is formed: below it the factor divides by next to
// nothing and says nothing about the wall. A choice of this tool.
const minSpan = 2

// FRsi returns the temperature factor at the inner surface of a wall whose
// layers have the resistance r, between rse and rsi (all m²K/W).
// Source: ISO 13788:2012, 3.1.2.
func FRsi(r, rse, rsi float64) float64 { return (rse + r) / (rse + r + rsi) }

// FRsiMin returns the smallest temperature factor that keeps the monthly mean
// surface humidity at or below rhMax (0–1), and the month (0–11) that asks for
// it. It returns month -1 and 0 when no month has the inside at least 2 K
// warmer than the outside. A value above 1 means that no insulation is enough:
// the room air itself is too humid. Source: ISO 13788:2012, clause 5.3.
func FRsiMin(months *[12]Month, rhMax float64) (f float64, month int) {
	month = -1
	for i, m := range months {
		if m.Ti-m.Te < minSpan {
			continue
		}
		surface := air.DewPoint(m.Pi / rhMax)
		if need := (surface - m.Te) / (m.Ti - m.Te); month < 0 || need > f {
			f, month = need, i
		}
	}
	return f, month
}
