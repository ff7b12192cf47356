package report

import (
	"strings"

	"wallsift/config"
	"wallsift/screen"
)

// WallsClause says of a home of several walls, behind its Sentence, whose figures
// these are and which measures its walls would have on their own; "" of others.
func WallsClause(e *screen.Engine, row *screen.Row, j *screen.Judgement) string {
	if len(row.Walls) == 0 {
		return ""
	}
	out := " Of " + Counted(len(row.Walls), "wall") + " " + wallName(&row.Walls[j.Wall].Building) + " governs, and the figures are its own."
	if apart := wallByWall(e.Strategies(), row); apart != "" {
		out += " Wall by wall: " + apart + "."
	}
	return out
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
		out = append(out, "left out: "+Counted(row.Lost, "wall")+" whose row was rejected, so no verdict is better than survey first")
	}
	return strings.Join(out, "; ")
}
