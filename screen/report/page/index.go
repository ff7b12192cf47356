package page

import (
	"slices"
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

// blocks writes all rows in order of place as JSON, size to an element.
func (w *writer) blocks(class string, size int, cells func(place int, building uint32, row *screen.Row) []any) error {
	for places := range slices.Chunk(w.in.Shown, size) {
		part := make([]uint32, len(places))
		for i, place := range places {
			part[i] = w.in.Run.Ranks.Overall[place]
		}
		err := w.element(`class="`+class+`"`, func() error {
			before, at := "[", 0
			err := w.each(part, func(i uint32, r *screen.Row) error {
				w.out.WriteString(before)
				before, at = ",\n", at+1
				return w.json(cells(places[at-1], i, r))
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
	return w.blocks("index", indexRows, func(place int, building uint32, row *screen.Row) []any {
		b, facts, strategies := &row.Building, []any{}, []any{}
		for _, f := range row.Survey.Facts {
			if f.Field >= 0 && row.Survey.Wrong >= 0 {
				facts = append(facts, f.Field, scaled(float64(f.Clears), 1000), scaled(float64(f.Gain), 1000))
			}
		}
		for s := range w.strategies {
			j, bits := row.Under(uint8(s)), 0
			if j.Strategy != uint8(s) { // the walls of the home do not do better apart
				j, bits = &screen.Judgement{Verdict: screen.NotSuited, Chance: -1}, notHere
			}
			low, high := perMille(j.ChanceLow), perMille(j.ChanceHigh)
			if j.Chance < 0 {
				low, high = nil, nil
			}
			strategies = append(strategies, marked(j)|bits, w.in.Run.Ranks.In(uint8(s), building), scaled(w.units.Heat.Of(j.Saved), 10), scaled(j.High, 100),
				perMille(j.Chance), low, high, w.pool.words.place(report.Chance(j)))
		}
		out := []any{
			b.ID, b.Text[ingest.GroupKey], w.stoneIndex[b.Stone], w.zoneIndex[b.Zone], strings.Join(b.Extra, extraGap), row.Judgements[0].Strategy,
			perMille(float64(row.Survey.Wrong)), w.need(&row.Survey), facts, strategies, report.Ready(w.in.Engine, row), place + 1,
		}
		if lon, lat := b.Num[ingest.Longitude], b.Num[ingest.Latitude]; geoparquet.Known(lon, lat) {
			return append(out, scaled(lat, 1e5), scaled(lon, 1e5)) // to a metre
		}
		return append(out, nil)
	})
}

// needs are what has to be done to find out what helps at a building.
var needs = []string{report.RecordsOnly, report.RecordsFirst, report.GoThere}

func (w *writer) need(s *screen.Survey) int {
	if s.Facts[0].Field >= 0 {
		return slices.Index(needs, report.VisitNeeded(w.in.Engine, s))
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
