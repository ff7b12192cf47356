package page

import (
	"strconv"
	"strings"

	"wallsift/ingest"
	"wallsift/screen"
	"wallsift/screen/report"
)

// workLine is a line of a work list as cards show it.
type workLine struct {
	Action                    screen.Action
	Work, Layer, Why, HoldsUp string
}

// workStage is a run of lines that belong to one stage of work.
type workStage struct {
	Label string
	From  int // number of its first line in the building's list, from 1
	Lines []workLine
}

// workList gives the work list of a judgement in the words of package report.
func (w *writer) workList(row *screen.Row, j *screen.Judgement) (screen.Readiness, []workStage) {
	var survey *screen.Survey
	if j == screen.ForWork(row.Judgements) {
		survey = &row.Survey
	}
	ready, lines := report.WorkLines(w.in.Engine, &row.Building, j, survey)
	var out []workStage
	for i := range lines {
		l := &lines[i]
		if n := len(out); n == 0 || out[n-1].Label != l.Stage {
			out = append(out, workStage{Label: l.Stage, From: i + 1})
		}
		s := &out[len(out)-1]
		s.Lines = append(s.Lines, workLine{l.Action, l.Work, layerText(l), l.Why, l.HoldsUp})
	}
	return ready, out
}

// layerText says where a layer goes, how thick it is and the most it may be.
func layerText(l *report.WorkLine) string {
	var out []string
	if l.Layer != "" {
		out = append(out, l.Layer)
	}
	switch {
	case l.Most != "":
		most := "at most " + l.Most
		if l.LimitedBy != "" {
			most += ", then " + l.LimitedBy
		} else {
			most += ", all of the range"
		}
		out = append(out, l.Thickness+" as judged", most)
	case l.Thickness != "":
		out = append(out, l.Thickness)
	}
	return strings.Join(out, "; ")
}

// list keeps a work list: the places of its stages.
func (p *pool) list(stages []workStage) int {
	out := []byte{'['}
	for i := range stages {
		if i > 0 {
			out = append(out, ',')
		}
		out = strconv.AppendInt(out, int64(p.stage(&stages[i])), 10)
	}
	return place(string(append(out, ']')), &p.lists, p.listIndex)
}

// stage keeps a stage of a work list: [label, line, …], all by their place.
func (p *pool) stage(s *workStage) int {
	out := strconv.AppendInt([]byte{'['}, int64(p.word(s.Label)), 10)
	for i := range s.Lines {
		out = strconv.AppendInt(append(out, ','), int64(p.line(&s.Lines[i])), 10)
	}
	return place(string(append(out, ']')), &p.stages, p.stageIndex)
}

// line keeps a line: [action, and its texts by their place].
func (p *pool) line(l *workLine) int {
	out := "[" + strconv.Itoa(int(l.Action))
	for _, text := range [...]string{l.Work, l.Layer, l.Why, l.HoldsUp} {
		out += "," + strconv.Itoa(p.word(text))
	}
	return place(out+"]", &p.lines, p.lineIndex)
}

// work is what is to be done over the portfolio.
type work struct {
	Together string
	Ready    []readyCount
	Stages   report.Table
}

type readyCount struct {
	Ready screen.Readiness
	N     int
}

// work sums up the work lists.
func (w *writer) work() (out work, err error) {
	t, err := report.TradesOf(w.in.Engine, func(f func(*screen.Row) error) error {
		return w.each(w.in.Run.Ranks.Overall, func(_ uint32, row *screen.Row) error { return f(row) })
	})
	if err != nil {
		return out, err
	}
	for r, n := range t.Ready {
		out.Ready = append(out.Ready, readyCount{screen.Readiness(r), n})
	}
	out.Together, out.Stages = report.Together(w.in.Engine, w.in.Run), t.Shown(w.in.Engine)
	return out, nil
}

// readiness is that of a building, for the index.
func (w *writer) readiness(b *ingest.Building, list []screen.Judgement, s *screen.Survey) screen.Readiness {
	ready, _ := w.in.Engine.WorkList(b, screen.ForWork(list), s)
	return ready
}
