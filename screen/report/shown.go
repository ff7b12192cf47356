package report

import (
	"bufio"
	"cmp"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"wallsift/config"
	"wallsift/screen"
)

// Files lists the result files that a run of so many homes is to write. Where nobody
// says which, many homes have one for programs, which map programs read too, and those
// that people can open.
func Files(out *config.Output, homes int) []string {
	switch {
	case len(out.Files) > 0:
		return out.Files
	case homes > out.FullHomes:
		return []string{RankingParquet, SurveyCSV, "ranking.xlsx", "report.html"}
	}
	return config.ResultFiles
}

// Results are a finished run, not closed, with what writers for people make their
// files from.
type Results struct {
	Engine   *screen.Engine
	Run      *screen.Run
	Manifest *Manifest
	Trades   *Trades
	Visits   *Visits
	Shown    []int // places of the homes that are shown under every strategy, by Shown
}

// Shown lists the homes that people are shown under every strategy, as places in
// the overall order from 0, rising: all, or of more than output.full_homes as many
// from the tops of the rankings in turn: overall, of the survey, of each strategy.
func Shown(e *screen.Engine, run *screen.Run, v *Visits) []int {
	homes := run.Ranks.Len()
	most := min(homes, e.Config().Output.FullHomes)
	in, shown := make([]bool, homes), 0
	tops := append([][]uint32{run.Ranks.Overall, v.order}, run.Ranks.Order...)
	for turn := 0; shown < most; turn++ { // the overall order alone has enough
		for _, top := range tops {
			if turn < len(top) && !in[top[turn]] && shown < most {
				in[top[turn]] = true
				shown++
			}
		}
	}
	out := make([]int, 0, most)
	for place, building := range run.Ranks.Overall {
		if in[building] {
			out = append(out, place)
		}
	}
	return out
}

// LeftOut says what a run does not show or write because of its size, and where it
// is; nothing where all is there.
func LeftOut(out *config.Output, homes int) (notes []string) {
	if homes <= out.FullHomes {
		return nil
	}
	files := Files(out, homes)
	if slices.Contains(files, "ranking.xlsx") || slices.Contains(files, "report.html") {
		list := slices.DeleteFunc([]string{RankingParquet, RankingCSV}, func(name string) bool { return !slices.Contains(files, name) })
		all := cmp.Or(strings.Join(list, " and "), "no file of this run (name "+RankingParquet+" in output.files)")
		notes = append(notes, fmt.Sprintf("Of %s ranking.xlsx and report.html show %d under every strategy, those at the tops of the rankings (output.full_homes); the sheet Ranking has the best strategy of each, and all rows are in %s.", Counted(homes, "building"), out.FullHomes, all))
	}
	if len(out.Files) == 0 {
		not := slices.DeleteFunc(slices.Clone(config.ResultFiles), func(name string) bool { return slices.Contains(files, name) })
		notes = append(notes, fmt.Sprintf("Not written at this size: %s. To have them, name all files that you want in output.files.", strings.Join(not, ", ")))
	}
	return notes
}

// Written names a file of the run for its rows; where the run does not write it, the
// other one that has them, or how it comes to be written.
func Written(e *screen.Engine, run *screen.Run, name string) string {
	files := Files(&e.Config().Output, run.Counts.Accepted)
	switch {
	case slices.Contains(files, name):
		return name
	case name == RankingCSV && slices.Contains(files, RankingParquet):
		return RankingParquet
	}
	return name + " (not written here: name it in output.files)"
}

// WriteFile makes a file of what write puts into it. One that fails is removed, and
// named in the error.
func WriteFile(path string, write func(*bufio.Writer) error) error {
	f, err := os.Create(path)
	if err != nil {
		return fmt.Errorf("writing %s: %w", filepath.Base(path), err)
	}
	w := bufio.NewWriterSize(f, 1<<18)
	if err = write(w); err == nil {
		err = w.Flush()
	}
	if err = errors.Join(err, f.Close()); err != nil {
		os.Remove(path)
		return fmt.Errorf("writing %s: %w", filepath.Base(path), err)
	}
	return nil
}
