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
// Files in reading order: folder.go (what a run says of itself, in what but facts two
// runs differ, and the rows, with the list of columns that are
// read), compare.go (the join), tables.go (the report), print.go (its forms).
//
// Memory: both runs are held, 4.5 KB a building with seven strategies as reckoned.
package compare

import (
	"cmp"
	"context"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"unique"

	"wallsift/config"
	"wallsift/screen/report"
	"wallsift/screen/report/picks"
	"wallsift/screen/results"
)

// join holds the buildings of both runs.
type join struct {
	folders     [2]*results.Folder
	buildings   map[word]*[2]judged
	facts       []string
	hidden      []string // facts that are not in both rankings
	differences []difference
	rejected    [2]map[string]string
	survey      [2][]string
	programme   [2][]string
}

// fact is one that differs at a building; a value is empty where it is not given.
type fact struct {
	Name string `json:"fact"`
	New  string `json:"new"`
	Old  string `json:"old"`
}

// move is a verdict that moved, by its rows; nil where a run has none.
type move struct {
	rows   [2]*row
	causes string
}

func (m *move) strategy() string { return cmp.Or(m.rows[1], m.rows[0]).of(strategy) }

// change is a building that has other facts, verdicts or another best strategy,
// came or went.
type change struct {
	building, state string
	facts           list
	moves           []move
	best            [2]*row
	why             string // it came or went
}

// States of a change.
const (
	changed = "changed"
	came    = "new"
	gone    = "gone"
)

// saved is the change of what the best strategy saves where it is suited, kWh/a; NaN
// where it is not known.
func (c *change) saved() float64 { return c.best[1].saves() - c.best[0].saves() }

func (c *change) otherBest() bool { return c.best[0].of(strategy) != c.best[1].of(strategy) }

// Folders compares two output folders. Rows of the user's own tables have the labels of
// cfg. Errors wrap results.ErrFolder where a folder is not one of a run.
func Folders(ctx context.Context, cfg *config.Config, old, new string) (*Report, error) {
	j := &join{buildings: map[word]*[2]judged{}}
	for side, dir := range []string{old, new} {
		f, err := results.Open(dir, buildingColumn, compared[strategy].name, compared[verdict].name)
		if err != nil {
			return nil, err
		}
		defer f.Close()
		j.folders[side] = f
		if j.rejected[side], err = rejected(f); err != nil {
			return nil, err
		}
		if j.programme[side], err = order(f, filepath.Join("programme", picks.CSV)); err != nil {
			return nil, err
		}
		if j.survey[side], err = order(f, report.SurveyCSV); err != nil {
			return nil, err
		}
	}
	a, b := j.folders[0], j.folders[1]
	for _, f := range j.folders {
		if _, err := os.Stat(filepath.Join(f.Dir, report.SurveyCSV)); err != nil { // output.files left it out
			j.survey = [2][]string{}
		}
	}
	j.differences = differences(&a.Manifest, &b.Manifest)
	j.facts, j.hidden = factColumns(a, b)
	for side := range j.folders {
		if err := j.read(ctx, side); err != nil {
			return nil, err
		}
	}
	return j.report(newLabels(cfg, j.folders)), nil
}

// both says whether both rankings have a column, or none.
func (j *join) both(column string) bool { return j.folders[0].Has(column) == j.folders[1].Has(column) }

// first is the row that has something in a column, nil without.
func (b *judged) first(column int, has word) *row {
	if i := slices.IndexFunc(b.rows, func(r row) bool { return r[column] == has }); i >= 0 {
		return &b.rows[i]
	}
	return nil
}

// unnamed stands for a fact that has no column in both rankings.
const unnamed = "a fact without a column"

// differing lists the facts of a building that differ.
func (j *join) differing(b *[2]judged) (out list) {
	for k, name := range j.facts {
		if old, new := b[0].facts[k], b[1].facts[k]; old != new {
			out = append(out, fact{name, new.Value(), old.Value()})
		}
	}
	if out == nil && b[0].inputs != b[1].inputs && j.both(inputsColumn) {
		out = list{{Name: unnamed}}
	}
	return out
}

// pairs meets the rows of a building by strategy. A row that only one run has
// meets nil.
func pairs(b *[2]judged) (out [][2]*row) {
	for i := range b[0].rows {
		old := &b[0].rows[i]
		out = append(out, [2]*row{old, b[1].first(strategy, old[strategy])})
	}
	for i := range b[1].rows {
		if new := &b[1].rows[i]; b[0].first(strategy, new[strategy]) == nil {
			out = append(out, [2]*row{nil, new})
		}
	}
	return out
}

// causes says what a building's row of a strategy can have been moved by.
func (j *join) causes(b *[2]judged, newFacts bool, strategy string) string {
	var out []string
	if newFacts {
		out = append(out, byFacts)
	}
	for _, kind := range []string{bySettings, byWeather, byMethod} {
		if slices.ContainsFunc(j.differences, func(d difference) bool {
			return d.kind == kind && d.reaches(strategy, b[0].zone.Value(), b[1].zone.Value())
		}) {
			out = append(out, kind)
		}
	}
	if out == nil {
		return byMethod // nothing else is left
	}
	return strings.Join(out, " and ")
}

// compare finds what moved at a building. Rows of both runs whose verdict did not
// are handed to still.
func (j *join) compare(id word, still func(old, new *row)) change {
	b := j.buildings[id]
	top := unique.Make("1")
	c := change{building: id.Value(), state: changed, best: [2]*row{b[0].first(rank, top), b[1].first(rank, top)}}
	for side, run := range []string{"old", "new"} {
		if len(b[side].rows) > 0 {
			continue
		}
		c.state, c.why = [2]string{came, gone}[side], "the "+run+" run does not have it"
		if why := j.rejected[side][c.building]; why != "" {
			c.why = "the " + run + " run rejected its row: " + why
		}
		return c
	}
	c.facts = j.differing(b)
	for _, p := range pairs(b) {
		if p[0] != nil && p[1] != nil && p[0][verdict] == p[1][verdict] {
			still(p[0], p[1])
			continue
		}
		m := move{rows: p}
		m.causes = j.causes(b, len(c.facts) > 0, m.strategy())
		c.moves = append(c.moves, m)
	}
	return c
}

// important orders changes: those with a verdict that moved first, then by the
// change of savings.
func important(a, b change) int {
	moved := func(c change) int { return min(len(c.moves), 1) }
	return cmp.Or(moved(b)-moved(a), cmp.Compare(math.Abs(b.saved()), math.Abs(a.saved())), cmp.Compare(a.building, b.building))
}
