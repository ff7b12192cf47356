package page

import (
	"math"
	"strings"

	"wallsift/ingest"
	"wallsift/screen"
	"wallsift/screen/report"
	"wallsift/screen/report/places/geoparquet"
)

// element opens and closes a data element around what f writes.
func (w *writer) element(attr string, f func() error) error {
	w.out.WriteString(`<script type="application/json" ` + attr + ">")
	if err := f(); err != nil {
		return err
	}
	_, err := w.out.WriteString("</script>\n")
	return err
}

// blocks writes all rows in order of place, size to an element.
func (w *writer) blocks(class string, size int, row func(l *line, place int, building uint32, row *screen.Row)) error {
	var l line
	for from := 0; from < len(w.in.Shown); from += size {
		places := w.in.Shown[from:min(from+size, len(w.in.Shown))]
		part := make([]uint32, len(places))
		for i, place := range places {
			part[i] = w.in.Run.Ranks.Overall[place]
		}
		err := w.element(`class="`+class+`"`, func() error {
			w.out.WriteByte('[')
			at := 0
			err := w.each(part, func(i uint32, r *screen.Row) error {
				l.reset()
				row(&l, places[at], i, r)
				if at > 0 {
					w.out.WriteString(",\n")
				}
				at++
				_, err := w.out.Write(l.b)
				return err
			})
			w.out.WriteByte(']')
			return err
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// index writes what filters, plot, matrix and survey order need of every
// building: id, group, stone, zone, text of the extra columns, best strategy,
// chance of a wrong choice in per mille, what has to be done to find out what
// helps (a place in the book's needs), by threes
// a fact, the chance that it settles the verdict and the gain, in per mille; then
// for each strategy in listing order: verdict with bits above it, rank, saving in
// the page's unit × 10, high share of the limit × 100, and of the chance the best
// guess and both ends in per mille and its words; then readiness, rank, and
// latitude and longitude in degrees × 10⁵ where they are known.
func (w *writer) index() error {
	by := make([]*screen.Judgement, len(w.strategies))
	return w.blocks("index", indexRows, func(l *line, place int, building uint32, row *screen.Row) {
		b := &row.Building
		clear(by)
		for k := range row.Judgements {
			by[row.Judgements[k].Strategy] = &row.Judgements[k]
		}
		l.open()
		l.text(b.ID)
		l.text(b.Text[ingest.GroupKey])
		l.int(w.stoneIndex[b.Stone])
		l.int(w.zoneIndex[b.Zone])
		l.text(strings.Join(b.Extra, extraGap))
		l.int(int(row.Judgements[0].Strategy))
		l.chance(float64(row.Survey.Wrong))
		l.int(w.need(&row.Survey))
		l.open()
		for _, f := range row.Survey.Facts {
			if f.Field >= 0 && row.Survey.Wrong >= 0 {
				l.int(int(f.Field))
				l.scaled(float64(f.Clears), 1000)
				l.scaled(float64(f.Gain), 1000)
			}
		}
		l.shut()
		l.open()
		for s, j := range by {
			if j == nil { // the walls of the home do not do better apart
				j = &screen.Judgement{Strategy: uint8(s), Verdict: screen.NotSuited, Chance: -1}
				l.int(marked(j) | notHere)
			} else {
				l.int(marked(j))
			}
			l.int(w.in.Run.Ranks.In(uint8(s), building))
			l.scaled(w.units.Heat.Of(j.Saved), 10)
			l.scaled(j.High, 100)
			for _, x := range []float64{j.Chance, j.ChanceLow, j.ChanceHigh} {
				if j.Chance < 0 {
					x = j.Chance
				}
				l.chance(x)
			}
			l.int(w.pool.word(report.Chance(j)))
		}
		l.shut()
		l.int(int(report.Ready(w.in.Engine, row)))
		l.int(place + 1)
		if lon, lat := b.Num[ingest.Longitude], b.Num[ingest.Latitude]; geoparquet.Known(lon, lat) {
			l.scaled(lat, 1e5) // to a metre
			l.scaled(lon, 1e5)
		} else {
			l.scaled(math.NaN(), 1)
		}
		l.shut()
	})
}

// needs are what has to be done to find out what helps at a building.
var needs = []string{report.RecordsOnly, report.RecordsFirst, report.GoThere}

func (w *writer) need(s *screen.Survey) int {
	if s.Facts[0].Field >= 0 {
		word := report.VisitNeeded(w.in.Engine, s)
		for i := range needs {
			if needs[i] == word {
				return i
			}
		}
	}
	return -1
}

// Bits above the verdict.
const (
	byGate = 8  // a gate excludes it
	near   = 16 // the chance may lie on the other side of a threshold
	bare   = 32 // the strategy adds no layer
	// notHere is set where the building has no such judgement.
	notHere = 64
)

func marked(j *screen.Judgement) int {
	out := int(j.Verdict)
	for bit, on := range map[int]bool{byGate: j.Excluded, near: j.Near, bare: j.Bare} {
		if on {
			out |= bit
		}
	}
	return out
}

// extraGap separates the cells of extra columns: the unit separator of ASCII,
// which no cell of a table holds for a purpose of its own.
const extraGap = "\x1f"
