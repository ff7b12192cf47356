package page

import (
	"fmt"
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
// the page's unit × 10, high share of the limit × 100 (null where a rule excludes the
// strategy, which is then not judged by limits), and of the chance the best
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
			low, high, share := perMille(j.ChanceLow), perMille(j.ChanceHigh), scaled(j.High, 100)
			if j.Chance < 0 {
				low, high = nil, nil
			}
			if j.Excluded {
				share = nil
			}
			strategies = append(strategies, w.marked(j)|bits, w.in.Run.Ranks.In(uint8(s), building), scaled(report.Heat[w.units].Of(j.Saved), 10), share,
				perMille(j.Chance), low, high, w.pool.word(report.Chance(j)))
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
	byRule = 8  // a rule on the facts of the building excludes it
	near   = 16 // the chance may lie on the other side of a threshold
	bare   = 32 // the strategy adds no layer
	// notHere is set where the building has no such judgement.
	notHere = 64
	unlike  = 128 // by the monthly method, where others are by the hourly one
)

func (w *writer) marked(j *screen.Judgement) int {
	out := int(j.Verdict)
	for bit, on := range map[int]bool{byRule: j.Excluded, near: j.Near, bare: j.Bare, unlike: report.Unlike(w.in.Engine, j)} {
		if on {
			out |= bit
		}
	}
	return out
}

// extraGap separates the cells of extra columns: the unit separator of ASCII,
// which no cell of a table holds for a purpose of its own.
const extraGap = "\x1f"

// details writes what cards show, in the page's units. A building: levels of its
// categories, its numbers as texts, its texts but the group, U as it is × 1000,
// the thickness of its masonry × 1000, the stack as it is, and a row for each
// strategy in order of rank, and then the file and line it stood in. A row: strategy,
// flags (lowest bit: judged hourly; above it readiness), work list, low and typical share of
// the limit × 100 (high is in the index), shares × 100 after two sets of bits, of
// indicators that apply and of those not judged, U × 1000, share of timber lost to
// rot in per mille, draws, stack, courses, and places among the shared words: of the
// verdict, what governs, its limit, up to what limits are kept, the facing, the method, and the clauses
// of the sentence.
func (w *writer) details() error {
	return w.blocks("details", blockRows, func(_ int, _ uint32, row *screen.Row) []any {
		b, nums, texts, rows := &row.Building, []string{}, []string{}, []any{}
		for n := range ingest.NumNumbers {
			nums = append(nums, w.units.Known(b, n))
		}
		for t, s := range b.Text {
			if ingest.Text(t) != ingest.GroupKey {
				texts = append(texts, s)
			}
		}
		before, _ := w.in.Engine.Stack(row.Governing(&row.Judgements[0]))
		stack := w.pool.stack(&before, report.Thickness[w.units])
		for place := range row.Judgements {
			rows = append(rows, w.judgement(row, &row.Judgements[place]))
		}
		return []any{
			b.Cat, append(nums, b.Facings.String()), texts, scaled(report.Transmittance[w.units].Of(row.Judgements[0].UBefore), 1000),
			scaled(report.Thickness[w.units].Of(b.Num[ingest.WallThickness]), 1000), stack, rows, b.File, b.Line,
		}
	})
}

func (w *writer) judgement(row *screen.Row, j *screen.Judgement) []any {
	e, b := w.in.Engine, &row.Building
	var survey *screen.Survey
	if j == screen.ForWork(row.Judgements) {
		survey = &row.Survey
	}
	ready, lines := report.WorkLines(e, row, j, survey)
	var applies, notJudged int
	var shares []any
	for id, u := range j.Utilisation {
		switch {
		case j.Excluded: // not judged by limits
		case u >= 0:
			applies |= 1 << id
			shares = append(shares, scaled(u, 100))
		case u == screen.NotJudged:
			notJudged |= 1 << id
		}
	}
	list := w.pool.list(lines)
	_, after := e.Stack(row.Governing(j))
	out := []any{
		j.Strategy, int(j.Tier) | int(ready)<<1, list, scaled(j.Low, 100), scaled(j.Typical, 100), append([]any{applies, notJudged}, shares...),
		scaled(report.Transmittance[w.units].Of(j.UAfter), 1000), scaled(j.MassLoss, 1000), j.Draws, w.pool.stack(&after, report.Thickness[w.units]), spell(j.Course[0]), spell(j.Course[1]),
	}
	texts := append([]string{report.VerdictWords(e, j), report.Governed(b, j), w.limit(j), w.keptUpTo(j), w.facing(j), report.JudgedBy(j)}, report.Clauses(w.units, e, b, j)...)
	if text := report.WallsClause(e, row, j); text != "" {
		texts = append(texts, text)
	}
	for _, text := range texts {
		out = append(out, w.pool.word(text))
	}
	return out
}

// limit is that of the measure that governs.
func (w *writer) limit(j *screen.Judgement) string {
	if !j.HasGovern || j.Excluded {
		return ""
	}
	x, unit := w.units.Measure(j.Limit, j.Governing.In(j.Tier).Unit)
	if unit == "1" {
		unit = ""
	}
	return strings.TrimSpace(fmt.Sprintf("limit: %.3g %s", x, unit))
}

// keptUpTo says up to how much insulation limits are kept.
func (w *writer) keptUpTo(j *screen.Judgement) string {
	a := &j.Allowance
	most := report.Insulation[w.units].With(a.Thickness)
	switch {
	case j.Excluded:
		return ""
	case !a.Known:
		return "not asked"
	case a.Full:
		return most + ", the whole range"
	case a.Thickness == 0:
		return "not even the thinnest: " + a.By.Info().Label
	}
	return most + ", then " + a.By.Info().Label
}

func (w *writer) facing(j *screen.Judgement) string {
	if !j.HasGovern || j.Excluded {
		return ""
	}
	out := ingest.FacingOf(j.Facing).String()
	if j.Facings > 1 {
		out += ", of " + report.Counted(int(j.Facings), "facing")
	}
	return out
}
