package weatherfile

import "fmt"

// Place is where and by which clock a file was made, and what was done to it.
// Latitude, Longitude and TimeZone are what an engine needs to place the sun over
// the hours; Longitude and TimeZone of zero mean local mean solar time as well as
// Greenwich.
type Place struct {
	Name string
	// Located says that the file gives its latitude. Without it the sun of the
	// hours cannot be placed; the caller may know better.
	Located   bool
	Latitude  float64 // degrees north
	Longitude float64 // degrees east
	TimeZone  float64 // hours ahead of UTC of the file's clock
	Elevation float64 // m
	Year      int     // the year taken from the file, 0 where it names none or mixes several
	// Notes say what was missing, filled, dropped or chosen, one sentence each.
	Notes []string
}

func (p *Place) note(format string, args ...any) {
	p.Notes = append(p.Notes, fmt.Sprintf(format, args...))
}
