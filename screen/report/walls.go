package report

import (
	"strings"

	"wallsift/config"
	"wallsift/screen"
)

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
