package report

import (
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
	ready  screen.Readiness
	number int // in the building's list, from 1
	e      *screen.Engine
	j      *screen.Judgement
	b      *ingest.Building
	s      *screen.Survey
	u      *units
}

// jobs are the lines of one work list. What was sampled to be worth a survey is
// known of a building's best strategy only; s is nil for others.
func jobs(e *screen.Engine, u *units, b *ingest.Building, j *screen.Judgement, s *screen.Survey) []job {
	ready, list := e.WorkList(b, j, s)
	out := make([]job, len(list))
	for i, w := range list {
		out[i] = job{w, ready, i + 1, e, j, b, s, u}
	}
	return out
}

// WorkLine is one line of a work list in the words of worklist.csv and in the
// units the run was asked for. What a line has not is empty.
type WorkLine struct {
	Stage     string
	Action    screen.Action
	Work, Why string
	HoldsUp   string // what the gates say that wait for it
	// Of the layer that is built: its place on its side of the wall, its thickness
	// as judged, the most that keeps every limit in the typical case, both with
	// their unit, and the measure that is first over its limit with more.
	Layer, Thickness, Most, LimitedBy string
}

// WorkLines gives the work list of a judgement in words, in the order the work
// is done on site, and what stands before its start. It is the building's list
// in worklist.csv when j is what screen.ForWork picks of its judgements and s its
// survey; for other strategies s is nil.
func WorkLines(e *screen.Engine, b *ingest.Building, j *screen.Judgement, s *screen.Survey) (ready screen.Readiness, out []WorkLine) {
	u := unitsOf(e)
	for _, x := range jobs(e, u, b, j, s) {
		l := WorkLine{Stage: x.Stage.Label, Action: x.Action, Work: x.what(), Why: x.why(), HoldsUp: x.holdsUp()}
		if x.Layer != nil {
			l.Layer = layerPlace(x.Layer)
			if x.Layer.Thickness > 0 {
				l.Thickness = u.thickness.Short(x.Layer.Thickness) + " " + u.thickness.label
			}
		}
		if x.most() {
			l.Most = u.thickness.Short(j.Allowance.Thickness) + " " + u.thickness.label
			if !j.Allowance.Full {
				l.LimitedBy = where(j.Allowance.By)
			}
		}
		ready = x.ready
		out = append(out, l)
	}
	return ready, out
}

// most says whether it is known how much of the layer the wall takes.
func (w *job) most() bool {
	return w.Layer != nil && w.Layer.Sized && w.j.Allowance.Known && !w.j.Excluded
}

func (w *job) limit(name func() string) cell {
	if !w.most() || w.j.Allowance.Full {
		return cell{null: true}
	}
	return str(name())
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

// what says in words what is to be done.
func (w *job) what() string {
	switch {
	case w.Action == screen.Stop && w.j.Excluded:
		return "Do not build the strategy"
	case w.Action == screen.Stop:
		return "Do not build the strategy on what is known"
	case w.Action == screen.Ready:
		return "Nothing to repair first, nothing left to find out"
	case w.Doubt:
		if missing := w.missing(); len(missing) > 0 {
			return "Find out: " + strings.Join(missing, "; ")
		}
		return "Have it judged by hand: every fact that the spread comes from is given"
	case w.Step != nil && w.Action == screen.LookFirst:
		return "See what is needed: " + w.u.prose(w.Step.Label)
	case w.Step != nil:
		return w.u.prose(w.Step.Label)
	case w.Layer == nil:
		return "Clear up: " + w.u.prose(labelsOf(w.Gates))
	}
	text := capital(w.Layer.Label)
	if w.Layer.Air {
		text = "Leave free: " + w.Layer.Label
	}
	if w.Layer.Drained {
		text += ", drained"
	}
	if w.Layer.Bridge != "" {
		text += fmt.Sprintf(", between %s (%s %% of the area)", strings.ToLower(w.Layer.Bridge), fixed(100*w.Layer.BridgeShare, 0))
	}
	return text
}

func capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}

// missing lists the facts that clear up a doubt: those worth most where that was
// sampled, else all that widen the spread.
func (w *job) missing() []string {
	var out []string
	if w.s != nil {
		for _, f := range w.s.Facts {
			if f.Field >= 0 {
				out = append(out, f.Name())
			}
		}
	}
	if len(out) == 0 {
		out = Missing(w.b)
	}
	for i, name := range out {
		out[i] = name + " (" + w.e.FindingOf(name).Label + ")"
	}
	return out
}

// why says which facts of the building call for a line.
func (w *job) why() string {
	var out []string
	add := func(text string) {
		if !slices.Contains(out, text) {
			out = append(out, text)
		}
	}
	for i := range w.Because {
		if text := holding(w.b, &w.Because[i], w.u); text != "" {
			add(text)
		}
	}
	if w.Doubt && w.s != nil && w.s.Facts[0].Field >= 0 {
		add(fmt.Sprintf("chance of a wrong choice now %s %%", Points(w.s.Wrong)))
	}
	if w.Doubt && w.j.Verdict == screen.SurveyFirst && !w.j.Survey || w.Action == screen.Stop && !w.j.Excluded {
		add(doubt(w.j))
	}
	if w.Action == screen.Ready {
		return ""
	}
	if w.Layer != nil || len(out) == 0 {
		add("part of the strategy")
	}
	if w.most() && w.Layer.Thickness > w.j.Allowance.Thickness {
		text := "in the typical case the wall does not take even the thinnest of its range"
		if w.j.Allowance.Thickness > 0 {
			text = fmt.Sprintf("in the typical case the wall takes no more than %s %s", w.u.thickness.print(w.j.Allowance.Thickness), w.u.thickness.label)
		}
		add(text)
	}
	return strings.Join(out, "; ")
}

// holding says what a building's fact is that a condition holds for; nothing
// where the condition accepts every answer.
func holding(b *ingest.Building, c *config.Condition, u *units) string {
	if cat, ok := ingest.LookupCategory(c.Field); ok {
		words, level := cat.Levels(), b.Cat[cat]
		switch {
		case len(c.In) >= len(words)-1 && level != 0: // each word is listed once
			return ""
		case level == 0:
			return c.Field + " not known"
		}
		return c.Field + " " + words[level]
	}
	if n, ok := ingest.LookupNumber(c.Field); ok {
		return n.Name() + " " + u.fact(n, b.Num[n])
	}
	return ""
}

// doubt says in what way limits are not kept, or not surely.
func doubt(j *screen.Judgement) string {
	switch {
	case j.Failed:
		return "the hourly model did not converge"
	case j.Chance >= 0 && j.Typical > 1:
		return fmt.Sprintf("%s over its limit in the typical case, chance that a limit is exceeded %s", where(j.Governing), percent(j.Chance))
	case j.Chance >= 0:
		return fmt.Sprintf("chance that a limit is exceeded %s, most by %s", percent(j.Chance), where(j.GoverningHigh))
	case j.Low > 1:
		return where(j.Governing) + " over its limit even in the favourable case"
	}
	return where(j.GoverningHigh) + " over its limit in the adverse case"
}

func (w *job) holdsUp() string {
	var out []string
	for _, g := range w.Gates {
		out = append(out, w.u.prose(g.Reason))
	}
	return strings.Join(out, "; ")
}

func labelsOf(gates []config.Gate) string {
	var out []string
	for _, g := range gates {
		out = append(out, g.Label)
	}
	return strings.Join(out, "; ")
}

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
