package hourly_test

import (
	"encoding/csv"
	"maps"
	"math"
	"os"
	"slices"
	"strconv"
	"testing"

	"wallsift/model/climate"
	"wallsift/model/climate/climatetest"
	"wallsift/model/climate/hourly"
)

// month is one recorded month: °C, mm, m/s, hours of sunshine; NaN where it is
// missing.
type month struct {
	Month                    int // 0–11
	Temp, Rain, Wind, Shines float64
}

// monthly reads the months of 1961 to 2020 of five stations of the table.
func monthly(t testing.TB) map[string][]month {
	f, err := os.Open("../../../testdata/reference/weather/monthly_series.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	out := map[string][]month{}
	for _, r := range rows[1:] {
		var v [8]float64
		for i, cell := range r[1:] {
			if v[i] = math.NaN(); cell != "" {
				if v[i], err = strconv.ParseFloat(cell, 64); err != nil {
					t.Fatal(err)
				}
			}
		}
		out[r[0]] = append(out[r[0]], month{int(v[1]) - 1, v[2], v[5], v[6], v[7]})
	}
	return out
}

// aYear is what is said of one year, as departures from the trend, the relative
// ones over the mean.
type aYear struct{ rain, wind, sun, driving, winter, summer float64 }

// yearsOf forms the whole years of a station; what a month lacks makes NaN.
func yearsOf(months []month) (out []aYear) {
	for len(months) >= 12 {
		var y aYear
		for _, m := range months[:12] {
			y.rain += m.Rain
			y.wind += m.Wind
			y.sun += m.Shines
			y.driving += m.Rain * m.Wind
			if m.Month >= 3 && m.Month <= 8 {
				y.summer += m.Temp / 6
			} else {
				y.winter += m.Temp / 6
			}
		}
		out = append(out, y)
		months = months[12:]
	}
	return out
}

// detrend returns the departures from a straight line over the years and the mean.
func detrend(years []aYear, of func(*aYear) float64) (off []float64, average float64) {
	var n, x, y, xx, xy float64
	for i := range years {
		if v, t := of(&years[i]), float64(i); !math.IsNaN(v) {
			n, x, y, xx, xy = n+1, x+t, y+v, xx+t*t, xy+t*v
		}
	}
	slope := (xy - x*y/n) / (xx - x*x/n)
	for i := range years {
		off = append(off, of(&years[i])-y/n-slope*(float64(i)-x/n))
	}
	return off, y / n
}

// spreadOf is the standard deviation of a and its correlation with b, over the
// years that have both.
func spreadOf(a, b []float64) (sigma, with float64) {
	var n, aa, bb, ab float64
	for i := range a {
		if !math.IsNaN(a[i] + b[i]) {
			n, aa, bb, ab = n+1, aa+a[i]*a[i], bb+b[i]*b[i], ab+a[i]*b[i]
		}
	}
	return math.Sqrt(aa / (n - 1)), ab / math.Sqrt(aa*bb)
}

// The spread between years and what goes with driving rain, from the months of 1961
// to 2020. The constants are the rounded means over the stations; 15 % of a spread
// and 0.1 of a correlation are what rounding and a station more or less change.
func TestYearsDiffer(t *testing.T) {
	stations, _ := climatetest.Table(t)
	series := monthly(t)
	type found struct{ sum, n float64 }
	got := map[string]found{}
	add := func(what string, v float64) {
		f := got[what]
		got[what] = found{f.sum + v, f.n + 1}
	}
	for _, id := range slices.Sorted(maps.Keys(series)) {
		years := yearsOf(series[id])
		rain, meanRain := detrend(years, func(y *aYear) float64 { return y.rain })
		wind, meanWind := detrend(years, func(y *aYear) float64 { return y.wind })
		sun, meanSun := detrend(years, func(y *aYear) float64 { return y.sun })
		winter, _ := detrend(years, func(y *aYear) float64 { return y.winter })
		summer, _ := detrend(years, func(y *aYear) float64 { return y.summer })
		worse, _ := detrend(years, func(y *aYear) float64 { return y.driving })
		if !math.IsNaN(meanWind) {
			_, with := spreadOf(rain, worse)
			add("rain with", with)
			sigma, with := spreadOf(wind, worse)
			add("wind", sigma/meanWind)
			add("wind with", with)
		} else {
			worse = rain
		}
		sigma, _ := spreadOf(rain, rain)
		add("rain", sigma/meanRain*math.Sqrt(climate.YearSum(stations[id].RainDays)))
		sigma, with := spreadOf(sun, worse)
		add("sunshine", sigma/meanSun)
		add("sun with", with)
		_, with = spreadOf(winter, worse)
		add("winter with", with)
		sigma, with = spreadOf(summer, worse)
		add("summer", sigma)
		add("summer with", with)
	}
	for _, c := range []struct {
		what        string
		want, allow float64
	}{
		{"rain", hourly.RainSpread, 0.15 * hourly.RainSpread}, {"rain with", hourly.RainWith, 0.1},
		{"wind", hourly.WindSpread, 0.15 * hourly.WindSpread}, {"wind with", hourly.WindWith, 0.1},
		{"sunshine", 2 * hourly.SunSpread, 0.15 * 2 * hourly.SunSpread}, {"sun with", hourly.SunWith, 0.1},
		{"summer", hourly.WarmSpread, 0.15 * hourly.WarmSpread}, {"summer with", hourly.WarmWith, 0.1}, {"winter with", 0, 0.1},
	} {
		v := got[c.what].sum / got[c.what].n
		t.Logf("%s: %.3f of %v stations, used %v", c.what, v, got[c.what].n, c.want)
		if !(math.Abs(v-c.want) <= c.allow) {
			t.Errorf("%s: %.3f recorded, %v used", c.what, v, c.want)
		}
	}
}
