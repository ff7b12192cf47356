// Package compare says what moved between two runs, and by what. It owns the
// reading of two output folders (ranking.parquet, run.json, survey.csv,
// rejects.csv) and the report made from them. It refuses to judge: it computes no
// figure that a run did not write.
//
// A verdict is a function of the facts of its home, of the settings with the
// weather files, and of the program. So one that moved is put down to those of
// them that differ and can reach it, and where none does, to the program: the
// method.
//
// Files in reading order: folder.go (what a run says of itself, and in what but
// facts two runs differ), ranking.go (the rows, and the list of columns that are
// read), compare.go (the join), tables.go (the report), print.go (its forms).
//
// Memory: both runs are held, 3.5 KB a building with seven strategies (350 MB for
// 96,000 as measured).
package compare

import (
	"cmp"
	"context"
	"math"
	"slices"
	"strconv"

	"wallsift/config"
	"wallsift/screen"
)

// join holds the buildings of both runs.
type join struct {
	words       *wordList
	buildings   map[word]*[2]judged
	facts       []string
	hidden      []string // facts that are not in both rankings
	lacking     []string // other columns that are not in both rankings
	differences []difference
	rejected    [2]map[string]string
	survey      [2][]string
	programme   [2][]string
}

// fact is one that differs at a building; a value is empty where it is not given.
type fact struct{ name, old, new string }

// move is a verdict that moved.
type move struct {
	strategy string
	cells    [2][numCompared]string // empty where a run has no such row
	causes   []string
}

// change is a building that has other facts, verdicts or another best strategy,
// came or went.
type change struct {
	building, home, state string
	facts                 []fact
	moves                 []move
	best                  [2]string // strategies
	saved                 float64   // change, kWh/a, of the best strategy where it is suited; NaN where not known
	why                   string    // it came or went
}

// States of a change.
const (
	changed = "changed"
	came    = "new"
	gone    = "gone"
)

// Folders compares two output folders. Rows of the user's own tables have the labels of
// cfg. Errors wrap ErrFolder where a folder is
// not one of a run.
func Folders(ctx context.Context, cfg *config.Config, old, new string) (*Report, error) {
	var folders [2]folder
	j := &join{words: newWordList(), buildings: map[word]*[2]judged{}}
	for side, dir := range []string{old, new} {
		var err error
		if folders[side], err = openFolder(dir); err != nil {
			return nil, err
		}
		defer folders[side].Close()
		if j.rejected[side], err = folders[side].rejected(); err != nil {
			return nil, err
		}
		if j.programme[side], err = folders[side].order(programme); err != nil {
			return nil, err
		}
		if j.survey[side], err = folders[side].order(survey); err != nil {
			return nil, err
		}
	}
	if !folders[0].holds(survey) || !folders[1].holds(survey) { // output.files left it out
		j.survey = [2][]string{}
	}
	j.differences = differences(&folders[0].Manifest, &folders[1].Manifest)
	j.columns(folders[0], folders[1])
	for side, f := range folders {
		err := f.read(ctx, j.words, j.facts, func(id word) *judged {
			if j.buildings[id] == nil {
				j.buildings[id] = &[2]judged{}
			}
			return &j.buildings[id][side]
		})
		if err != nil {
			return nil, err
		}
	}
	return j.report(newLabels(cfg, folders), folders), nil
}

// columns finds which columns both rankings have.
func (j *join) columns(a, b folder) {
	j.facts, j.hidden = factColumns(a, b)
	both := func(names ...string) {
		if (a.name(names...) == "") != (b.name(names...) == "") {
			j.lacking = append(j.lacking, names[0])
		}
	}
	both(inputsColumn)
	for _, c := range compared {
		both(c.names...)
	}
}

// both says whether both rankings have a column, or none.
func (j *join) both(column string) bool { return !slices.Contains(j.lacking, column) }

func (j *join) text(w word) string { return j.words.texts[w] }

// best is a building's first strategy, nil where ranks are not known.
func (j *join) best(b *judged) *row {
	for i := range b.rows {
		if j.text(b.rows[i].cells[rank]) == "1" {
			return &b.rows[i]
		}
	}
	return nil
}

// unnamed stands for a fact that has no column in both rankings.
const unnamed = "a fact without a column"

// differing lists the facts of a building that differ.
func (j *join) differing(b *[2]judged) (out []fact) {
	for k, name := range j.facts {
		if old, new := b[0].facts[k], b[1].facts[k]; old != new {
			out = append(out, fact{name, j.text(old), j.text(new)})
		}
	}
	if out == nil && b[0].inputs != b[1].inputs && j.both(inputsColumn) {
		out = append(out, fact{name: unnamed})
	}
	return out
}

// pairs meets the rows of a building by strategy. A row that only one run has
// meets nil.
func pairs(b *[2]judged) (out [][2]*row) {
	at := map[word]int{}
	for side := range b {
		for i := range b[side].rows {
			r := &b[side].rows[i]
			k, met := at[r.strategy]
			if !met {
				k = len(out)
				at[r.strategy], out = k, append(out, [2]*row{})
			}
			out[k][side] = r
		}
	}
	return out
}

// causes says what a building's row of a strategy can have been moved by.
func (j *join) causes(b *[2]judged, newFacts bool, strategy string) (out []string) {
	if newFacts {
		out = append(out, byFacts)
	}
	for _, kind := range []string{bySettings, byWeather, byMethod} {
		if slices.ContainsFunc(j.differences, func(d difference) bool {
			return d.kind == kind && d.reaches(strategy, j.text(b[0].zone), j.text(b[1].zone))
		}) {
			out = append(out, kind)
		}
	}
	if out == nil {
		return []string{byMethod} // nothing else is left
	}
	return out
}

// compare finds what moved at a building. Rows of both runs whose verdict did not
// are handed to still.
func (j *join) compare(id word, still func(old, new *row)) change {
	b := j.buildings[id]
	c := change{building: j.text(id), home: j.home(b), state: changed}
	for side, sign := range [2]float64{-1, 1} {
		if best := j.best(&b[side]); best != nil {
			c.best[side] = j.text(best.strategy)
			c.saved += sign * j.saves(best)
		}
		if run := [2]string{"old", "new"}[side]; len(b[side].rows) == 0 {
			c.state, c.why = [2]string{came, gone}[side], "the "+run+" run does not have it"
			if why := j.rejected[side][c.building]; why != "" {
				c.why = "the " + run + " run rejected its row: " + why
			}
		}
	}
	if c.state != changed {
		return c
	}
	c.facts = j.differing(b)
	for _, p := range pairs(b) {
		if p[0] != nil && p[1] != nil && p[0].cells[verdict] == p[1].cells[verdict] {
			still(p[0], p[1])
			continue
		}
		m := move{strategy: j.text(cmp.Or(p[1], p[0]).strategy)}
		for side, r := range p {
			if r == nil {
				continue
			}
			for k, w := range r.cells {
				m.cells[side][k] = j.text(w)
			}
		}
		m.causes = j.causes(b, len(c.facts) > 0, m.strategy)
		c.moves = append(c.moves, m)
	}
	return c
}

// home is the one that a building belongs to now, or did.
func (j *join) home(b *[2]judged) string {
	if len(b[1].rows) > 0 {
		return j.text(b[1].home)
	}
	return j.text(b[0].home)
}

// suited says whether a strategy may be built.
func (j *join) suited(r *row) bool {
	v := j.text(r.cells[verdict])
	return v == screen.Suited.String() || v == screen.SuitedAfterRepairs.String()
}

// saves is what a best strategy saves, kWh/a: 0 where it is not suited, NaN where
// it is not known.
func (j *join) saves(r *row) float64 {
	if !j.suited(r) {
		return 0
	}
	if kWh, err := strconv.ParseFloat(j.text(r.cells[saved]), 64); err == nil {
		return kWh
	}
	return math.NaN()
}

// important orders changes: those with a verdict that moved first, then by the
// change of savings.
func important(a, b change) int {
	moved := func(c change) int { return min(len(c.moves), 1) }
	return cmp.Or(cmp.Compare(moved(b), moved(a)), cmp.Compare(math.Abs(b.saved), math.Abs(a.saved)), cmp.Compare(a.building, b.building))
}
