// Package hourly makes a year of hourly weather from a station's monthly
// figures, with the same bytes for the same station, seed and deviate, and holds
// the sun and sky formulas that weather files need as well. It refuses to know
// about walls, files and the source of the monthly figures.
//
// The clock is local mean solar time of the station: the sun stands highest at
// 12:00 on the mean of the year, and off it by the equation of time. An engine
// that turns clock into sun takes longitude 0 and time zone 0 for these hours,
// and the station's own latitude. There are 365 days; hour k is the mean over
// the clock hour from k to k+1.
//
// What is exact (to round-off): the monthly means of temperature, relative
// humidity, wind and global radiation, the monthly sum of precipitation, the
// number of its days. What is near: the means of the daily extremes (see
// Generate), and the driving rain on eight walls, to a fifth of what package rain
// estimates from the same figures. What is plausible only: the order of the days,
// the hours of rain, the split of radiation, the sky.
//
// Rain holds all precipitation, snow as water; Hours.Liquid takes the snow out
// and must be called before a wall is rained on.
package hourly
