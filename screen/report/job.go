package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/screen"
)

// job is one line of a work list on its way out.
type job struct {
	screen.Work
	e  *screen.Engine
	j  *screen.Judgement
	b  *ingest.Building
	s  *screen.Survey
	u  Units
	at string // the wall of several that the line is of
}

// jobs are the lines of one work list. What was drawn to be worth a survey is
// known of a building's best strategy only; s is nil for others. A home of several
// walls has the lines of every wall, stage by stage, and is as ready as the least ready
// of them.
func jobs(e *screen.Engine, u Units, row *screen.Row, j *screen.Judgement, s *screen.Survey) (ready screen.Readiness, out []job) {
	eachWall(row, j, s, func(wall *screen.Row, j *screen.Judgement, s *screen.Survey) {
		r, list := e.WorkList(&wall.Building, j, s)
		at := ""
		if wall != row {
			at = wallName(&wall.Building)
		}
		for _, w := range list {
			out = append(out, job{Work: w, e: e, j: j, b: &wall.Building, s: s, u: u, at: at})
		}
		ready = max(ready, r)
	})
	if len(row.Walls) > 0 {
		slices.SortStableFunc(out, func(a, b job) int { return cmp.Compare(a.Stage.Order, b.Stage.Order) })
	}
	return ready, out
}

// eachWall calls f for every wall of a home under the strategy of a judgement, or for the
// row itself where it stands for all.
func eachWall(row *screen.Row, j *screen.Judgement, s *screen.Survey, f func(*screen.Row, *screen.Judgement, *screen.Survey)) {
	if len(row.Walls) == 0 {
		f(row, j, s)
	}
	for i := range row.Walls {
		wall, of := &row.Walls[i], s
		if s != nil {
			of = &wall.Survey
		}
		f(wall, wall.Under(j.Strategy), of)
	}
}

// wallName is what a wall of a home is called.
func wallName(b *ingest.Building) string { return strings.TrimPrefix(b.ID, b.Home+" / ") }

// WorkLines gives the work list of a judgement in the words of worklist.csv and in the
// units the run was asked for, in the order the work is done on site, and what stands
// before its start; what a line has not is empty. It is the building's list in
// worklist.csv when j is what screen.ForWork picks of its judgements and s its survey;
// for other strategies s is nil.
func WorkLines(e *screen.Engine, row *screen.Row, j *screen.Judgement, s *screen.Survey) (screen.Readiness, []Object) {
	ready, list := jobs(e, UnitsOf(e), row, j, s)
	return ready, mapped(list, func(x job) Object {
		caution, why := "", x.why()
		if x.Step != nil { // the caution of the strategy stands beside the list
			caution = x.Step.Caution
		}
		if why == partOfStrategy { // as the list says by its head
			why = ""
		}
		return Object{{"Action", x.Action}, {"Stage", x.Stage.Label}, {"Work", x.what()}, {"Why", why}, {"Blocks", x.blocks()}, {"Caution", caution}, {"Layer", x.layer()}}
	})
}

// layer is the text of a line's layer.
func (w *job) layer() string {
	if w.Layer == nil {
		return ""
	}
	out := layerPlace(w.Layer)
	if w.Layer.Thickness > 0 {
		out += "; " + Thickness[w.u].Short(w.Layer.Thickness)
	}
	if a := &w.j.Allowance; w.most() {
		out += " judged; insulation allowance " + Thickness[w.u].Short(a.Thickness)
		if a.Full {
			out += ", the whole range"
		} else {
			out += ", then " + where(w.b, a.By)
		}
	}
	return out
}

// most says whether it is known up to how much of the layer limits are kept.
func (w *job) most() bool {
	return w.Layer != nil && w.Layer.Sized && w.j.Allowance.Known && !w.j.Excluded
}

// layerPlace is a layer's place in words.
func layerPlace(l *screen.BuiltLayer) string {
	switch {
	case l.Material == config.FaceTreatment:
		return "on the face"
	case l.Side == config.SideExterior:
		return fmt.Sprintf("outside %d of %d", l.Index, l.Of)
	}
	return fmt.Sprintf("inside %d of %d", l.Index, l.Of)
}

// what says in words what is to be done, and at which wall of several.
func (w *job) what() string {
	if w.at != "" {
		return w.task() + " (wall: " + w.at + ")"
	}
	return w.task()
}

func (w *job) task() string {
	switch {
	case w.Action == screen.Stop && w.j.Verdict == screen.WarningOnly:
		return "Do not build this measure: it is kept as a warning"
	case w.Action == screen.Stop && w.j.Excluded:
		return "Do not build this measure"
	case w.Action == screen.Stop && w.j.Bare:
		return "Repairs alone are not enough: by what is known a limit is exceeded"
	case w.Action == screen.Stop:
		return "Do not build this measure: by what is known a limit is exceeded"
	case w.Action == screen.Clear:
		return "No repair and nothing to investigate is listed; survey before work"
	case w.Unlikely:
		return "Test the timber (open it up) and inspect the inner face before anything is ordered"
	case w.Doubt:
		if missing := w.missing(); len(missing) > 0 {
			return "Investigate: " + strings.Join(missing, "; ")
		}
		return "Have it judged by hand: every fact that the spread comes from is given"
	case w.Step != nil && w.Action == screen.Investigate && len(w.Step.When) > 0 && len(w.Step.Check) > 0:
		return ToInvestigate(*w.Step, w.e.Finding) + " (where needed: " + w.Step.Label + ")"
	case w.Step != nil:
		return w.Step.Label
	case w.Layer == nil:
		return "Investigate: " + strings.Join(mapped(w.Gates, gateLabel), "; ")
	}
	text := Capital(w.Layer.Label)
	if w.Layer.Air {
		text = "Leave free: " + w.Layer.Label
	}
	if w.Layer.Drained {
		text += ", drained"
	}
	if w.Layer.Bridge != "" {
		text += fmt.Sprintf(", between %s (%s of the area)", strings.ToLower(w.Layer.Bridge), percent(w.Layer.BridgeShare))
	}
	return text
}

// Capital begins a text with a capital letter.
func Capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}

// desk says whether what a step's line asks is found in records.
func (w *job) desk() bool {
	return len(w.Step.Check) > 0 && !slices.ContainsFunc(w.Step.Check, func(c config.Condition) bool { return w.e.Finding(c.Field).OnSite() })
}

// missing lists the facts that clear up a doubt: those worth most where that was
// drawn, else all that widen the spread.
func (w *job) missing() []string {
	var out []string
	if w.s != nil {
		out = mapped(w.s.Facts, screen.Fact.Name)
	}
	if len(out) == 0 {
		out = missing(w.b)
	}
	return mapped(out, func(name string) string {
		by := w.e.Finding(name)
		return by.Label + " (" + WayWord(by) + ")"
	})
}

// missing lists the facts that widen the spread of a building because the
// inventory does not give them.
func missing(b *ingest.Building) []string {
	var out []string
	for _, c := range []ingest.Category{ingest.HumidityClass, ingest.EmbeddedTimber, ingest.OuterFinish} {
		if b.Cat[c] == 0 {
			out = append(out, c.Name())
		}
	}
	for _, n := range []ingest.Number{ingest.Orientation, ingest.WaterAbsorption} {
		if b.Num[n] != b.Num[n] && (n != ingest.Orientation || b.Facings == 0) { // NaN
			out = append(out, n.Name())
		}
	}
	return out
}

const partOfStrategy = "part of the strategy"

// why says which facts of the building call for a line.
func (w *job) why() string {
	var out []string
	add := func(text string) {
		if text != "" && !slices.Contains(out, text) {
			out = append(out, text)
		}
	}
	for i := range w.Because {
		add(holding(w.b, &w.Because[i], w.u))
	}
	if w.Doubt && w.s != nil && w.s.Changes() {
		add(fmt.Sprintf("chance of a wrong choice now %s %%", Points(w.s.Wrong)))
	}
	switch {
	case w.Action == screen.Clear:
		return ""
	case w.Unlikely:
		add("with typical values the wall would be ruined by now, and it stands: either they are wrong, or decay is hidden")
	case w.Action == screen.Stop && w.j.Verdict == screen.WarningOnly:
		add(w.e.Choices()[w.j.Strategy].Warning)
	case w.Doubt && w.j.Verdict == screen.SurveyFirst && !w.j.Survey || w.Action == screen.Stop && !w.j.Excluded:
		add(doubt(w.b, w.j))
	}
	if w.Layer != nil || len(out) == 0 {
		add(partOfStrategy)
	}
	if w.most() && w.Layer.Thickness > w.j.Allowance.Thickness {
		if w.j.Allowance.Thickness > 0 {
			add("insulation allowance " + Thickness[w.u].With(w.j.Allowance.Thickness) + " only")
		} else {
			add("no insulation allowance: in the typical case not even the thinnest of its range keeps the limits")
		}
	}
	return strings.Join(out, "; ")
}

// holding says what a building's fact is that a condition holds for; nothing
// where the condition accepts every answer.
func holding(b *ingest.Building, c *config.Condition, u Units) string {
	if cat, ok := ingest.LookupCategory(c.Field); ok {
		words, level := cat.Levels(), b.Cat[cat]
		switch {
		case len(c.In) >= len(words)-1 && level != 0: // each word is listed once
			return ""
		case level == 0:
			return Named(c.Field) + " not known"
		}
		return Named(c.Field) + " " + Named(words[level])
	}
	n, _ := ingest.LookupNumber(c.Field) // every field of a condition was looked up before
	return Named(n.Name()) + " " + u.Fact(n, b.Num[n])
}

// doubt says in what way limits are not kept, or not surely; nothing where they
// are.
func doubt(b *ingest.Building, j *screen.Judgement) string {
	over := where(b, j.Governing) + " over its limit in the typical case"
	switch {
	case j.Failed:
		return "the hourly model did not converge, judge it by hand"
	case j.Chance >= 0 && j.Typical > 1:
		return over + ", chance that a limit is exceeded " + Chance(j)
	case j.Chance > 0:
		return "chance that a limit is exceeded " + Chance(j) + ", most by " + where(b, j.GoverningHigh)
	case j.Chance >= 0:
		return ""
	case j.Low > 1 && j.Low < j.Typical:
		return where(b, j.Governing) + " over its limit even in the favourable case"
	case j.Typical > 1:
		return over
	case j.High > 1:
		return where(b, j.GoverningHigh) + " over its limit in the adverse case"
	}
	return ""
}

func (w *job) blocks() string { return strings.Join(mapped(w.Gates, gateReason), "; ") }

func (w *job) source(strategies []config.Strategy) string {
	switch {
	case w.Step != nil:
		return w.Step.Source
	case w.Layer != nil:
		return strategies[w.j.Strategy].Source
	case len(w.Gates) > 0:
		return w.Gates[0].Source
	}
	return ""
}
