package report

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/screen"
)

// WallsClause says of a home of several walls, behind its Clauses, whose figures
// these are and which measures its walls would have on their own; "" of others.
func WallsClause(e *screen.Engine, row *screen.Row, j *screen.Judgement) string {
	if len(row.Walls) == 0 {
		return ""
	}
	name := wallName(&row.Walls[j.Wall].Building)
	out := " Of " + Counted(len(row.Walls), "wall") + " " + name + " governs: shares, insulation and U-values are its own, saving and area the home's."
	if len(row.Walls) == 1 {
		out = " Only wall " + name + " is there."
	}
	if apart := wallByWall(e.Choices(), row); apart != "" {
		out += " Wall by wall: " + apart + "."
	}
	return out
}

// strategyDangers are those of a judgement's strategy, or of each wall's own.
func strategyDangers(strategies []config.Strategy, row *screen.Row, j *screen.Judgement) string {
	st := &strategies[j.Strategy]
	out := []string{warned(st)}
	if st.ID == screen.WallByWall.ID {
		for i := range row.Walls {
			own := &strategies[row.Walls[i].Judgements[0].Strategy]
			if text := own.Label + ": " + warned(own); !slices.Contains(out, text) {
				out = append(out, text)
			}
		}
	}
	return strings.Join(out, " ")
}

// wallMeasures lists what each wall gets where each has its own measure, in the form
// that ParseMeasure reads.
func wallMeasures(strategies []config.Strategy, row *screen.Row, j *screen.Judgement) string {
	if strategies[j.Strategy].ID != screen.WallByWall.ID {
		return ""
	}
	var out []string
	for i := range row.Walls {
		best := &row.Walls[i].Judgements[0]
		out = append(out, fmt.Sprintf("%s:%s:%s", strategies[best.Strategy].ID, fixed(1000*best.Thickness, 0), fixed(row.Walls[i].Building.Num[ingest.WallArea], 1)))
	}
	return strings.Join(out, " ")
}

// ParseMeasure reads one measure of the column wall_measures.
func ParseMeasure(s string) (strategy string, mm, area float64, err error) {
	part := strings.Split(s, ":")
	if len(part) != 3 {
		return "", 0, 0, fmt.Errorf("%q is no strategy, mm and m² between colons", s)
	}
	if mm, err = strconv.ParseFloat(part[1], 64); err == nil {
		area, err = strconv.ParseFloat(part[2], 64)
	}
	return part[0], mm, area, err
}

// wallByWall says what each wall of a home would get on its own, where that is not
// the same for all; and that a wall is missing.
func wallByWall(strategies []config.Strategy, row *screen.Row) string {
	var out []string
	if row.Differ() {
		for i := range row.Walls {
			best := &row.Walls[i].Judgements[0]
			out = append(out, wallName(&row.Walls[i].Building)+": "+strategies[best.Strategy].Label+", "+best.Verdict.String())
		}
	}
	if row.Lost > 0 {
		out = append(out, "left out: "+Counted(row.Lost, "wall")+" whose row was rejected ("+RejectsCSV+"), so no verdict is better than survey first")
	}
	return strings.Join(out, "; ")
}
