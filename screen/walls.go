package screen

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"math"
	"slices"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/benefit"
)

// A home of several walls has an inventory row for each of them. Every wall is
// judged by its own row; the home's answer under a strategy is that of the wall
// that fares worst, with the work of all of them and what they save together. Where
// the walls do better each with its own best strategy, that is an answer too.

// WallByWall is the answer of a home whose walls do better apart: each with the
// best of its own strategies. It is no row of the configuration.
var WallByWall = config.Strategy{
	ID: "wall_by_wall", Label: "Each wall its own measure",
	Summary: "Every wall of a home with the measure that is best for it, where one measure for all does worse.",
	Caution: "The dangers are those of each measure; they stand in the work list. Where two measures meet, at corners and floors, the joint needs a design of its own.",
	Source:  "common practice, no source",
}

// gather adds every home whose walls were held. A home whose key is the id of a
// building of its own is rejected.
func (r *Run) gather(opt Options) error {
	if err := r.held.w.Flush(); err != nil {
		return err
	}
	for _, home := range r.intake.Homes() {
		if err := r.ctx.Err(); err != nil {
			return err
		}
		if home.Refused != nil {
			r.Counts.Rejected = r.intake.Rejected
			if err := opt.Rejected(*home.Refused); err != nil {
				return err
			}
			continue
		}
		walls := make([]Row, len(home.Rows))
		for i, at := range home.Rows {
			if err := r.held.row(at, &walls[i]); err != nil {
				return err
			}
		}
		for i := range walls {
			if b := &walls[i].Building; protect(b, walls) {
				walls[i].Judgements = r.engine.NewWorker().Steady(b)
			}
		}
		row := r.engine.homeOf(walls, home.Lost)
		if err := r.add(&row); err != nil {
			return err
		}
	}
	return nil
}

// protect takes a wall of which it is not known whether it is protected for
// protected where another wall of the home is, and says whether it did.
func protect(b *ingest.Building, walls []Row) bool {
	yes, _ := ingest.ProtectedFacade.Level("yes")
	if b.Cat[ingest.ProtectedFacade] != 0 || !slices.ContainsFunc(walls, func(w Row) bool { return w.Building.Cat[ingest.ProtectedFacade] == yes }) {
		return false
	}
	b.Cat[ingest.ProtectedFacade] = yes
	return true
}

// homeOf makes the answer for a home of the answers for its walls, of which lost
// more were rejected. The facts are those of the wall that governs the best
// strategy, the areas are summed; walls stand in the order of their ids.
func (e *Engine) homeOf(walls []Row, lost int) Row {
	slices.SortStableFunc(walls, func(a, b Row) int { return cmp.Compare(a.Building.ID, b.Building.ID) })
	home := Row{Walls: walls, Lost: lost, Answer: Answer{Survey: Survey{Wrong: notDrawn}}}
	area := 0.0
	for i := range walls {
		area += walls[i].Building.Num[ingest.WallArea] // NaN where any is not known
		home.Cases += walls[i].Cases
		sum, s := &home.Survey, &walls[i].Survey
		sum.Wrong, sum.Unclear, sum.Facts = max(sum.Wrong, s.Wrong), sum.Unclear || s.Unclear, append(sum.Facts, s.Facts...)
	}
	home.Survey.keepBest()
	for s := range e.strategies {
		home.Judgements = append(home.Judgements, e.together(walls, uint8(s), lost))
	}
	byRank(home.Judgements)
	if home.Differ() {
		apart := e.together(walls, uint8(len(e.strategies)), lost)
		if apart.RankKey()>>gradeShift < home.Judgements[0].RankKey()>>gradeShift {
			home.Judgements = slices.Insert(home.Judgements, 0, apart)
		}
	}
	governs := &walls[home.Judgements[0].Wall]
	home.Past = governs.Past
	b := governs.Building
	first := &walls[0].Building
	b.ID, b.File, b.Line, b.Text, b.Extra = b.Home, first.File, first.Line, first.Text, first.Extra
	b.Num[ingest.WallArea] = area
	home.Building = b
	return home
}

// together is the home's judgement under one strategy, or beyond the last with each
// wall under its own best: the figures are those of the wall that fares worst, except
// for the saving, which is the mean over the area of all walls, or over the walls
// where an area is not known.
func (e *Engine) together(walls []Row, strategy uint8, lost int) Judgement {
	class := func(j *Judgement) int {
		if j.Excluded {
			return 2*int(j.Verdict) + 1
		}
		return 2 * int(j.Verdict)
	}
	var worst *Judgement
	at := 0
	for i := range walls {
		if j := walls[i].Under(strategy); worst == nil || cmp.Or(cmp.Compare(class(j), class(worst)), cmp.Compare(j.High, worst.High)) > 0 {
			worst, at = j, i
		}
	}
	out := *worst
	out.Strategy, out.Wall, out.Bare = strategy, uint16(at), true
	var area, saved, mean float64
	for i := range walls {
		j := walls[i].Under(strategy)
		out.Gates |= j.Gates
		out.Do |= j.Do
		out.Check |= j.Check
		out.Hold = out.Hold || j.Hold
		out.Survey = out.Survey || j.Survey
		out.Near = out.Near || j.Near
		out.Bare = out.Bare && j.Bare
		a := walls[i].Building.Num[ingest.WallArea]
		area, saved, mean = area+a, saved+a*j.Saved, mean+j.Saved/float64(len(walls))
	}
	out.Check &^= out.Do // what is needed at one wall is looked at at the others on the way
	if out.Saved = saved / area; math.IsNaN(out.Saved) {
		out.Saved = mean
	}
	if out.Hold && out.Verdict == Suited {
		out.Verdict = SuitedAfterRepairs
	}
	if lost > 0 && out.Verdict < SurveyFirst {
		out.Survey, out.Verdict = true, SurveyFirst
	}
	out.Score = benefit.PerRisk(out.Saved, out.High)
	return out
}

// Under returns the judgement under a strategy, by its index; for a wall of a home
// judged wall by wall that is its best.
func (r *Row) Under(strategy uint8) *Judgement {
	i := slices.IndexFunc(r.Judgements, func(j Judgement) bool { return j.Strategy == strategy })
	return &r.Judgements[max(i, 0)]
}

// Governing returns what a judgement's figures are those of: of a home the wall
// that governs with its own judgement, else the row itself.
func (r *Row) Governing(j *Judgement) (*ingest.Building, *Judgement) {
	if len(r.Walls) == 0 {
		return &r.Building, j
	}
	wall := &r.Walls[j.Wall]
	return &wall.Building, wall.Under(j.Strategy)
}

// Differ says whether the walls of a home have different best strategies.
func (r *Row) Differ() bool {
	return slices.ContainsFunc(r.Walls, func(w Row) bool { return w.Judgements[0].Strategy != r.Walls[0].Judgements[0].Strategy })
}

// InputsHash is a short name of the facts a row is judged by, of all its walls.
func (r *Row) InputsHash() string {
	key := homeKey(&r.Building)
	if len(r.Walls) > 0 {
		var all []byte
		for i := range r.Walls {
			wall := homeKey(&r.Walls[i].Building)
			all = append(all, wall[:]...)
		}
		key = sha256.Sum256(all)
	}
	return hex.EncodeToString(key[:8])
}

// JudgeHome gives the answer for a home by the rows of its walls, in any order, of
// which lost more were rejected, or for a building by its one row.
func (w *Worker) JudgeHome(walls []ingest.Building, lost int) (Row, error) {
	rows := make([]Row, len(walls))
	for i := range walls {
		rows[i].Building = walls[i]
	}
	for i := range rows {
		protect(&rows[i].Building, rows)
		var err error
		if rows[i].Answer, err = w.Judge(&rows[i].Building); err != nil {
			return Row{}, err
		}
	}
	if len(rows) == 1 && walls[0].Home == "" {
		return rows[0], nil
	}
	return w.e.homeOf(rows, lost), nil
}
