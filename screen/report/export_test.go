package report

import "wallsift/screen"

// changed is Run.Each with rows changed on their way.
func changed(run *screen.Run, change func(building uint32, row *screen.Row)) Each {
	return func(order []uint32, f func(uint32, *screen.Row) error) error {
		return run.Each(order, func(i uint32, row *screen.Row) error {
			change(i, row)
			return f(i, row)
		})
	}
}

// WriteVisitsChanged is WriteVisits with rows changed on their way to the file.
func WriteVisitsChanged(dir string, e *screen.Engine, run *screen.Run, change func(uint32, *screen.Row)) error {
	v, err := visitsChanged(e, run, change)
	if err != nil {
		return err
	}
	return v.Write(dir)
}

// SurveyOrderChanged is the printed survey order of changed rows.
func SurveyOrderChanged(e *screen.Engine, run *screen.Run, top int, change func(uint32, *screen.Row)) (Table, error) {
	v, err := visitsChanged(e, run, change)
	if err != nil {
		return Table{}, err
	}
	return surveyOrder(v, top)
}

func visitsChanged(e *screen.Engine, run *screen.Run, change func(uint32, *screen.Row)) (*Visits, error) {
	v := &Visits{e: e, run: run, each: changed(run, change)}
	return v, v.sort()
}
